"""Reading the specification: its tables, headings, examples, as plain data for tests."""

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple, get_args

from shadefmt import vocabulary
from shadefmt.model.kinds import KINDS, model_of
from shadefmt.model.schema import schema_of

SCHEMA = Path(__file__).resolve().parent.parent / "schema"
SPECIFICATION = SCHEMA / "1.0" / "README.md"
EXAMPLES = SCHEMA / "1.0" / "examples"
TEXTS = (SPECIFICATION, SCHEMA / "README.md", SCHEMA / "CHANGES.md", SCHEMA / "1.0" / "tables" / "README.md")

WORD_LISTS = sorted(
    name
    for name, item in vars(vocabulary).items()
    if name[0].isupper() and not name.isupper() and name != "Literal" and get_args(item)
)

FRONT_CROWN = "examples/front-crown.shade.json"
"""File that an example is taken from where its caption names none."""


class Example(NamedTuple):
    """One line of an example: the object that it shows, the file that it is said to come from, the value."""

    name: str
    file: str
    value: dict[str, Any]


class Row(NamedTuple):
    """One line of a member table."""

    member: str
    value: str
    needed: str


def cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split(" | ")]


def table_after(lines: list[str], start: int) -> list[list[str]]:
    """Rows of the first table after a line, without its two header lines."""
    begin = next(index for index in range(start, len(lines)) if lines[index].startswith("|"))
    assert begin - start <= 5, lines[start]
    end = next((index for index in range(begin, len(lines)) if not lines[index].startswith("|")), len(lines))
    return [cells(line) for line in lines[begin + 2 : end]]


def captioned_rows(header: str) -> list[list[str]]:
    """Rows of the one table of the specification with this header line."""
    lines = SPECIFICATION.read_text(encoding="utf-8").split("\n")
    (start,) = (index for index, line in enumerate(lines) if line == header)
    return table_after(lines, start)


def captioned(kind: str) -> dict[str, list[list[str]]]:
    """Tables by the name in their caption, which begins `Object` or `Words of`."""
    lines = SPECIFICATION.read_text(encoding="utf-8").split("\n")
    found: dict[str, list[list[str]]] = {}
    for index, line in enumerate(lines):
        caption = re.match(rf"{kind} `(\w+)`", line)
        if caption:
            assert caption[1] not in found, f"{caption[1]} has two tables"
            found[caption[1]] = table_after(lines, index)
    return found


@cache
def member_tables() -> dict[str, list[Row]]:
    made = {}
    for name, rows in captioned("Object").items():
        assert all(len(row) == 5 for row in rows), name
        made[name] = [Row(row[0].strip("`"), row[2], row[3]) for row in rows]
    return made


@cache
def shapes() -> dict[str, dict[str, Any]]:
    """Every object of every kind, by the name it has in the JSON Schemas."""
    found: dict[str, dict[str, Any]] = {}
    for kind in KINDS:
        schema = schema_of(kind)
        found[model_of(kind).__name__] = schema
        found |= {name: item for name, item in schema.get("$defs", {}).items() if "properties" in item}
    return found


def definition(member: dict[str, Any]) -> str:
    """Name of the definition that the schema of a member leads to; empty where it has none."""
    (reference,) = member.get("allOf", [member])
    return str(reference.get("$ref", "")).rpartition("/")[2]


def headings(path: Path) -> list[tuple[str, str]]:
    """Number and title of each heading outside code; the number is empty where there is none."""
    text = re.sub(r"^```.*?^```", "", path.read_text(encoding="utf-8"), flags=re.M | re.S)
    found = re.findall(r"^#{1,4} (?:([0-9]+(?:\.[0-9]+)*) )?(.+)$", text, flags=re.M)
    return [(number, title) for number, title in found]


def anchors(path: Path) -> set[str]:
    """Anchors as repository hosts make them from headings."""
    titles = (f"{number} {title}".strip() for number, title in headings(path))
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


def examples() -> Iterator[Example]:
    text = SPECIFICATION.read_text(encoding="utf-8")
    caption = r"^Example of `(\w+)`(?:, from \[[\w-]+\]\(([^)]+)\))?:\n\n```json\n(.*?)\n```$"
    found = re.findall(caption, text, flags=re.M | re.S)
    assert len(found) == len(re.findall(r"^Example of ", text, flags=re.M)), "a caption of another form"
    for name, file, block in found:
        for line in block.split("\n"):
            yield Example(name, file or FRONT_CROWN, json.loads(line))


def case_lists() -> dict[str, str]:
    """Root lists of a case by the object that their entries are."""
    return {
        definition(member["items"]): name
        for name, member in shapes()["Case"]["properties"].items()
        if member.get("type") == "array" and definition(member["items"]) and name != "extensions_required"
    }
