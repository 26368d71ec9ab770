"""The member tables and word lists of the specification, read from its text."""

import re
from pathlib import Path
from typing import Final, NamedTuple

SPECIFICATION: Final = Path(__file__).resolve().parents[2] / "schema" / "1.0" / "README.md"

_HEADING: Final = re.compile(r"#{2,3} ([0-9]+(?:\.[0-9]+)?) ")
_ROW: Final = re.compile(r"\| `([^`]+)` \| .+? \| (.+?) \| (yes|no) \| .+ \|")
_WORD: Final = re.compile(r"\| `([^`]+)` \|")


class Member(NamedTuple):
    """One row of a member table: name, kind of value in the words of the table, whether it is needed."""

    name: str
    value: str
    needed: bool


class Table(NamedTuple):
    """The members of one object, and the section that has the table."""

    section: str
    members: list[Member]


class Tables(NamedTuple):
    """All objects and all lists of words, by name."""

    objects: dict[str, Table]
    words: dict[str, list[str]]


def tables() -> Tables:
    """Every "Object" table and every "Words of" table of the specification."""
    found = Tables({}, {})
    section, members, words = "", None, None
    for line in SPECIFICATION.read_text("utf-8").splitlines():
        if heading := _HEADING.match(line):
            section = heading[1]
        elif started := re.match(r"Object `(\w+)`", line):
            members, words = found.objects.setdefault(started[1], Table(section, [])).members, None
        elif started := re.match(r"Words of `(\w+)`", line):
            members, words = None, found.words.setdefault(started[1], [])
        elif line and not line.startswith("|") and (members or words):
            members = words = None  # a text between the title and its table is passed over
        elif members is not None and (row := _ROW.fullmatch(line)):
            members.append(Member(row[1], row[2], row[3] == "yes"))
        elif words is not None and (row := _WORD.match(line)):
            words.append(row[1])
    return found
