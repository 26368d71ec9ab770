"""The cases of conformance/intake run with this package, and the cases themselves looked at."""

import hashlib
import json
import re
from collections import Counter
from typing import Any, get_args

import pytest
from conformance_support import CONFORMANCE, document

from shadefmt.bundles import FileFacts
from shadefmt.checking import check
from shadefmt.intake import desk_of, receive
from shadefmt.model.report import Report
from shadefmt.vocabulary import Demand, PrescriptionItem

Value = dict[str, Any]

FOLDER = CONFORMANCE / "intake"
CASES: dict[str, Value] = {
    case["id"]: {**case, "file": path.stem}
    for path in sorted(FOLDER.glob("*.json"))
    for case in json.loads(path.read_text("utf-8"))
}
EXIT = {"accepted": 0, "refused": 1, "undecided": 3}
EMPTY: Value = {"waived": [], "weights": [], "left_open": [], "findings": [], "by_waiver": False}
"""What is expected where a case does not say."""


def options(case: Value) -> Value:
    stated = dict(case.get("options", {}))
    if "attachments" in stated:
        contents = {path: text.encode() for path, text in stated["attachments"].items()}
        facts = {path: FileFacts(len(data), hashlib.sha256(data).hexdigest()) for path, data in contents.items()}
        stated["attachments"] = facts.get
    return stated


def received(case: Value) -> Report:
    waivers = json.dumps(case["waivers"]).encode() if "waivers" in case else None
    asked = options(case)
    desk = desk_of(json.dumps(case["profile"]).encode(), waivers, as_of=asked.get("as_of"))
    return receive(document(case), desk, **asked)


def answer_in(report: Report) -> Value:
    intake = report.intake
    assert intake is not None
    findings, unmet = report.findings or [], intake.demands_not_met or []
    waived = [[each.code, each.pointer, each.waiver_id] for each in findings if each.waiver_id]
    waived += [[each.demand, each.pointer, each.waiver_id] for each in unmet if each.waiver_id]
    return {
        "outcome": report.outcome,
        "answer": intake.answer,
        "exit": EXIT[intake.answer],
        "by_waiver": intake.by_waiver,
        "demands": sorted([each.demand, each.pointer] for each in unmet),
        "waived": sorted(waived),
        "weights": sorted([each.code, each.pointer, each.intake_weight] for each in findings if each.intake_weight),
        "left_open": sorted([each.what, each.name] for each in intake.left_open or ()),
        "findings": sorted([each.code, each.pointer] for each in intake.findings or ()),
    }


def expected(case: Value) -> Value:
    stated = {**EMPTY, **case["expect"]}
    return {name: sorted(item) if isinstance(item, list) else item for name, item in stated.items()}


@pytest.mark.parametrize("name", CASES)
def test_case(name: str) -> None:
    case = CASES[name]
    assert answer_in(received(case)) == expected(case)


@pytest.mark.parametrize("name", CASES)
def test_the_check_is_the_same_without_profile_and_waivers(name: str) -> None:
    case = CASES[name]
    bare = check(document(case), **options(case)).to_value()
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
        assert len(text) < 120, text
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
        assert expect["exit"] == EXIT[expect["answer"]], case["id"]
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
