"""The specification against the models and the rule catalogue: neither says what the other does not.

Expectations about members and words come from the text, what is compared with them from the models. The worked
figures are recomputed here from their definitions, or with other libraries.
"""

import hashlib
import json
import re
import statistics
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple, get_args

import pytest
import rfc8785
from skimage.color import deltaE_ciede2000

from shadefmt import vocabulary
from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.weights import weights, white_point
from shadefmt.model import base
from shadefmt.model.kinds import KINDS, model_of
from shadefmt.model.schema import schema_of
from shadefmt.rules import conditions, privacy, tolerances

SCHEMA = Path(__file__).resolve().parent.parent / "schema"
SPECIFICATION = SCHEMA / "1.0" / "README.md"
TEXTS = (SPECIFICATION, SCHEMA / "README.md", SCHEMA / "CHANGES.md")

WORD_LISTS = sorted(
    name
    for name, item in vars(vocabulary).items()
    if name[0].isupper() and not name.isupper() and name != "Literal" and get_args(item)
)

SIMPLE = {
    "EntryId": "*entry id*",
    "DocumentId": "*document id*",
    "Sha256": "*digest*",
    "Text": "*text*",
    "ShortText": "*short text*",
    "Timestamp": "*timestamp*",
    "Tooth": "*tooth*",
    "ExtensionName": "*extension name*",
}
"""What the tables call the named text shapes of the JSON Schema."""


CASE_ID = "urn:uuid:9d3c6f0a-4b0e-4a55-9a1d-3f6f0c7e1122"
"""Id of the case that the examples of section 5 make up."""


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
    if "$ref" in member:
        target = member["$ref"].rsplit("/", 1)[1]
        if target == "EntryId" and name.endswith("_id"):
            return "id of"
        if target == "EntryId" and name.endswith("_ids"):
            return "list of ids of"
        return SIMPLE.get(target, f"`{target}`")
    if "const" in member:
        return f"`{member['const']}`"
    if "enum" in member:
        return " or ".join(f"`{word}`" for word in member["enum"])
    return numeric_name(member) if member.get("type") in ("number", "integer") else {
        "boolean": "*yes/no*",
        "string": "*string*",
        "object": "",
    }[member["type"]]


def numeric_name(member: dict[str, Any]) -> str:
    if member["type"] == "number":
        return "*positive*" if "exclusiveMinimum" in member else (
            "*not negative*" if "minimum" in member else "*number*"
        )
    return "*count*" if member["minimum"] == 1 else "*decimals*" if "maximum" in member else "*natural number*"


def test_every_list_of_words_stands_whole_and_in_order() -> None:
    stated = {name: [row[0].strip("`") for row in rows] for name, rows in captioned("Words of").items()}
    assert stated == {name: list(get_args(getattr(vocabulary, name))) for name in WORD_LISTS}
    assert all(row[1] for rows in captioned("Words of").values() for row in rows), "a word without a meaning"


def test_stated_patterns_are_those_of_the_models() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    schema = schema_of("case")
    for name in ("EntryId", "DocumentId", "Sha256", "Timestamp", "Tooth", "ExtensionName"):
        shape = schema["$defs"][name]
        assert shape["pattern"] in text.replace("\\|", "|"), name
        stated = next((line for line in text.split("\n") if line.startswith(f"| {SIMPLE[name]} |")), "")
        assert name in ("Sha256", "Timestamp", "Tooth") or str(shape["maxLength"]) in stated, name


def headings(path: Path) -> list[tuple[str, str]]:
    """Number and title of each heading outside code; the number is empty where there is none."""
    text = re.sub(r"^```.*?^```", "", path.read_text(encoding="utf-8"), flags=re.M | re.S)
    found = re.findall(r"^#{1,4} (?:([0-9]+(?:\.[0-9]+)*) )?(.+)$", text, flags=re.M)
    return [(number, title) for number, title in found]


def test_sections_are_numbered_once_and_rise() -> None:
    numbers = [tuple(map(int, number.split("."))) for number, _ in headings(SPECIFICATION) if number]
    assert numbers[0] == (1,)
    assert len(numbers) == len(headings(SPECIFICATION)) - 1, "only the title has no number"
    for before, after in pairwise(numbers):
        nexts = [(*before, 1)] + [(*before[:depth], before[depth] + 1) for depth in range(len(before))]
        assert after in nexts, (before, after)


def anchors(path: Path) -> set[str]:
    """Anchors as repository hosts make them from headings."""
    titles = (f"{number} {title}".strip() for number, title in headings(path))
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


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


def examples() -> Iterator[tuple[str, dict[str, Any]]]:
    text = SPECIFICATION.read_text(encoding="utf-8")
    for name, block in re.findall(r"^Example of `(\w+)`:\n\n```json\n(.*?)\n```$", text, flags=re.M | re.S):
        for line in block.split("\n"):
            yield name, json.loads(line)


def block_named(name: str) -> type[base.Block]:
    open_classes = [base.Block]
    for each in open_classes:
        open_classes += each.__subclasses__()
    return next(each for each in open_classes if each.__name__ == name)


def test_examples_are_valid_and_there_is_one_for_every_root_list() -> None:
    for kind in KINDS:
        model_of(kind)
    seen = set()
    for name, value in examples():
        seen.add(name)
        if name != "Extensions":
            assert block_named(name).model_validate(value).to_value() == value
    lists = {
        member["items"]["$ref"].rsplit("/", 1)[1]
        for member in shapes()["Case"]["properties"].values()
        if member.get("type") == "array" and "$ref" in member.get("items", {})
    }
    assert lists - {"ExtensionName"} <= seen


def example_case() -> dict[str, Any]:
    """The example entries of section 5 as the one case that they are said to be."""
    lists = {
        member["items"]["$ref"].rsplit("/", 1)[1]: name
        for name, member in shapes()["Case"]["properties"].items()
        if member.get("type") == "array"
    }
    made: dict[str, Any] = {"format": "shadefmt", "version": "1.0", "kind": "case", "id": CASE_ID}
    for name, value in examples():
        if name in lists:
            made.setdefault(lists[name], []).append(value)
        elif name in ("Subject", "Extensions"):
            made[name.lower()] = value
    return made


def test_example_entries_are_one_case() -> None:
    case = example_case()
    model_of("case").model_validate(case)
    ids = [match for match in re.findall(r'"id": "([^"]+)"', json.dumps(case)) if not match.startswith("urn:")]
    assert len(ids) == len(set(ids))
    named = re.findall(r'"\w+_id": "([^"]+)"', json.dumps(case))
    named += [each for group in re.findall(r'"\w+_ids": \[([^\]]+)\]', json.dumps(case)) for each in json.loads(f"[{group}]")]
    assert len(named) > 30
    assert set(named) <= set(ids)


def test_example_numbers_follow_from_one_another() -> None:
    case = example_case()
    labs = {each["id"]: tuple(each["colours"][0]["lab"].values()) for each in case["readings"] if "colours" in each}
    for mean in case["means"]:
        columns = list(zip(*(labs[each] for each in mean["reading_ids"]), strict=True))
        stated = tuple(mean["colour"]["lab"].values())
        assert stated == pytest.approx([statistics.fmean(column) for column in columns], abs=0.005)
        labs[mean["id"]] = stated
    assert labs["mean-tooth-middle"] == tuple(case["targets"][0]["colour"]["lab"].values())
    spread = case["means"][0]["spread"]
    columns = list(zip(*(labs[each] for each in case["means"][0]["reading_ids"]), strict=True))
    assert [spread["var_L"], spread["var_a"], spread["var_b"]] == pytest.approx(
        [statistics.variance(column) for column in columns], abs=0.00005
    )
    assert spread["cov_Lb"] == pytest.approx(statistics.covariance(columns[0], columns[2]), abs=0.00005)
    comparison, direction = case["comparisons"][0], case["comparisons"][0]["direction"]
    parts = [direction[each] ** 2 for each in ("delta_L", "delta_C", "delta_H")]
    standard, trial = labs["mean-tooth-middle"], labs["mean-crown-middle"]
    assert sum(parts) == pytest.approx(
        sum((one - other) ** 2 for one, other in zip(standard, trial, strict=True)), abs=0.03
    )
    assert deltaE_ciede2000(standard, trial) == pytest.approx(comparison["difference"], abs=0.005)
    components = comparison["uncertainty"]["components"]
    assert 2 * statistics.fsum(each["standard_uncertainty"] ** 2 for each in components) ** 0.5 == pytest.approx(
        comparison["uncertainty"]["expanded"], abs=0.005
    )


def test_example_digest_is_that_of_the_first_revision() -> None:
    """The recipe of section 7.3 by hand: the first revision alone, over RFC 8785."""
    case = example_case()
    assert CASE_ID in SPECIFICATION.read_text(encoding="utf-8")
    first, second = case["revisions"]
    was = {name: item for name, item in case.items() if not isinstance(item, list)}
    was["revisions"] = [first]
    for name, item in case.items():
        if isinstance(item, list) and name != "revisions":
            kept = [each for each in item if each.get("revision_id", first["id"]) == first["id"]]
            was |= {name: kept} if kept else {}
    assert second["parents"] == [
        {"revision_id": first["id"], "sha256": hashlib.sha256(rfc8785.dumps(was)).hexdigest()}
    ]


def test_check_values_are_those_of_an_independent_library() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8").replace("−", "-")
    number = r"(-?[0-9.]+)"
    triple = rf"{number}, {number}, {number}"
    rows = re.findall(rf"^\| {triple} \| {triple} \| {number} \|$", text, flags=re.M)
    assert len(rows) >= 6
    for row in rows:
        values = list(map(float, row))
        assert deltaE_ciede2000(values[:3], values[3:6]) == pytest.approx(values[6], abs=5e-5)


def test_stated_white_points_are_computed_and_meet_astm() -> None:
    """Published: ASTM E308, bottom lines of its tables for A, D50 and D65 (typed from memory)."""
    text = SPECIFICATION.read_text(encoding="utf-8")
    rows = re.findall(r"^\| (\S+) \| ([0-9.]+) \| ([0-9.]+) \| ([0-9.]+) \| ([0-9.]+) \|$", text, flags=re.M)
    stated = {row[0]: tuple(map(float, row[1:])) for row in rows}
    assert list(stated) == [each for each in get_args(vocabulary.Illuminant) if each != "unknown"]
    for name, figures in stated.items():
        two, ten = white_point(name, "2-degree"), white_point(name, "10-degree")
        assert figures == pytest.approx((two[0], two[2], ten[0], ten[2]), abs=5.1e-4)
    published = {
        "A": (109.850, 35.585, 111.144, 35.200),
        "D50": (96.422, 82.521, 96.720, 81.427),
        "D65": (95.047, 108.883, 94.811, 107.304),
    }
    for name, figures in published.items():
        assert stated[name] == pytest.approx(figures, abs=2e-3)


def test_stated_colour_of_the_example_spectrum() -> None:
    spectrum = next(value for name, value in examples() if name == "Spectrum")
    table = weights("D65", "2-degree", spectrum["start_nm"], spectrum["step_nm"], len(spectrum["values"]))
    xyz = spectrum_to_xyz(spectrum["values"], table)
    lab = xyz_to_lab(xyz, table.white)
    text = " ".join(SPECIFICATION.read_text(encoding="utf-8").split())
    assert "XYZ " + ", ".join(f"{each:.4f}" for each in xyz) in text
    assert "CIELAB " + ", ".join(f"{each:.4f}" for each in lab) in text


def test_stated_patterns_of_privacy_are_those_of_the_rules() -> None:
    text = SPECIFICATION.read_text(encoding="utf-8")
    stated = dict(re.findall(r"^    ([a-z ]+?)  +(\S.*)$", text, flags=re.M))
    assert {name: shape.pattern for name, shape in privacy.CONTACT.items()}.items() <= stated.items()
    free = re.search(r"\*Free text\* is what stands in (.*?)\.", text, flags=re.S)
    assert free
    assert set(re.findall(r"`(\w+)`", free[1])) == privacy.FREE_TEXT


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
    assert sorted(rule_sentences()) == sorted(
        (rule["code"], rule["severity"], rule["section"]) for rule in catalogue()
    )


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
