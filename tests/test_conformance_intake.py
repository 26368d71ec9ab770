"""The cases of conformance/intake run with this package, and the cases themselves looked at."""

import json
import re
from collections import Counter
from typing import Any, get_args

import pytest
from conformance_support import CONFORMANCE, INTAKE_EXIT, answer_in, document, expected, options, received

from shadefmt.checking import check
from shadefmt.vocabulary import Demand, PrescriptionItem

Value = dict[str, Any]

FOLDER = CONFORMANCE / "intake"
CASES: dict[str, Value] = {
    case["id"]: {**case, "file": path.stem}
    for path in sorted(FOLDER.glob("*.json"))
    for case in json.loads(path.read_text("utf-8"))
}


@pytest.mark.parametrize("name", CASES)
def test_case(name: str) -> None:
    case = CASES[name]
    assert answer_in(received(case)) == expected(case)


@pytest.mark.parametrize("name", CASES)
def test_the_check_is_the_same_without_profile_and_waivers(name: str) -> None:
    case = CASES[name]
    bare = check(document(case), **options(case.get("options", {}))).to_value()
    report = received(case).to_value()
    assert report.pop("intake")
    for finding in report.get("findings", []):
        finding.pop("intake_weight", None)
        finding.pop("waiver_id", None)
    assert report == bare


def test_ids_are_unique_and_told_by_file() -> None:
    listed = [case["id"] for path in FOLDER.glob("*.json") for case in json.loads(path.read_text("utf-8"))]
    assert [name for name, count in Counter(listed).items() if count > 1] == []
    assert all(name.startswith(f"intake-{case['file']}/") for name, case in CASES.items())
    assert {path.stem for path in FOLDER.glob("*.json")} == {*get_args(Demand), "answer", "waivers"}


def test_descriptions_say_the_condition() -> None:
    texts = [case["description"] for case in CASES.values()]
    assert len(set(texts)) == len(texts)
    for text in texts:
        assert len(text) < 100, text
        assert not re.search(r"\bshould\b|\btest(s|ed)? that\b|[.!]$", text), text


@pytest.mark.parametrize("demand", get_args(Demand))
def test_every_demand_is_met_and_not_met(demand: str) -> None:
    own = [case["expect"] for case in CASES.values() if case["file"] == demand]
    missed = [each for each in own if demand in {name for name, _ in each["demands"]}]
    assert missed
    assert any(each["answer"] == "accepted" for each in own)
    assert all({name for name, _ in each["demands"]} <= {demand} for each in own)


def test_every_item_of_prescriptions_is_asked_for() -> None:
    orders = [
        order
        for case in CASES.values()
        for order in case["profile"].get("demands", {}).get("prescription", {}).get("orders", [])
    ]
    assert {item for order in orders for item in order["items"]} == set(get_args(PrescriptionItem))
    assert {member for order in orders for member in order} - {"items"} == {
        *("restorations", "material_classes", "supports", "front", "thinner_than_mm")
    }


def test_codes_of_the_answer_are_hit_and_missed() -> None:
    for code in ("waiver-not-accepted", "waiver-unused", "waiver-expired"):
        found = [code in {each for each, _ in case["expect"].get("findings", [])} for case in CASES.values()]
        assert any(found)
        assert not all(found)


def test_expectations_are_of_one_piece() -> None:
    for case in CASES.values():
        expect = case["expect"]
        assert expect["exit"] == INTAKE_EXIT[expect["answer"]], case["id"]
        waived = {(name, place) for name, place, _ in expect.get("waived", [])}
        standing = {tuple(each) for each in expect["demands"]} - waived
        if standing:
            assert expect["answer"] == "refused", case["id"]
        if expect["answer"] == "undecided":
            assert expect["left_open"], case["id"]


FAKES: dict[str, Value] = {
    "takes everything": {"answer": "accepted", "exit": 0, "demands": [], "left_open": []},
    "takes nothing": {"answer": "refused", "exit": 1},
    "asks nothing": {"demands": [], "waived": [], "left_open": []},
}
"""Answers of implementations that are wrong, and in what."""


@pytest.mark.parametrize("name", FAKES)
def test_wrong_implementations_are_caught(name: str) -> None:
    caught = {case["file"] for case in CASES.values() if {**expected(case), **FAKES[name]} != expected(case)}
    assert caught >= set(get_args(Demand))
