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
TEXTS = (SPECIFICATION, SCHEMA / "README.md", SCHEMA / "CHANGES.md")

WORD_LISTS = sorted(
    name
    for name, item in vars(vocabulary).items()
    if name[0].isupper() and not name.isupper() and name != "Literal" and get_args(item)
)

CASE_ID = "urn:uuid:9d3c6f0a-4b0e-4a55-9a1d-3f6f0c7e1122"
"""Id of the case that the examples of section 5 make up."""


APART = frozenset({"Course", "Effect", "IndexValue", "Translucency", "BackingDescription", "Bridge"})
"""Entries whose examples are shown for their form; the example case is a crown and has none of them."""


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


def headings(path: Path) -> list[tuple[str, str]]:
    """Number and title of each heading outside code; the number is empty where there is none."""
    text = re.sub(r"^```.*?^```", "", path.read_text(encoding="utf-8"), flags=re.M | re.S)
    found = re.findall(r"^#{1,4} (?:([0-9]+(?:\.[0-9]+)*) )?(.+)$", text, flags=re.M)
    return [(number, title) for number, title in found]


def anchors(path: Path) -> set[str]:
    """Anchors as repository hosts make them from headings."""
    titles = (f"{number} {title}".strip() for number, title in headings(path))
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


def examples() -> Iterator[tuple[str, dict[str, Any]]]:
    text = SPECIFICATION.read_text(encoding="utf-8")
    for name, block in re.findall(r"^Example of `(\w+)`:\n\n```json\n(.*?)\n```$", text, flags=re.M | re.S):
        for line in block.split("\n"):
            yield name, json.loads(line)


def example_case() -> dict[str, Any]:
    """The example entries of section 5 as the one case that they are said to be."""
    lists = {
        member["items"]["$ref"].rsplit("/", 1)[1]: name
        for name, member in shapes()["Case"]["properties"].items()
        if member.get("type") == "array"
    }
    made: dict[str, Any] = {"format": "shadefmt", "version": "1.0", "kind": "case", "id": CASE_ID}
    for name, value in examples():
        if name in lists and name not in APART:
            made.setdefault(lists[name], []).append(value)
        elif name in ("Privacy", "Subject", "Extensions"):
            made[name.lower()] = value
    return made
