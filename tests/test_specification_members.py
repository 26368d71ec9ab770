"""The lists of members that programs read (members.json), against the tables that people read."""

import json
import re
from typing import Any

from specification_text import SCHEMA, SPECIFICATION, member_tables, shapes
from test_specification import lists_meant

from shadefmt.versions import FORMAT_VERSION

TEXTS = {"*text*", "*short text*", "*string*"}


def members() -> dict[str, Any]:
    made: dict[str, Any] = json.loads((SCHEMA / FORMAT_VERSION / "members.json").read_text(encoding="utf-8"))
    return made


def of_cases() -> set[str]:
    """Names of the objects of a case: those that its schema names."""
    schema = json.loads((SCHEMA / FORMAT_VERSION / "case.schema.json").read_text(encoding="utf-8"))
    return {"Case", *schema["$defs"]}


def test_references_are_those_of_the_tables() -> None:
    stated: dict[str, dict[str, set[str]]] = {}
    for name in member_tables().keys() & of_cases():
        for row in member_tables()[name]:
            if found := re.fullmatch(r"(?:list of ids|id) of (?:an? )?(.*?)(?:, [0-9]+ or more)?", row.value):
                stated.setdefault(name, {})[row.member] = lists_meant(found[1])
    assert {
        name: {each: set(lists) for each, lists in rows.items()} for name, rows in members()["references"].items()
    } == (stated)


def test_every_member_of_a_case_whose_name_says_so_refers_and_no_other() -> None:
    named = {(name, row.member) for name in of_cases() & member_tables().keys() for row in member_tables()[name]}
    wanted = {(name, member) for name, member in named if re.search(r"_ids?$", member)}
    assert {(name, member) for name, rows in members()["references"].items() for member in rows} == wanted


def test_timestamps_are_those_of_the_tables() -> None:
    stated = {
        name: found
        for name, rows in member_tables().items()
        if (found := [r.member for r in rows if r.value == "*timestamp*"])
    }
    assert members()["timestamps"] == stated


def test_free_texts_are_those_of_the_tables() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    free = re.search(r"\*Free text\* is what stands in (.*?)\.", text, flags=re.S)
    assert free
    names = set(re.findall(r"`(\w+)`", free[1]))
    stated = {
        name: found
        for name, rows in member_tables().items()
        if (found := [row.member for row in rows if row.member in names and row.value in TEXTS])
    }
    assert members()["free_text"] == stated


def test_lists_of_entries_are_the_root_lists_with_ids_but_for_revisions() -> None:
    root = shapes()["Case"]["properties"]
    wanted = [
        name
        for name, member in root.items()
        if member.get("type") == "array" and name != "revisions" and "id" in _element(member).get("properties", {})
    ]
    assert members()["entry_lists"] == wanted


def _element(member: dict[str, Any]) -> dict[str, Any]:
    name = member["items"].get("$ref", "").rpartition("/")[2]
    return shapes().get(name, {})
