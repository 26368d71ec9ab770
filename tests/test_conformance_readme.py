"""What the suite says of itself: kinds of files in its README against the manifest, arguments against the cases."""

import json
import re

import pytest
from conformance_support import CONFORMANCE

README = (CONFORMANCE / "README.md").read_text(encoding="utf-8")
FILES = json.loads((CONFORMANCE / "manifest.json").read_text(encoding="utf-8"))["files"]
FACTORS = {"k_L", "k_C", "k_H"}


def rows(header: str) -> list[list[str]]:
    """Cells of the table with this header line."""
    lines = README.split("\n")
    start = lines.index(header) + 2
    end = next(index for index in range(start, len(lines)) if not lines[index].startswith("|"))
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines[start:end]]


def words(cell: str) -> set[str]:
    return set(re.findall(r"`([\w-]+)`", cell))


def test_every_kind_of_file_is_in_the_table_and_no_other() -> None:
    stated = {word for row in rows("| where | what | kind in the manifest |") for word in words(row[-1])}
    assert stated == {each["kind"] for each in FILES}


def test_complete_documents_are_no_bases() -> None:
    kinds = {each["path"]: each["kind"] for each in FILES if each["path"].endswith(".shade.json")}
    assert {path.partition("/")[0] for path, kind in kinds.items() if kind == "base"} == {"bases"}
    assert {path.partition("/")[0] for path, kind in kinds.items() if kind == "complete"} == {"members"}


STATED = {
    name: words(row[1]) | (FACTORS if "factors" in row[1] else set())
    for row in rows("| function | arguments | value | section |")
    for name in words(row[0])
}
CASES = [
    case
    for each in FILES
    if each["kind"] == "computation"
    for case in json.loads((CONFORMANCE / each["path"]).read_text(encoding="utf-8"))
]


@pytest.mark.parametrize("name", sorted(STATED))
def test_arguments_of_a_function_are_those_of_its_cases(name: str) -> None:
    used = [set(case["args"]) for case in CASES if case["function"] == name]
    assert used, "no case asks for it"
    assert set().union(*used) <= STATED[name]
    assert STATED[name] - set().union(*used) - FACTORS <= {"reading", "mean"}


def test_every_function_of_the_cases_is_in_the_table() -> None:
    assert {case["function"] for case in CASES} == set(STATED)
