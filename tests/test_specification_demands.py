"""RFC 2119 in the specification: who is spoken to, which code belongs to which word, where findings point.

Figures that stand both in the text and in the code are compared, so that neither moves alone.
"""

import json
import re
from collections.abc import Iterator
from typing import Any, NamedTuple, get_args

import pytest
from specification_text import SCHEMA, SPECIFICATION, captioned_rows, definition, shapes

from shadefmt import vocabulary
from shadefmt.chain.appearances import DEFINED_FOR
from shadefmt.chain.verdicts import WORST_FIRST
from shadefmt.colour.indices import E313_FACTORS
from shadefmt.colour.uncertainty import ZERO_FACTOR
from shadefmt.model.kinds import KINDS, model_of
from shadefmt.rules import appearances, courses, eyes, relating, revisions

KEY_WORD = re.compile(r"\b(MUST NOT|MUST|SHOULD NOT|SHOULD|MAY)\b")
ROLES = ("reader", "writer", "checker", "converter", "program", "receiver")
DEMANDS = re.compile(r"^9\.[0-9]+$")
ITEM = re.compile(r"^- .*?(?=\n- |\n\n|\Z)", flags=re.M | re.S)
ROOT = SCHEMA.parent


class Item(NamedTuple):
    """One list item of section 9 that demands something."""

    section: str
    text: str


def sections() -> Iterator[tuple[str, str]]:
    """Number and text of each section, without examples."""
    text = re.sub(r"^```.*?^```", "", SPECIFICATION.read_text(encoding="utf-8"), flags=re.M | re.S)
    parts = re.split(r"^#{2,3} ([0-9.]+) .*$", text, flags=re.M)
    yield from zip(parts[1::2], parts[2::2], strict=True)


def items() -> list[Item]:
    found = []
    for number, text in sections():
        if DEMANDS.match(number):
            for item in re.findall(r"^- (.*?)(?=\n- |\n\n|\Z)", text, flags=re.M | re.S):
                found.append(Item(number, " ".join(item.split())))
    return found


def coded() -> dict[str, Item]:
    """Items by the code in parentheses."""
    found = {}
    for item in items():
        for code in re.findall(r"\(`([a-z0-9-]+)`, (?:error|warning|note)\)", item.text):
            assert code not in found, f"{code} has two sentences"
            found[code] = item
    return found


def catalogue() -> dict[str, dict[str, Any]]:
    rules = json.loads((SCHEMA / "rules.json").read_text(encoding="utf-8"))["rules"]
    return {each["code"]: each for each in rules}


def test_every_demand_on_documents_has_a_code() -> None:
    assert len(items()) > 180
    for item in items():
        if KEY_WORD.search(item.text):
            assert len(re.findall(r"\(`[a-z0-9-]+`, (?:error|warning|note)\)", item.text)) == 1, item


def test_key_words_of_section_9_stand_in_items_or_speak_to_programs() -> None:
    for number, text in sections():
        if DEMANDS.match(number):
            for block in paragraphs(ITEM.sub("", text)):
                assert not KEY_WORD.search(block) or any(role in block.lower() for role in ROLES), (number, block)


def test_elsewhere_key_words_speak_to_programs() -> None:
    for number, text in sections():
        if number == "2.1" or DEMANDS.match(number):
            continue
        lead = ""
        for block in paragraphs(text):
            spoken = f"{lead} {block}" if block.startswith("- ") else block
            assert not KEY_WORD.search(block) or any(role in spoken.lower() for role in ROLES), (number, block)
            lead = block if not block.startswith("- ") else lead


def test_whoever_a_key_word_speaks_to_is_the_subject_of_its_sentence() -> None:
    """A program named elsewhere in the paragraph does not make a demand on documents one on programs."""
    seen = 0
    for number, text in sections():
        if number == "2.1":
            continue
        lead = ""
        for block in paragraphs(ITEM.sub("", text) if DEMANDS.match(number) else text):
            for sentence in re.split(r"(?<=[.:;]) (?=[A-Z`*-])", block):
                if found := KEY_WORD.search(sentence):
                    seen += 1
                    assert names_a_program(sentence[: found.start()], lead), (number, sentence)
            lead = block if not block.startswith("- ") else lead
    assert seen >= 20


def names_a_program(subject: str, lead: str) -> bool:
    """Whether what stands before a key word is a program, an "it", or an empty item below a line that names one."""
    words = f"{lead} {subject}" if subject.strip(" -") == "" else subject
    return any(role in words.lower() for role in ROLES) or bool(re.search(r"\b[Ii]t $", subject))


@pytest.mark.parametrize(
    ("subject", "lead", "speaks"),
    [
        ("A reader ", "", True),
        ("A reading ", "The receiver is told.", False),
        ("- ", "A checker", True),
        ("- ", "", False),
    ],
)
def test_a_demand_on_documents_would_be_noticed(subject: str, lead: str, speaks: bool) -> None:
    assert names_a_program(subject, lead) == speaks


def test_every_demand_of_receivers_has_one_sentence_and_every_such_sentence_a_demand() -> None:
    """A demand has no code of a rule: its word stands at the head of its sentence, in the order of the words."""
    stated = re.findall(r"^- `([a-z-]+)`: ", dict(sections())["9.14"], flags=re.M)
    published = json.loads((SCHEMA / "rules.json").read_text(encoding="utf-8"))["demands"]
    assert stated == list(get_args(vocabulary.Demand)) == [each["demand"] for each in published]


def test_mentions_of_sections_in_code_and_documents_name_sections() -> None:
    known, seen = {number for number, _ in sections()}, 0
    files = [path for folder in ("shadefmt", "scripts", "conformance", "schema") for path in (ROOT / folder).rglob("*")]
    for path in [*files, ROOT / "README.md", ROOT / "DEVELOPERS.md"]:
        if path.suffix not in (".py", ".mjs", ".md") or {"node_modules", "build"} & set(path.parts):
            continue
        text = path.read_text(encoding="utf-8")
        for number in re.findall(r"\b[Ss]ections? ([0-9]+(?:\.[0-9]+)?)\b(?! of (?:RFC|ISO|JCGM|the ))", text):
            foreign = path.suffix == ".py" and re.search(
                rf"(RFC|ISO|ECMA|JCGM)[^\n]*, section {re.escape(number)}\b", text
            )
            assert number in known or foreign, (path.name, number)
            seen += 1
    assert seen > 100


def paragraphs(text: str) -> list[str]:
    return [" ".join(each.split()) for each in re.split(r"\n\n+", text) if each.strip() and not each.startswith("|")]


def test_key_words_agree_with_severities() -> None:
    """An error is a MUST, a warning or a note a SHOULD, and a sentence has one of both."""
    for code, item in coded().items():
        severity = re.search(rf"\(`{code}`, (\w+)\)", item.text)
        assert severity
        demand = item.text[: severity.start()]
        strong, weak = re.findall(r"\bMUST\b", demand), re.findall(r"\bSHOULD\b", demand)
        assert (bool(strong), bool(weak)) == ((True, False) if severity[1] == "error" else (False, True)), item


def test_every_rule_says_where_its_findings_point() -> None:
    for code, item in coded().items():
        if item.section not in ("9.10", "9.12"):
            assert re.search(r"\. At ", item.text), (code, item.text)


def test_places_of_findings_exist_in_the_documents() -> None:
    roots = {kind: shapes()[model_of(kind).__name__] for kind in KINDS}
    seen = 0
    for code, item in coded().items():
        kinds = catalogue()[code].get("kinds") or list(KINDS)
        for place in re.findall(r"`(/[a-z_]+(?:/[A-Za-z_]+)*)`", item.text.partition(". At ")[2]):
            assert any(resolves(roots[kind], place.split("/")[1:]) for kind in kinds), (code, place)
            seen += 1
    assert seen > 130


def resolves(shape: dict[str, Any], steps: list[str]) -> bool:
    """Whether a place leads to a member; `i` and `j` are positions in a list."""
    for step in steps:
        shape = shapes().get(definition(shape), {}) if definition(shape) else shape
        if shape.get("type") == "array":
            if step not in ("i", "j"):
                return False
            shape = shape["items"]
        else:
            if step not in shape.get("properties", {}):
                return False
            shape = shape["properties"][step]
    return True


def test_rules_need_root_members_that_exist() -> None:
    for rule in catalogue().values():
        for member in rule.get("needs", ()):
            assert any(member in shapes()[model_of(kind).__name__]["properties"] for kind in rule["kinds"]), rule


@pytest.mark.parametrize(
    ("code", "figures"),
    [
        ("light-outside-viewing-range", [f"{low} to {high}" for low, high in eyes.VIEWING.values()]),
        ("reading-soon-after-whitening", [f"{courses.SETTLING_DAYS} days"]),
        ("course-control-moved", [f"{courses.CONTROL_LIMIT} CIEDE2000"]),
        ("check-patch-moved", [f"{relating.PATCH_LIMIT} CIEDE2000"]),
        ("backings-exchanged", [f"more than {appearances.LIGHTER_OVER_BLACK} "]),
    ],
)
def test_figures_of_rules_are_those_of_the_text(code: str, figures: list[str]) -> None:
    for figure in figures:
        assert figure in coded()[code].text


def test_a_third_is_the_share_of_withdrawals() -> None:
    assert pytest.approx(1 / 3) == revisions.MOST_WITHDRAWN
    assert "no more than a third" in coded()["withdrawals-many"].text


def test_marks_of_flattened_choices_are_those_of_the_rule() -> None:
    text = coded()["choice-between-flattened"].text.partition(" one of the marks ")[2].partition("(`choice")[0]
    bare, _, between_blanks = text.partition("between two blanks")
    stated = re.findall(r"`([^`]+)`", bare) + [f" {each} " for each in re.findall(r"`([^`]+)`", between_blanks)]
    assert sorted(stated) == sorted(eyes.FLATTENED_MARKS)


def test_indices_are_defined_for_what_the_text_says() -> None:
    rows = captioned_rows("| index | value | illuminant and observer |")
    stated = {row[0].strip("`"): {tuple(each.split(" and ")) for each in row[2].split(", ")} for row in rows}
    assert stated == {index: set(bases) for index, bases in DEFINED_FOR.items()}
    factors = captioned_rows("| factors of `YI-E313` | Cx | Cz |")
    assert {tuple(row[0].split(" and ")): (float(row[1]), float(row[2])) for row in factors} == E313_FACTORS


def test_obstacles_are_explained_in_the_order_of_their_list() -> None:
    rows = captioned_rows("| obstacle | holds where |")
    assert [row[0].strip("`") for row in rows] == list(get_args(vocabulary.Obstacle))


def test_decisions_are_ranked_as_the_text_says() -> None:
    text = dict(sections())["8.14"]
    stated = re.findall(r"^[0-9]\. `([a-z-]+)`$", text, flags=re.M)
    assert tuple(stated) == WORST_FIRST
    assert sorted(stated) == sorted(get_args(vocabulary.Decision))


def test_the_factor_near_zero_is_that_of_the_text() -> None:
    assert f"{ZERO_FACTOR:.3f} *u*" in dict(sections())["8.6"]


def test_every_number_that_is_recomputed_has_a_line_in_section_8_9() -> None:
    """Each code of section 9.5 that ends in disagrees or differs names a member that the table lists."""
    rows = captioned_rows("| number | compared with | agrees within |")
    listed = " ".join(row[0] for row in rows)
    for code, item in coded().items():
        if item.section == "9.5" and re.search(r"(disagrees|differs)", code):
            place = re.search(r"`/[a-z_]+/i/(?:[a-z_]+/)*([A-Za-z_]+)`", item.text.partition(". At ")[2])
            assert place is None or f"`{place[1]}`" in listed or place[1] in GROUPED, (code, place)


GROUPED = {"mcdm", "delta_L", "nearest_difference", "nearest_id"}
"""Members that the table lists together: a spread, a direction, the differences of a match."""
