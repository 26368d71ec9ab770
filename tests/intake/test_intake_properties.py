"""What holds for every receiver: nothing raises, the check stays what it is, waivers only ever help."""

import json
from typing import Any

import pytest
from bases import base, of_kind, written
from edited_cases import edited_cases
from hypothesis import given, settings
from hypothesis import strategies as st
from model_values import values_of, whole_values_of
from reports import require_sound

from shadefmt.catalogue import catalogue
from shadefmt.checking import check
from shadefmt.errors import WrongUse
from shadefmt.intake import Desk, desk_of, receive
from shadefmt.model.demands import Demands
from shadefmt.model.intake import Waiver
from shadefmt.model.report import Report

Value = dict[str, Any]

AS_OF = "2027-01-01"
PROFILE: Value = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "intake-profile",
    "id": "urn:uuid:2c5e7f90-1b3d-4a68-9e04-d7f6a8b1c302",
    "title": "drawn",
    "partly_checked_accepted": False,
}
LIST: Value = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "waiver-list",
    "id": "urn:uuid:81f4d6a3-c09b-4e57-b2d8-5e6c7a90f413",
    "title": "drawn",
}
FREE = sorted(code for code in catalogue().rules if code not in catalogue().protected)
WEIGHTS = st.sampled_from(["error", "warning", "note", "off"])


def drawn_desk(value: Value, waivers: list[Value] | None = None) -> Desk | None:
    """The desk of a profile, None where what was drawn cannot be asked."""
    listed = {**LIST, "waivers": waivers} if waivers else None
    try:
        return desk_of(written(value), written(listed) if listed else None, as_of=AS_OF)
    except WrongUse:
        return None


def sound(demands: Value) -> Value:
    """Demands without those that cannot be asked as they were drawn."""
    zones, spectrum, basis = (demands.get(name) for name in ("zones", "spectrum", "basis"))
    documents, settling = demands.get("documents"), demands.get("settling", {})
    drop = {
        "zones": zones and not {"front", "back"} & zones.keys(),
        "spectrum": spectrum and spectrum["from_nm"] >= spectrum["to_nm"],
        "basis": basis and "unknown" in (basis["illuminant"], basis["observer"], *basis.get("second_illuminants", [])),
        "documents": documents and True not in documents.values(),
        "settling": 0 < len({"stability", "visit_days_apart", "visits_within"} & settling.keys()) < 3,
    }
    kept = {name: item for name, item in demands.items() if not drop.get(name)}
    return kept or {"sender": {"code": True}}


profiles = st.fixed_dictionaries(
    {
        "partly_checked_accepted": st.booleans(),
        "demands": st.one_of(values_of(Demands), whole_values_of(Demands)).map(sound),
        "rules": st.dictionaries(st.sampled_from(FREE), WEIGHTS, min_size=1, max_size=4).map(
            lambda chosen: [{"code": code, "weight": weight} for code, weight in chosen.items()]
        ),
    }
).map(lambda content: {**PROFILE, **content})


def placed(waiver: Value) -> Value:
    """A waiver that names one thing, and no place that it cannot name."""
    dropped = {"entry_id", "member", "pointer"} if "document" not in waiver else {"pointer"}
    dropped |= {"member"} if "entry_id" not in waiver else set()
    dropped |= {"code"} if "demand" in waiver else set()
    kept = {name: item for name, item in waiver.items() if name not in dropped}
    return kept if {"code", "demand"} & kept.keys() else {**kept, "demand": "sender"}


waiver_lists = st.lists(
    st.tuples(values_of(Waiver), st.sampled_from(FREE)).map(lambda pair: placed({**pair[0], "code": pair[1]})),
    min_size=1,
    max_size=3,
    unique_by=lambda waiver: waiver["id"],
)


def require_answer(report: Report, data: bytes) -> None:
    """The report is sound, its answer follows from what it lists, and the check is the one without a profile."""
    intake = report.intake
    assert intake is not None
    Report.model_validate(json.loads(json.dumps(report.to_value())))
    against = [each for each in report.findings or () if (each.intake_weight or each.severity) == "error"]
    standing = sum(each.waiver_id is None for each in against)
    unmet = sum(each.waiver_id is None for each in intake.demands_not_met or ())
    assert (intake.findings_against, intake.demands_against) == (standing, unmet)
    expected = "refused" if standing or unmet else "undecided" if intake.left_open else "accepted"
    assert intake.answer == expected
    assert not intake.by_waiver or intake.waived
    value = report.to_value()
    del value["intake"]
    for finding in value.get("findings", []):
        finding.pop("intake_weight", None)
        finding.pop("waiver_id", None)
    bare = check(data, as_of=AS_OF)
    assert value == bare.to_value()
    require_sound(bare, data)


@settings(max_examples=settings().max_examples // 3)
@given(profiles, st.one_of(edited_cases(), st.sampled_from([base(name) for name in of_kind("case")])))
def test_any_profile_answers_any_case(profile: Value, case: Value) -> None:
    desk, data = drawn_desk(profile), written(case)
    assert desk is not None
    report = receive(data, desk, as_of=AS_OF)
    require_answer(report, data)
    assert not [each for each in (report.intake and report.intake.left_open) or () if each.reason == "failed"]
    assert receive(data, desk, as_of=AS_OF) == report


@given(st.binary(max_size=200))
def test_bytes_that_cannot_be_read_are_refused(data: bytes) -> None:
    desk = drawn_desk({**PROFILE, "demands": {"sender": {"code": True}}})
    assert desk is not None
    report = receive(data, desk, as_of=AS_OF)
    require_answer(report, data)
    assert report.intake is not None
    assert report.intake.answer == "refused"


@settings(max_examples=settings().max_examples // 3)
@given(profiles, waiver_lists, edited_cases())
def test_a_waiver_never_turns_an_answer_for_the_worse(profile: Value, waivers: list[Value], case: Value) -> None:
    bare, helped = drawn_desk(profile), drawn_desk(profile, waivers)
    assert bare is not None
    if helped is None:  # a date that no calendar holds
        return
    data = written(case)
    without, with_waivers = (receive(data, desk, as_of=AS_OF).intake for desk in (bare, helped))
    assert without is not None
    assert with_waivers is not None
    order = ["accepted", "undecided", "refused"]
    assert order.index(with_waivers.answer) <= order.index(without.answer)
    total = without.findings_against + without.demands_against
    assert with_waivers.findings_against + with_waivers.demands_against + with_waivers.waived == total


@pytest.mark.parametrize("most", [0, 1, 3])
def test_a_cap_bounds_the_listing_and_nothing_else(most: int) -> None:
    demands = {"decimals": {"least": 9}, "sender": {"code": True}}
    desk = drawn_desk({**PROFILE, "demands": demands, "rules": [{"code": "barrier-unstated", "weight": "error"}]})
    assert desk is not None
    case = base("crown")
    del case["sessions"][0]["barrier_fitted"]
    whole, cut = (receive(written(case), desk, max_findings=number).intake for number in (None, most))
    assert whole is not None
    assert cut is not None
    assert len(whole.demands_not_met or ()) > 3
    assert len(cut.demands_not_met or ()) == most
    names = ("answer", "findings_against", "demands_against", "waived")
    assert [getattr(whole, name) for name in names] == [getattr(cut, name) for name in names]
    assert whole.findings_against == 1
