"""The specification against the models and the rule catalogue: neither says what the other does not.

Expectations about members, words and rules come from the text, what is compared with them from the models and the
catalogue.
"""

import json
import re
from itertools import pairwise
from pathlib import Path
from typing import Any, get_args

import pytest
from specification_text import (
    SCHEMA,
    SPECIFICATION,
    TEXTS,
    WORD_LISTS,
    anchors,
    captioned,
    definition,
    headings,
    member_tables,
    shapes,
    table_after,
)

from shadefmt import vocabulary
from shadefmt.model.schema import schema_of
from shadefmt.referring import REFERENCES
from shadefmt.rules import conditions, privacy, tolerances
from shadefmt.rules.base import FREE_TEXT, TIMESTAMP_MEMBERS

SIMPLE = {
    "EntryId": "*entry id*",
    "DocumentId": "*document id*",
    "Sha256": "*digest*",
    "Text": "*text*",
    "ShortText": "*short text*",
    "Timestamp": "*timestamp*",
    "Tooth": "*tooth*",
    "Area": "*area*",
    "ExtensionName": "*extension name*",
}
"""What the tables call the named text shapes of the JSON Schema."""


def test_every_object_has_a_table_and_every_table_an_object() -> None:
    assert sorted(member_tables()) == sorted(shapes())


@pytest.mark.parametrize("name", sorted(shapes()))
def test_members_stand_in_the_order_of_the_model_and_are_needed_alike(name: str) -> None:
    shape = shapes()[name]
    rows = member_tables()[name]
    assert [row.member for row in rows] == list(shape["properties"])
    assert {row.needed for row in rows} <= {"yes", "no"}
    assert [row.member for row in rows if row.needed == "yes"] == [
        member for member in shape["properties"] if member in shape.get("required", ())
    ]


@pytest.mark.parametrize("name", sorted(shapes()))
def test_values_are_called_what_they_are(name: str) -> None:
    for row in member_tables()[name]:
        member = shapes()[name]["properties"][row.member]
        if member.get("type") == "array":
            assert row.value.startswith("list of "), row
            member = member["items"]
        wanted = value_name(row.member, member)
        assert wanted in row.value, (row, wanted)
        if "`" in wanted and wanted.strip("`") in WORD_LISTS:
            assert f"word of {wanted}" in row.value or f"words of {wanted}" in row.value


def value_name(name: str, member: dict[str, Any]) -> str:
    """What a table has to say of a value, in the words of section 4.1."""
    if target := definition(member):
        if target == "EntryId" and name.endswith("_id"):
            return "id of"
        if target == "EntryId" and name.endswith("_ids"):
            return "list of ids of"
        return SIMPLE.get(target, f"`{target}`")
    if "const" in member:
        return f"`{member['const']}`"
    if "enum" in member:
        return " or ".join(f"`{word}`" for word in member["enum"])
    return (
        numeric_name(member)
        if member.get("type") in ("number", "integer")
        else {
            "boolean": "*yes/no*",
            "string": "*string*",
            "object": "",
        }[member["type"]]
    )


def numeric_name(member: dict[str, Any]) -> str:
    if member["type"] == "number":
        if "exclusiveMinimum" in member:
            return "*positive*"
        if member["maximum"] not in (1_000_000, 1000):
            return f"*number*, {member['minimum']:g} to {member['maximum']:g}"
        return {0: "*not negative*", 0.001: "*factor*"}.get(member["minimum"], "*number*")
    return "*count*" if member["minimum"] == 1 else "*decimals*" if "maximum" in member else "*natural number*"


LISTS = {
    "party": "parties",
    "revision": "revisions",
    "instrument": "instruments",
    "specimen": "specimens",
    "session": "sessions",
    "reading": "readings",
    "computed colour": "computed_colours",
    "mean": "means",
    "target": "targets",
    "reference set": "reference_sets",
    "reference": "references",
    "tolerance": "tolerances",
    "comparison": "comparisons",
    "verdict": "verdicts",
    "attachment": "attachments",
    "backing": "backings",
    "group": "groups",
    "event": "events",
    "course": "courses",
    "index": "indices",
    "indice": "indices",
}
"""Lists by the word for one of their entries."""

WITHDRAWABLE = set(LISTS.values()) - {"revisions", "references"} | {
    *("relations", "groups", "prescriptions", "bridges", "translucencies", "matches", "conclusions", "effects"),
    "dispositions",
}
"""Lists that "entry other than a withdrawal" means."""


def test_references_name_what_the_checker_allows() -> None:
    objects = {
        "layers": "Layer",
        "pairs": "BridgePair",
        "visual": "VisualChoice",
        "parents": "ParentRevision",
        "subject": "Subject",
    }
    for name, member in shapes()["Case"]["properties"].items():
        if member.get("type") == "array" and definition(member["items"]):
            objects[name] = definition(member["items"])
    stated: dict[str, dict[str, set[str]]] = {}
    for place, name in objects.items():
        for row in member_tables().get(name, ()):
            found = re.fullmatch(r"(?:list of ids|id) of (?:an? )?(.*?)(?:, [0-9]+ or more)?", row.value)
            if (found and row.member != "revision_id") or (found and place == "parents"):
                stated.setdefault(place, {})[row.member] = lists_meant(found[1] if found else "")
    assert stated == {
        place: {member: set(allowed) for member, allowed in members.items()} for place, members in REFERENCES.items()
    }


def lists_meant(words: str) -> set[str]:
    if words == "entry other than a withdrawal":
        return WITHDRAWABLE
    each = re.split(r", | or ", words)
    return {LISTS.get(word) or LISTS[word.removesuffix("s").replace("partie", "party")] for word in each}


def test_every_member_that_is_a_timestamp_is_looked_at_as_one() -> None:
    stated = {row.member for rows in member_tables().values() for row in rows if row.value == "*timestamp*"}
    assert stated - {"as_of"} == TIMESTAMP_MEMBERS, "as_of stands in reports, which tools write"


def test_lists_say_how_many_they_need() -> None:
    for name, shape in shapes().items():
        for row in member_tables()[name]:
            member = shape["properties"][row.member]
            if member.get("type") == "array":
                least = re.search(r", ([0-9]+) or more$", row.value)
                assert (int(least[1]) if least else 1) == member["minItems"], (name, row.member)


def test_every_list_of_words_stands_whole_and_in_order() -> None:
    stated = {name: [row[0].strip("`") for row in rows] for name, rows in captioned("Words of").items()}
    assert stated == {name: list(get_args(getattr(vocabulary, name))) for name in WORD_LISTS}
    assert all(row[1] for rows in captioned("Words of").values() for row in rows), "a word without a meaning"


def test_stated_patterns_are_those_of_the_models() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    schema = schema_of("case")
    for name in ("EntryId", "DocumentId", "Sha256", "Timestamp", "Tooth", "Area", "ExtensionName"):
        shape = schema["$defs"][name]
        assert shape["pattern"] in text.replace("\\|", "|"), name
        stated = next((line for line in text.split("\n") if line.startswith(f"| {SIMPLE[name]} |")), "")
        assert name in ("Sha256", "Timestamp", "Tooth", "Area") or str(shape["maxLength"]) in stated, name


def test_sections_are_numbered_once_and_rise() -> None:
    numbers = [tuple(map(int, number.split("."))) for number, _ in headings(SPECIFICATION) if number]
    assert numbers[0] == (1,)
    assert len(numbers) == len(headings(SPECIFICATION)) - 1, "only the title has no number"
    for before, after in pairwise(numbers):
        nexts = [(*before, 1)] + [(*before[:depth], before[depth] + 1) for depth in range(len(before))]
        assert after in nexts, (before, after)


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.name + " of " + path.parent.name)
def test_links_resolve(path: Path) -> None:
    text = re.sub(r"^    .*$", "", path.read_text(encoding="utf-8"), flags=re.M)
    links = re.findall(r"\[[^\]]*\]\(([^)\s]+)\)", text)
    assert links or path.name == "CHANGES.md"
    for link in links:
        assert "://" not in link, f"{link} leaves the repository"
        file, _, anchor = link.partition("#")
        target = (path.parent / file).resolve() if file else path
        assert target.exists(), link
        if anchor:
            assert anchor in anchors(target), link


def test_mentions_of_sections_name_sections() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    known = {number for number, _ in headings(SPECIFICATION)}
    for number, target in re.findall(r"\[(?:section )?([0-9]+(?:\.[0-9]+)?)[^\]]*\]\(#([^)]+)\)", text):
        assert number in known
        assert target.startswith(number.replace(".", "") + "-"), (number, target)
    for number in re.findall(r"section ([0-9]+(?:\.[0-9]+)?)", text):
        assert number in known, number


def test_stated_patterns_of_privacy_are_those_of_the_rules() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    stated = dict(re.findall(r"^    ([a-z ]+?)  +(\S.*)$", text, flags=re.M))
    assert {name: shape.pattern for name, shape in privacy.CONTACT.items()}.items() <= stated.items()
    free = re.search(r"\*Free text\* is what stands in (.*?)\.", text, flags=re.S)
    assert free
    assert set(re.findall(r"`(\w+)`", free[1])) == FREE_TEXT


def test_stated_tables_of_zones_and_tissues_are_those_of_the_rules() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    for marker, known in (("zones that it has", conditions.ZONES), ("tissues that suit it", tolerances.TISSUES)):
        lines = text.split("\n")
        start = next(index for index, line in enumerate(lines) if line.startswith("|") and marker in line)
        stated: dict[str, set[str]] = {}
        for kinds, words in (row[:2] for row in table_after(lines, start)):
            for kind in re.findall(r"`([\w-]+)`", kinds):
                stated[kind] = set(re.findall(r"`([\w-]+)`", words.partition(";")[0]))
        assert stated == {kind: set(words) for kind, words in known.items()}


def catalogue() -> list[dict[str, Any]]:
    rules: list[dict[str, Any]] = json.loads((SCHEMA / "rules.json").read_text(encoding="utf-8"))["rules"]
    return rules


def rule_sentences() -> list[tuple[str, str, str]]:
    """Code, severity and section of each rule as the text has it."""
    found, section = [], ""
    for line in SPECIFICATION.read_text(encoding="utf-8").split("\n"):
        heading = re.match(r"#{2,3} ([0-9.]+) ", line)
        section = heading[1] if heading else section
        found += [(code, severity, section) for code, severity in re.findall(r"\(`([a-z0-9-]+)`, (\w+)\)", line)]
    return found


def test_every_rule_has_one_sentence_and_every_sentence_a_rule() -> None:
    assert sorted(rule_sentences()) == sorted((rule["code"], rule["severity"], rule["section"]) for rule in catalogue())


def test_sentences_of_rules_are_sentences() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    items = re.findall(r"^- (.*?)(?=\n- |\n\n)", text, flags=re.M | re.S)
    rules = [" ".join(item.split()) for item in items if re.search(r"\(`[a-z0-9-]+`, (error|warning|note)\)", item)]
    assert len(rules) == len(catalogue())
    for item in rules:
        demand = {"error": "MUST", "warning": "SHOULD", "note": "SHOULD"}
        severity = re.search(r"\(`[a-z0-9-]+`, (\w+)\)", item)
        assert severity
        assert demand[severity[1]] in item or "MAY" in item, item
        assert item.count("(`") == 1, item
