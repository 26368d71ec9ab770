"""Specification, catalogue and published profiles on intake: one list of demands, one list of what is protected."""

import json
import re
from pathlib import Path
from typing import Any, get_args

import pytest
from bases import base

from shadefmt.catalogue import catalogue
from shadefmt.checking import check
from shadefmt.intake.demands import DEMANDS
from shadefmt.intake.demands.ordering import ITEMS
from shadefmt.model.demands import Demands
from shadefmt.rendering.intake_lines import ANSWERS, OPEN
from shadefmt.vocabulary import Demand, IntakeAnswer, IntakeWeight, OpenMatter, PrescriptionItem

SCHEMA = Path(__file__).resolve().parents[2] / "schema"
TEXT = (SCHEMA / "1.0" / "README.md").read_text("utf-8")
PUBLISHED: dict[str, Any] = json.loads((SCHEMA / "rules.json").read_bytes())
RULES: dict[str, dict[str, Any]] = {each["code"]: each for each in PUBLISHED["rules"]}
PROFILES = ("open-door", "working-bench", "evidence")
WORDS = list(get_args(Demand))


def section(number: str) -> str:
    found = re.search(rf"^### {re.escape(number)} .*?(?=^##)", TEXT, flags=re.M | re.S)
    assert found
    return found[0]


def test_every_demand_has_one_sentence_one_function_one_member_and_words() -> None:
    assert re.findall(r"^- `([a-z-]+)`: ", section("9.14"), flags=re.M) == WORDS
    assert list(DEMANDS) == WORDS
    assert [name.replace("_", "-") for name in Demands.model_fields] == WORDS
    assert [each["demand"] for each in PUBLISHED["demands"]] == WORDS == list(catalogue().demands)
    for each in PUBLISHED["demands"]:
        assert set(each) == {"demand", "title", "remedy", "source"}
        assert each["remedy"].endswith(".")
        assert not each["title"].endswith(".")


def test_every_sentence_of_a_demand_says_where_it_points() -> None:
    items = re.findall(r"^- `([a-z-]+)`: (.*?)(?=^- `|\Z)", section("9.14"), flags=re.M | re.S)
    for word, sentence in items:
        assert re.search(r"At\s+(?:`/|the document|the first)", sentence), word


def test_members_of_demands_are_named_in_their_sentences() -> None:
    items = dict(re.findall(r"^- `([a-z-]+)`: (.*?)(?=^- `|\Z)", section("9.14"), flags=re.M | re.S))
    intro = section("9.14")
    for name, field in Demands.model_fields.items():
        block: Any = field.annotation
        named = set(re.findall(r"`(\w+)`", items[name.replace("_", "-")]))
        asked = set(block.model_fields) - {"specimen_kinds"}
        if name == "prescription":
            asked = {"needed", "orders"}
        if name == "isolation":
            asked = {"minutes_at_most"}
        assert asked <= named, name
    assert "`specimen_kinds`" in intro


def test_words_have_their_texts() -> None:
    assert set(ANSWERS) == set(get_args(IntakeAnswer))
    assert set(OPEN) == set(get_args(OpenMatter))
    assert set(ITEMS) == set(get_args(PrescriptionItem))


def test_protected_is_what_the_specification_says() -> None:
    protected = PUBLISHED["protected"]
    assert len(set(protected)) == len(protected)
    assert set(protected) <= set(RULES)
    whole = {"9.1", "9.2", "9.5", "9.10", "9.11", "9.12"}
    for code, rule in RULES.items():
        if rule["section"] in whole and rule["severity"] == "error":
            assert code in protected, code
        if rule["section"] == "9.8" and rule["severity"] != "note":
            assert code in protected, code
    others = {code for code in protected if RULES[code]["section"] not in whole | {"9.8"}}
    assert {RULES[code]["severity"] for code in others} == {"error"}
    kinds_of_limit = {code for code in RULES if code.startswith("tolerance-of-other-")}
    assert kinds_of_limit | {"effect-of-other-question", "conclusion-hides-worst", "document-digest-differs"} <= others


@pytest.mark.parametrize("name", [*PROFILES, "bench-waivers"])
def test_published_documents_are_sound(name: str) -> None:
    report = check(json.dumps(base(name)).encode(), as_of="2026-06-15")
    assert (report.outcome, report.findings) == ("valid", None)


def test_the_usual_profile_asks_more_than_the_lenient_and_the_strict_most() -> None:
    asked = [set(base(name)["demands"]) for name in PROFILES]
    assert asked[0] < asked[1] < asked[2]
    assert asked[2] == set(Demands.model_fields) - {"documents"}


@pytest.mark.parametrize("name", PROFILES)
def test_profiles_say_what_they_are_for(name: str) -> None:
    profile = base(name)
    assert len(profile["note"]) > 100
    changes = profile.get("rules", [])
    assert all(each["weight"] in get_args(IntakeWeight) for each in changes)
    own = {each["code"]: RULES[each["code"]]["severity"] for each in changes}
    assert not [each["code"] for each in changes if own[each["code"]] == each["weight"]], (
        "a change that changes nothing"
    )


def test_statistical_rules_refuse_nothing_in_published_profiles() -> None:
    statistical = {code for code, rule in RULES.items() if "false alarm" in rule.get("guard", "").lower()}
    for name in PROFILES:
        raised = {each["code"] for each in base(name).get("rules", []) if each["weight"] == "error"}
        assert not raised & statistical
