"""What is told of a case, detail by detail: one change to a case, one change in the words."""

from typing import Any

import pytest
from shown_cases import as_case, checked, rich, smallest

from shadefmt.indexing import CaseView
from shadefmt.rendering import case_text
from shadefmt.rendering.account.apart import apart, direction_words
from shadefmt.rendering.account.beneath import beneath
from shadefmt.rendering.account.colours import read_rows, target_rows
from shadefmt.rendering.account.foundations import Foundations
from shadefmt.rendering.account.history import events, held, privacy, revisions, withdrawals
from shadefmt.rendering.account.identity import identity, orders, relations
from shadefmt.rendering.account.ledger_rows import APART, ledgers
from shadefmt.rendering.account.names import specimen_name, zone_name
from shadefmt.rendering.account.outcomes import AGAINST_REFERENCE, NO_GRADE, Outcome, outcomes
from shadefmt.rendering.account.trust import trust
from shadefmt.rendering.account.worked_out import bridges, indices, translucencies


def view(value: dict[str, Any]) -> CaseView:
    return CaseView(as_case(value))


def outcome(value: dict[str, Any], verdict_id: str) -> Outcome:
    case, report = checked(value)
    return next(each for each in outcomes(CaseView(case), report) if each.entry_id == verdict_id)


def target(**more: Any) -> str:
    """How the first target is known after a change to it."""
    value = rich()
    value["targets"] = [{**value["targets"][0], **more}]
    return target_rows(view(value))[0].how_known


@pytest.mark.parametrize(
    ("change", "known"),
    [
        ({}, "measured: tooth 11 read on 10 May 2027, 3 readings; model tooth 11 (its neighbour); set on 10 May 2027"),
        ({"source_kind": "agreed-with-patient"}, "agreed with the patient, after tooth 11 read on 10 May 2027"),
        ({"source_kind": "design-value"}, "a design value, after tooth 11 read on 10 May 2027"),
        ({"source_kind": "chosen-reference", "source_id": "ref-mossop"}, "chosen: the reference Mossop;"),
        (
            {"source_kind": "chosen-reference", "source_id": "chosen"},
            "chosen by eye: between Mossop and Tarrel, not sure",
        ),
        ({"source_kind": "chosen-reference", "source_id": "nowhere"}, "chosen from references;"),
        ({"source_id": "nowhere"}, "measured on a tooth;"),
    ],
)
def test_a_target_says_what_it_rests_on(change: dict[str, Any], known: str) -> None:
    assert target(**change).startswith(known)


@pytest.mark.parametrize(
    ("specimen", "name"),
    [
        ({"kind": "tooth", "tooth": "11"}, "tooth 11"),
        ({"kind": "tooth", "tooth": "11", "supernumerary": True}, "extra tooth beside 11"),
        ({"kind": "gingiva", "tooth": "24"}, "gingiva at 24"),
        ({"kind": "restoration", "area": "01"}, "restoration, upper jaw"),
        ({"kind": "restoration", "tooth": "12", "part_of_id": "crown-12"}, "part of crown 12"),
        ({"kind": "check-patch"}, "check patch new"),
        ({"kind": "guide-tab"}, "guide tab"),
    ],
)
def test_specimens_are_called_what_the_trade_calls_them(specimen: dict[str, Any], name: str) -> None:
    value = rich()
    value["specimens"].append({"id": "new", **specimen})
    assert specimen_name(view(value), "new") == name


def test_zones_are_in_words_with_column_and_region() -> None:
    assert zone_name("middle", "mesial") == "middle third, mesial"
    assert zone_name("region", None, "a white\nspot") == "region: a white spot"
    assert zone_name("region") == "a region"


def test_a_case_without_a_subject_goes_by_its_id_and_without_revisions_by_its_clinic() -> None:
    value = rich()
    value.pop("subject")
    value.pop("revisions")
    value["parties"].reverse()
    known = identity(view(value))
    assert (known.name, known.sender) == (value["id"], "tern-steps")


def test_several_teeth_are_listed() -> None:
    value = rich()
    value["prescriptions"].append(
        {"id": "second", "specimen_id": "tooth-22", "restoration": "inlay", "due": "2027-05-20"}
    )
    known = identity(view(value))
    assert (known.teeth, known.tooth_words, known.work, known.due) == (
        ["12", "22"],
        None,
        ["crown", "inlay"],
        "20 May 2027",
    )
    assert orders(view(value))[1].sentences[:2] == [
        "An inlay for tooth 22 (upper left lateral incisor).",
        "The material is not stated.",
    ]


def test_relations_name_the_other_case() -> None:
    value = rich()
    value["relations"] = [
        {"id": "one", "relation": "replaces", "other": {"id": "urn:example:old"}},
        {"id": "two", "relation": "continues", "other": {"sha256": "0b" * 32}},
    ]
    assert relations(view(value)) == [
        "This case is in place of urn:example:old.",
        "This case is the continuation of the case with the digest 0b0b0b0b0b0b.",
    ]


def test_under_an_implant_it_is_an_abutment() -> None:
    value = rich()
    value["specimens"][3]["support"] = "implant"
    value["prescriptions"][0].pop("stump_specimen_id")
    facts = dict(beneath(view(value))[0].facts)
    assert facts["abutment"] == "not stated"
    assert facts["colour of the abutment"] == "not stated"


def test_tristimulus_values_become_coordinates() -> None:
    """XYZ of L* 74, a* 1.5, b* 17 for D65 and 2 degrees (computed with another program)."""
    value = smallest()
    colour = value["readings"][0]["colours"][0]
    colour.pop("lab")
    colour |= {"xyz": {"X": 44.9076, "Y": 46.7039, "Z": 35.9033}, "decimals": 4}
    row = read_rows(view(value))[0]
    assert row.values == pytest.approx((74, 1.5, 17), abs=0.02)
    assert row.how_known == "one reading; from tristimulus values"
    colour["illuminant"] = "unknown"
    assert read_rows(view(value))[0].lab is None


def test_a_spread_without_a_mean_difference_is_taken_from_the_variances() -> None:
    """The root of 0.09 + 0.04 + 0.03 is 0.4; variances of a mean say nothing of single readings."""
    value = rich()
    spread = {"formula": "CIEDE2000", "k_L": 1, "k_C": 1, "k_H": 1, "decimals": 2, "covariance_of": "reading"}
    spread |= {"var_L": 0.09, "var_a": 0.04, "var_b": 0.03, "cov_La": 0, "cov_Lb": 0, "cov_ab": 0}
    value["means"][0]["spread"] = spread
    assert target_rows(view(value))[0].spread == "0.40"
    spread["covariance_of"] = "mean"
    assert target_rows(view(value))[0].spread is None


def test_a_row_says_how_it_lies_from_the_row_above() -> None:
    rows = target_rows(view(rich()))
    assert rows[0].from_above == ""
    assert rows[1].from_above == "paler, lighter and less red: 3.5 from the row above"


def test_directions_agree_with_the_coordinates() -> None:
    assert direction_words(apart((70, 2, 18), (68, 2, 18))) == "darker"
    assert direction_words(apart((70, 2, 18), (70, 2, 18))) == ""
    assert direction_words(apart((70, 2, 18), (70, 4, 17))) == "redder"
    assert direction_words(None) == ""
    assert apart((70, 2, 18), (float("inf"), 0, 0)) is None


def test_a_whitened_tooth_is_not_called_yellower() -> None:
    """Chroma falls by half and b* with it; the hue angle still turns towards yellow."""
    assert direction_words(apart((72, 4, 22), (76, 0.9, 13))) == "paler, lighter and less red"


def test_inconclusive_says_which_side_and_whether_repeats_could_settle_it() -> None:
    """Difference 1.32, limit 1.8: systematic 0.245 with k = 2 is more than the 0.48 to the limit; without it, it is not."""
    value = rich()
    fixed = outcome(value, "verdict-incisal").reasons
    assert fixed[0].endswith("the best estimate lies within it")
    assert fixed[1].startswith("more repeats cannot settle it")
    parts = value["comparisons"][2]["uncertainty"]
    parts["components"] = [{"source": "repeatability", "standard_uncertainty": 0.25}]
    # 0.25 from three readings is 0.433 from one; k = 2 and a gap of 0.48 need (2 * 0.433 / 0.48)^2 = 3.26 of them
    assert outcome(value, "verdict-incisal").reasons[1].startswith("4 readings on each side, in all, could settle it")
    parts.pop("components")
    assert len(outcome(value, "verdict-incisal").reasons) == 1


def test_a_verdict_against_a_reference_says_so_unless_it_is_about_quality() -> None:
    value = rich()
    value["targets"][0] |= {"source_kind": "chosen-reference", "source_id": "ref-quindle"}
    assert AGAINST_REFERENCE in outcome(value, "verdict-cervical").does_not_say
    assert "judged against a reference, not against the tooth" in " ".join(case_text(*checked(value)).split())
    value["comparisons"][0]["question"] = "quality-control"
    assert AGAINST_REFERENCE not in outcome(value, "verdict-cervical").does_not_say


def test_a_change_gets_no_school_mark() -> None:
    value = rich()
    value["comparisons"][0]["question"] = "change"
    found = outcome(value, "verdict-cervical")
    assert found.does_not_say == (NO_GRADE,)


@pytest.mark.parametrize(
    ("members", "whose"),
    [
        ({}, ""),
        ({"source": "a  paper\n1990"}, "a paper 1990"),
        ({"agreed_by_ids": ["lab"]}, "agreed by slate-yard"),
        ({"agreed_at": "2027-01-02"}, "agreed on 2 January 2027"),
        (
            {"source": "S", "agreed_by_ids": ["clinic", "lab"], "agreed_at": "2027-01-02"},
            "S, agreed by tern-steps and slate-yard on 2 January 2027",
        ),
    ],
)
def test_a_limit_says_whose_it_is(members: dict[str, Any], whose: str) -> None:
    value = rich()
    tolerance = value["tolerances"][0]
    for name in ("source", "agreed_by_ids", "agreed_at"):
        tolerance.pop(name)
    tolerance |= members
    assert outcome(value, "verdict-cervical").whose == whose


def test_the_uncertainty_is_given_for_the_coverage_that_the_rule_uses() -> None:
    """0.5 with k = 2 is 0.75 with k = 3."""
    value = rich()
    value["tolerances"][0]["coverage_factor"] = 3
    found = outcome(value, "verdict-cervical")
    assert (found.give_or_take, found.coverage) == ("0.75", "3")
    assert found.expanded == pytest.approx(0.75)


def test_a_verdict_on_nothing_says_so() -> None:
    value = rich()
    value["verdicts"] = [{"id": "lost", "comparison_id": "nowhere", "decision": "conforms"}]
    assert "the comparison it names is not in the file" in outcome(value, "lost").reasons


def test_what_an_entry_rests_on_goes_all_the_way_down_and_ends() -> None:
    case, report = checked(rich())
    below = Foundations(CaseView(case), report)
    assert {"compare-middle", "target-middle", "mean-tooth-middle", "tooth-middle-2", "chair", "limit"} <= below.of(
        "verdict-middle"
    )
    assert "clinic" not in below.of("verdict-middle")
    assert below.of("nowhere") == frozenset()
    assert below.errors(["verdict-now"]) == ("decision-disagrees-with-rule",)
    assert below.errors(["verdict-middle"]) == ()


def standings(value: dict[str, Any], heading: str) -> dict[str, str]:
    case, report = checked(value)
    found = next(each for each in trust(CaseView(case), report) if each.heading.startswith(heading))
    return {line.subject: line.standing for line in found.lines}


def test_choices_by_eye_need_no_calibration_but_a_light() -> None:
    value = rich()
    chosen = standings(value, "tooth 11, middle third: 1 reading by eye")
    assert chosen == {"wet or dry": "not stated", "repeats": "not stated", "light": "stated", "eyes": "stated"}
    value["sessions"][3].pop("light")
    value["sessions"][3].pop("observer_count")
    assert set(standings(value, "tooth 11, middle third: 1 reading by eye").values()) == {"not stated"}


def test_a_faulty_session_marks_the_series_read_in_it_and_no_other() -> None:
    value = rich()
    value["sessions"][1]["calibration"]["result"] = "failed"
    assert standings(value, "crown 12, cervical")["calibration"] == "contradicts"
    assert standings(value, "tooth 11, cervical")["calibration"] == "stated"


def test_unbridged_instruments_cannot_be_told_apart_in_a_ledger() -> None:
    value = rich()
    assert [row.sure for row in ledgers(view(value))[0].rows] == ["", "", "", "", ""]
    value.pop("bridges")
    assert [row.sure for row in ledgers(view(value))[0].rows] == ["", "", APART, APART, ""]


def test_a_ledger_tells_where_and_agrees_with_another_formula() -> None:
    """Sizes by scikit-image: tooth then against now 2.3137, in all 2.5741."""
    table = ledgers(view(rich()))[0]
    assert [row.difference for row in table.rows] == ["2.31", "0.00", "0.30", "0.59", "2.57"]
    assert table.rows[0].parts == ("+2.70", "-0.60", "-1.80")
    assert table.reading == "Most of the difference arose when the shade was taken."


def test_no_ledger_without_an_objection() -> None:
    value = rich()
    value["events"] = [each for each in value["events"] if each["kind"] != "objection"]
    assert ledgers(view(value)) == []


def test_a_dry_tooth_is_no_station_of_a_ledger() -> None:
    value = rich()
    for reading in value["readings"]:
        if reading["id"].startswith("tooth-now"):
            reading["hydration"] = "dry"
    assert ledgers(view(value)) == []


def test_where_a_case_is_from() -> None:
    held_things = held(view(rich()))
    assert [(each.what, each.digest) for each in held_things] == [
        ("reference set", "3f" * 6),
        ("tolerance", "3f" * 6),
        ("file", "3f" * 6),
    ]
    assert held_things[2].name == (
        "pictures/front.jpg, for shape and characterisation, shows teeth, compressed again on the way, "
        "with consent to hand it on"
    )
    assert revisions(view(rich()))[0].program == "example-writer 2.1"
    assert withdrawals(view(rich())) == ["slipped: it moved (the tip slid onto the gum)"]
    assert events(view(rich()))[0] == "sent off on 21 May 2027, at slate-yard"
    assert privacy(view(rich()))[0] == "The file is pseudonymised and remains personal data."


def test_what_was_worked_out_is_told_with_its_basis() -> None:
    assert indices(view(rich()))[0] == (
        "whiteness index (WI_D)",
        "19.2, of tooth 11 read on 10 May 2027, daylight at 6500 K, 2-degree observer",
    )
    assert "8.54 between white and black behind it (CIEDE2000)" in translucencies(view(rich()))[0][1]
    assert bridges(view(rich()))[0].startswith("chair-device and bench-device, on 1 patch like teeth, 2 May 2027:")
