"""What is derived and what is left, in one case after another: repeats, withdrawals, obstacles, rules, limits, near zero."""

import copy
from typing import Any

import pytest
from bases import base, written
from measured_cases import Setting, clinic_case, guide, readings, target, tolerance, with_laboratory
from pydantic import ValidationError

from shadefmt.checking import check
from shadefmt.deriving import Derived, Request, derive
from shadefmt.history import add_entries

Value = dict[str, Any]

BETWEEN = Request(components={"inter-instrument": 0.2})


def begun(setting: Setting, request: Request = BETWEEN) -> Value:
    """Return the laboratory's case before anything is derived in its revision."""
    case = derive(clinic_case(setting), request).case
    case = add_entries(case, {"targets": [target(case, "mean-tooth-21-middle")]})
    return with_laboratory(case, setting)


def judged(setting: Setting = Setting(), request: Request = BETWEEN) -> Derived:  # noqa: B008 - immutable
    return derive(begun(setting, request), request)


def left(done: Derived) -> list[tuple[str, str]]:
    return [(each.what, each.entry_id) for each in done.left]


def require_no_error(case: Value) -> None:
    report = check(written(case))
    assert [(each.code, each.pointer) for each in report.findings or () if each.severity == "error"] == []


def test_everything_that_follows_is_written() -> None:
    done = judged(Setting(more={"reference_sets": [guide(("D65", "2-degree"), [(75, 1, 15), (70, 2, 20)])]}))
    assert {name: len(ids) for name, ids in done.added.items()} == {
        "means": 1,
        "matches": 1,
        "comparisons": 1,
        "verdicts": 1,
    }
    assert done.left == []
    require_no_error(done.case)


@pytest.mark.parametrize("number", [2, 7, 200])
def test_any_number_of_repeats_is_averaged(number: int) -> None:
    done = derive(clinic_case(Setting(tooth_repeats=number)))
    (mean,) = done.case["means"]
    assert mean["reading_ids"] == [f"clinic-reading-{index + 1}" for index in range(number)]
    require_no_error(done.case)


def test_a_single_reading_is_not_averaged() -> None:
    done = derive(clinic_case(Setting(tooth_repeats=1)))
    assert "means" not in done.case
    assert done.case["readings"][0]["colours"][0]["origin"] == "computed"
    require_no_error(done.case)


def test_withdrawn_readings_are_left_out() -> None:
    case = clinic_case(Setting(tooth_repeats=4))
    case["withdrawals"] = [{"id": "slip", "entry_id": "clinic-reading-2", "reason": "moved"}]
    done = derive(case)
    (mean,) = done.case["means"]
    assert mean["reading_ids"] == ["clinic-reading-1", "clinic-reading-3", "clinic-reading-4"]
    assert "colours" not in done.case["readings"][1]
    require_no_error(done.case)


def test_a_mean_that_was_withdrawn_is_made_again_and_one_that_counts_is_not() -> None:
    case = derive(clinic_case(Setting())).case
    assert derive(case).added == {}
    case["withdrawals"] = [{"id": "slip", "entry_id": "mean-tooth-21-middle", "reason": "superseded"}]
    assert derive(case).added == {"means": ["mean-tooth-21-middle-2"]}


def test_what_is_there_already_stays_also_where_it_is_wrong() -> None:
    case = derive(clinic_case(Setting())).case
    wrong = copy.deepcopy(case)
    wrong["means"][0]["colour"]["lab"]["L"] += 5
    wrong["readings"][0]["colours"][0]["lab"]["L"] += 5
    assert derive(wrong).case == wrong


def test_readings_apart_in_place_session_or_state_are_no_repeats() -> None:
    case = clinic_case(Setting(tooth_repeats=6))
    case["specimens"].append({"id": "tooth-22", "kind": "tooth", "tooth": "22"})
    case["sessions"].append({**case["sessions"][0], "id": "later"})
    changes: list[Value] = [
        {},
        {"zone": "cervical"},
        {"specimen_id": "tooth-22"},
        {"session_id": "later"},
        {"hydration": "dry"},
        {"column": "mesial"},
    ]
    case["readings"] = [{**reading, **change} for reading, change in zip(case["readings"], changes, strict=True)]
    assert "means" not in derive(case).case


def test_several_zones_give_several_means_in_order() -> None:
    case = clinic_case(Setting(tooth_repeats=6))
    for reading, zone in zip(case["readings"], ["incisal", "middle", "cervical"] * 2, strict=True):
        reading["zone"] = zone
    done = derive(case)
    assert [each["id"] for each in done.case["means"]] == [
        "mean-tooth-21-incisal",
        "mean-tooth-21-middle",
        "mean-tooth-21-cervical",
    ]
    require_no_error(done.case)


def test_the_instruments_own_colours_come_before_computed_ones() -> None:
    case = derive(clinic_case(Setting())).case
    for reading in case["readings"]:
        own = copy.deepcopy(reading["colours"][0])
        reading["colours"].insert(0, {**own, "origin": "instrument"})
    del case["means"]
    done = derive(case)
    assert done.case["means"][0]["of_origin"] == "instrument"


def test_repeats_of_which_one_has_no_colour_are_left() -> None:
    case = clinic_case(Setting())
    colour = derive(case).case["readings"][0]["colours"][0]
    for reading in case["readings"]:
        del reading["spectrum"]
        reading["colours"] = [{**colour, "origin": "instrument"}]
    case["readings"][1]["colours"] = [{**colour, "origin": "instrument", "illuminant": "unknown"}]
    done = derive(case)
    assert left(done) == [("mean", "clinic-reading-1")]
    assert done.case == case


@pytest.mark.parametrize(
    "grid",
    [
        {},
        {"start_nm": 400, "step_nm": 60},
        {"start_nm": 800, "step_nm": 10},
        {"wavelengths_nm": [400, 500, 700]},
        {"wavelengths_nm": [700 - 10 * index for index in range(31)]},
    ],
)
def test_a_spectrum_whose_grid_allows_no_colour_is_left(grid: Value) -> None:
    case = clinic_case(Setting(tooth_repeats=1))
    spectrum = case["readings"][0]["spectrum"]
    case["readings"][0]["spectrum"] = {
        "quantity": "reflectance-factor",
        **grid,
        "decimals": 4,
        "values": spectrum["values"],
    }
    done = derive(case)
    assert left(done) == [("colour", "clinic-reading-1")]
    assert done.case == case


def test_a_spectrum_whose_colour_the_format_cannot_hold_is_left() -> None:
    case = clinic_case(Setting(tooth_repeats=1))
    values = case["readings"][0]["spectrum"]["values"]
    case["readings"][0]["spectrum"]["values"] = [1e6 if index == 8 else -1e6 for index in range(len(values))]
    done = derive(case)
    assert left(done) == [("colour", "clinic-reading-1")]


def test_colours_of_an_earlier_revision_are_computed_later_in_entries_of_their_own() -> None:
    request = Request(illuminant="A", observer="10-degree")
    case = begun(Setting())
    done = derive(case, request)
    later = done.case["computed_colours"]
    assert [each["reading_id"] for each in later] == [f"clinic-reading-{index}" for index in (1, 2, 3)]
    assert {each["revision_id"] for each in later} == {"laboratory-1"}
    assert {each["colour"]["illuminant"] for each in later} == {"A"}
    assert done.case["readings"][:3] == case["readings"][:3]
    require_no_error(done.case)


def obstacles(case: Value, request: Request = BETWEEN) -> list[str]:
    done = derive(case, request)
    require_no_error(done.case)
    (verdict,) = done.case["verdicts"]
    if "obstacles" in verdict:
        assert verdict["decision"] == "cannot-be-compared"
        assert "grade" not in verdict
    found: list[str] = verdict.get("obstacles", [])
    return found


def of_laboratory(case: Value, list_name: str) -> list[Value]:
    return [each for each in case[list_name] if each.get("revision_id") == "laboratory-1"]


def test_without_obstacles_there_is_a_decision() -> None:
    assert obstacles(begun(Setting())) == []


def test_instruments_that_nothing_relates_are_an_obstacle() -> None:
    assert obstacles(begun(Setting(rule="simple")), Request()) == ["instruments-unbridged"]
    assert obstacles(begun(Setting(rule="simple", one_instrument=True)), Request()) == []


def test_another_geometry_is_an_obstacle() -> None:
    case = begun(Setting())
    of_laboratory(case, "instruments")[0]["geometry"] = "d:8"
    assert obstacles(case) == ["geometry-differs"]


def test_an_unknown_geometry_is_none() -> None:
    case = begun(Setting())
    of_laboratory(case, "instruments")[0]["geometry"] = "unknown"
    assert obstacles(case) == []


def test_a_camera_beside_an_instrument_is_an_obstacle() -> None:
    case = begun(Setting())
    of_laboratory(case, "instruments")[0]["kind"] = "camera"
    assert "kinds-mixed" in obstacles(case)


def test_a_dry_tooth_beside_a_moist_one_is_an_obstacle() -> None:
    setting = Setting(one_instrument=True)
    case = begun(setting)
    case["specimens"][1] = {"id": "crown-11", "kind": "tooth", "tooth": "11"}
    fresh = derive(clinic_case(setting), BETWEEN).case
    fresh["specimens"][1] = case["specimens"][1]
    fresh = add_entries(fresh, {"targets": [target(fresh, "mean-tooth-21-middle")]})
    case = with_laboratory(fresh, setting)
    for reading in of_laboratory(case, "readings"):
        reading["hydration"] = "dry"
        del reading["state"]
    assert obstacles(case) == ["hydration-differs"]


@pytest.mark.parametrize("rule", ["guarded", "four-way-guarded"])
def test_a_guarded_rule_without_uncertainty_decides_nothing(rule: str) -> None:
    setting = Setting(rule=rule, tooth_repeats=2, crown_repeats=2, one_instrument=True)
    assert obstacles(begun(setting), Request()) == ["uncertainty-missing"]


def test_the_simple_rule_needs_no_uncertainty() -> None:
    setting = Setting(rule="simple", tooth_repeats=2, crown_repeats=2, one_instrument=True)
    done = judged(setting, Request())
    assert "uncertainty" not in done.case["comparisons"][0]
    assert done.case["verdicts"][0]["decision"] in ("conforms", "does-not-conform")


@pytest.mark.parametrize(("apart", "decision"), [(0.0, "conforms"), (0.3, "does-not-conform")])
def test_near_and_far_are_decided(apart: float, decision: str) -> None:
    assert judged(Setting(apart=apart)).case["verdicts"][0]["decision"] == decision


@pytest.mark.parametrize("noise", [0.0, 1e-4])
def test_a_difference_of_nothing_has_an_upper_bound(noise: float) -> None:
    done = judged(Setting(apart=0.0, noise=noise))
    (comparison,) = done.case["comparisons"]
    assert comparison["difference"] == pytest.approx(0, abs=0.1)
    assert comparison["uncertainty"]["method"] == "bounded"
    assert comparison["uncertainty"]["expanded"] >= 0.4
    require_no_error(done.case)


def test_several_tolerances_leave_the_verdict_to_a_person() -> None:
    setting = Setting(more={"tolerances": [tolerance(Setting()), tolerance(Setting(rule="simple"), "others")]})
    done = judged(setting)
    assert "verdicts" not in done.case
    assert [each.reason for each in done.left if each.what == "verdict"] == ["several tolerances fit"]


def test_a_tolerance_of_another_formula_or_a_withdrawn_one_does_not_fit() -> None:
    done = judged(Setting(formula="CIELAB"))
    assert [each.what for each in done.left] == ["verdict"]
    case = begun(Setting())
    case["withdrawals"] = [{"id": "old", "revision_id": "laboratory-1", "entry_id": "limits", "reason": "superseded"}]
    assert [each.what for each in derive(case, BETWEEN).left] == ["verdict"]


def test_a_target_that_was_replaced_is_not_compared() -> None:
    case = begun(Setting())
    newer = {**case["targets"][0], "id": "target-new", "revision_id": "laboratory-1", "supersedes_id": "target-middle"}
    done = derive(add_entries(case, {"targets": [newer]}), BETWEEN)
    assert [each["standard_id"] for each in done.case["comparisons"]] == ["target-new"]


def test_a_target_without_work_is_left() -> None:
    case = derive(clinic_case(Setting())).case
    case = add_entries(case, {"targets": [target(case, "mean-tooth-21-middle")]})
    assert left(derive(case)) == [("comparison", "target-middle")]


def test_a_basis_that_the_target_lacks_is_left() -> None:
    done = derive(begun(Setting()), Request(illuminant="A"))
    assert ("comparison", "target-middle") in left(done)
    assert "comparisons" not in done.case


def test_a_reference_set_of_another_basis_is_left() -> None:
    setting = Setting(more={"reference_sets": [guide(("A", "2-degree"), [(75, 1, 15)])]})
    done = derive(clinic_case(setting))
    assert left(done) == [("nearest reference", "mean-tooth-21-middle")]


def test_a_set_of_one_reference_has_no_runner_up() -> None:
    setting = Setting(more={"reference_sets": [guide(("D65", "2-degree"), [(75, 1, 15)])]})
    (match,) = derive(clinic_case(setting)).case["matches"]
    assert "runner_up_id" not in match
    assert match["nearest_id"] == "ref-orvell"


def test_nothing_close_is_an_answer() -> None:
    setting = Setting(more={"reference_sets": [guide(("D65", "2-degree"), [(1, 0, 0), (2, 0, 0)])]})
    (match,) = derive(clinic_case(setting)).case["matches"]
    assert match["conclusion"] == "none-close"


def test_members_and_extensions_that_the_model_does_not_judge_are_kept() -> None:
    case = clinic_case(Setting(more={"extensions": {"org.example.x": {"kept": [1, None, {"a": "b"}]}}}))
    case["readings"][0]["note"] = "kept, too"
    done = derive(case).case
    assert done["extensions"] == case["extensions"]
    assert done["readings"][0]["note"] == "kept, too"


def test_ids_that_are_taken_are_not_used_again() -> None:
    case = clinic_case(Setting())
    case["specimens"].append({"id": "mean-tooth-21-middle", "kind": "tooth", "tooth": "22"})
    (mean,) = derive(case).case["means"]
    assert mean["id"] == "mean-tooth-21-middle-2"


def test_long_ids_stay_within_the_length_of_an_id() -> None:
    setting = Setting(more={"reference_sets": [{**guide(("D65", "2-degree"), [(75, 1, 15)]), "id": "g" * 80}]})
    case = clinic_case(setting)
    case["specimens"][0]["id"] = "t" * 80
    for reading in case["readings"]:
        reading["specimen_id"] = "t" * 80
    done = derive(case)
    assert all(len(each) <= 80 for ids in done.added.values() for each in ids)
    require_no_error(done.case)


def test_a_case_of_colours_alone_is_averaged() -> None:
    case = base("smallest")
    case["readings"] = [{**case["readings"][0], "id": f"reading-{index}"} for index in range(2)]
    (mean,) = derive(case).case["means"]
    assert mean["spread"]["mcdm"] == 0
    assert "revision_id" not in mean
    require_no_error(derive(case).case)


def test_what_does_not_fit_the_model_is_refused_by_it() -> None:
    with pytest.raises(ValidationError):
        derive({"kind": "case"})


def test_repeats_that_lie_apart_in_the_list_are_found() -> None:
    case = clinic_case(Setting(tooth_repeats=2))
    others = readings(Setting(tooth_repeats=2), "clinic", "tooth-21", 2, 0.1)
    others = [{**each, "id": f"other-{index}", "zone": "cervical"} for index, each in enumerate(others)]
    one, two = case["readings"]
    case["readings"] = [one, others[0], two, others[1]]
    assert [each["reading_ids"] for each in derive(case).case["means"]] == [
        ["clinic-reading-1", "clinic-reading-2"],
        ["other-0", "other-1"],
    ]
