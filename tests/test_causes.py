"""The cause of a broken link: found where one change explains it, whichever it was; none where none does.

What was done to a case is known by construction; nothing here is worked out by the search itself.
"""

from itertools import permutations
from typing import Any, get_args

import numpy as np
import pytest
from bases import written
from hypothesis import given, settings
from hypothesis import strategies as st
from measured_cases import Setting, clinic_case, target, with_laboratory

from shadefmt.chain.causes import MOST_SUBSETS_OF, causes_of
from shadefmt.checking import check
from shadefmt.colour.repeats import mcdm
from shadefmt.deriving import Request, derive
from shadefmt.history import add_entries
from shadefmt.model.report import Cause
from shadefmt.vocabulary import Illuminant, Observer

Value = dict[str, Any]

BASES = [
    (illuminant, observer)
    for illuminant in get_args(Illuminant)
    for observer in get_args(Observer)
    if "unknown" not in (illuminant, observer)
]
BETWEEN = Request(components={"inter-instrument": 0.2}, decimals=3)
SEEDS = st.integers(0, 2**32)


def causes(case: Value, code: str) -> list[Cause]:
    """Return the causes of the first finding of a code."""
    found = [each for each in check(written(case)).findings or () if each.code == code]
    assert found, code
    return list(found[0].causes or ())


def named(case: Value, code: str) -> list[str]:
    return [each.code for each in causes(case, code)]


def read_once(seed: int, request: Request = BETWEEN) -> Value:
    """Return a case of one reading with a spectrum and the colour computed from it."""
    return derive(clinic_case(Setting(seed=seed, tooth_repeats=1, noise=0.0)), request).case


def judged(**changes: Any) -> Value:
    setting = Setting(**{"seed": 5, "noise": 0.004, "tooth_repeats": 4, "crown_repeats": 4, **changes})
    case = derive(clinic_case(setting), BETWEEN).case
    case = add_entries(case, {"targets": [target(case, "mean-tooth-21-middle")]})
    return derive(with_laboratory(case, setting), BETWEEN).case


def colour_of(case: Value) -> Value:
    colour: Value = case["readings"][0]["colours"][0]
    return colour


@given(SEEDS, st.sampled_from(BASES), st.sampled_from(BASES))
def test_another_basis_is_named_whichever_it_is(seed: int, true: tuple[str, str], stated: tuple[str, str]) -> None:
    case = read_once(seed, Request(illuminant=true[0], observer=true[1], decimals=3))  # type: ignore[arg-type]
    colour_of(case)["illuminant"], colour_of(case)["observer"] = stated
    found = [each for each in check(written(case)).findings or () if each.code == "colour-disagrees-with-spectrum"]
    if true == stated:
        assert not found
    elif found:
        bases = [each.parameters for each in found[0].causes or () if each.code == "other-basis"]
        assert {"illuminant": true[0], "observer": true[1]} in bases
        assert {"illuminant": stated[0], "observer": stated[1]} not in bases


@settings(max_examples=20)
@given(SEEDS)
def test_a_spectrum_in_percent_is_named(seed: int) -> None:
    case = read_once(seed)
    spectrum = case["readings"][0]["spectrum"]
    spectrum["values"] = [round(100 * each, 2) for each in spectrum["values"]]
    spectrum["decimals"] = 2
    (cause,) = [each for each in causes(case, "colour-disagrees-with-spectrum") if each.code == "scale"]
    assert cause.parameters == {"scale": "percent"}


@pytest.mark.parametrize("order", [each for each in permutations("Lab") if each != ("L", "a", "b")])
def test_every_order_of_coordinates_is_named(order: tuple[str, ...]) -> None:
    case = read_once(3)
    right = dict(colour_of(case)["lab"])
    colour_of(case)["lab"] = {name: right[source] for name, source in zip("Lab", order, strict=True)}
    orders = [
        each.parameters["order"] for each in causes(case, "colour-disagrees-with-spectrum") if each.code == "order"
    ]
    assert orders == [", ".join(order)]


@pytest.mark.parametrize("flipped", [["a"], ["b"], ["a", "b"]])
def test_every_lost_sign_is_named(flipped: list[str]) -> None:
    case = read_once(3)
    for name in flipped:
        colour_of(case)["lab"][name] *= -1
    found = causes(case, "colour-disagrees-with-spectrum")
    signs = [each.parameters for each in found if each.code == "sign"]
    assert signs == [{"members": flipped}]
    retyped = [each.parameters["member"] for each in found if each.code == "one-coordinate"]
    assert retyped == (flipped if len(flipped) == 1 else [])  # one lost sign and one mistyped number look the same


@pytest.mark.parametrize("member", ["L", "a", "b"])
def test_a_retyped_coordinate_is_named(member: str) -> None:
    case = read_once(3)
    right = colour_of(case)["lab"][member]
    colour_of(case)["lab"][member] = round(right + 3.17, 3)
    (cause,) = [each for each in causes(case, "colour-disagrees-with-spectrum") if each.code == "one-coordinate"]
    assert cause.parameters["member"] == member
    assert cause.parameters["expected"] == pytest.approx(right, abs=1e-3)


@settings(max_examples=20)
@given(SEEDS, st.permutations([3.71, -2.93, 5.57]))
def test_what_no_single_change_explains_has_no_cause(seed: int, off: list[float]) -> None:
    case = read_once(seed)
    for name, size in zip("Lab", off, strict=True):
        colour_of(case)["lab"][name] = round(colour_of(case)["lab"][name] + size, 3)
    assert named(case, "colour-disagrees-with-spectrum") == []


def test_where_several_changes_explain_it_all_are_listed() -> None:
    case = derive(clinic_case(Setting(seed=8, noise=0.01, tooth_repeats=3)), Request(decimals=4)).case
    readings, mean = case["readings"], case["means"][0]
    readings[1]["colours"], readings[1]["spectrum"] = readings[0]["colours"], readings[0]["spectrum"]
    mean["colour"]["lab"] = readings[0]["colours"][0]["lab"]
    sets = [each.parameters["readings"] for each in causes(case, "mean-disagrees-with-readings")]
    assert sets == [["clinic-reading-1"], ["clinic-reading-2"], ["clinic-reading-1", "clinic-reading-2"]]


@settings(max_examples=20)
@given(st.sets(st.integers(0, 4), min_size=1, max_size=4))
def test_a_mean_of_other_readings_is_named(chosen: set[int]) -> None:
    case = derive(clinic_case(Setting(seed=8, noise=0.01, tooth_repeats=5)), Request(decimals=4)).case
    labs = np.array([list(each["colours"][0]["lab"].values()) for each in case["readings"]])
    mean = case["means"][0]
    mean["colour"]["lab"] = dict(zip("Lab", labs[sorted(chosen)].mean(axis=0).round(4).tolist(), strict=True))
    wanted = {"readings": [f"clinic-reading-{index + 1}" for index in sorted(chosen)]}
    assert wanted in [each.parameters for each in causes(case, "mean-disagrees-with-readings")]


def test_sets_of_very_many_readings_are_not_tried_one_by_one() -> None:
    case = derive(clinic_case(Setting(seed=8, tooth_repeats=MOST_SUBSETS_OF + 8)), Request(decimals=4)).case
    case["means"][0]["colour"]["lab"]["L"] += 7
    assert "other-readings" not in named(case, "mean-disagrees-with-readings")


def test_a_divisor_of_n_is_named() -> None:
    case = judged()
    spread = case["means"][0]["spread"]
    spread["var_L"] = round(spread["var_L"] * 3 / 4, 5)
    assert named(case, "spread-disagrees-with-readings") == ["divisor"]


def test_the_covariance_of_the_mean_is_told_from_that_of_a_reading() -> None:
    case = judged()
    spread = case["means"][0]["spread"]
    spread["var_b"] = round(spread["var_b"] / 4, 5)
    (cause,) = causes(case, "spread-disagrees-with-readings")
    assert (cause.code, cause.parameters) == ("covariance-of", {"of": "mean"})


def test_a_spread_of_another_formula_is_named() -> None:
    case = judged()
    labs = [tuple(each["colours"][0]["lab"].values()) for each in case["readings"][:4]]
    case["means"][0]["spread"]["mcdm"] = round(mcdm(labs, "CIELAB"), 5)
    formulas = [each.parameters for each in causes(case, "spread-disagrees-with-readings")]
    assert {"formula": "CIELAB", "factors": "1:1:1"} in formulas


def test_a_difference_of_another_formula_is_named() -> None:
    case = judged(apart=0.1)
    comparison = case["comparisons"][0]
    one, other = (np.array(list(each["colour"]["lab"].values())) for each in (case["targets"][0], case["means"][1]))
    comparison["difference"] = round(float(np.linalg.norm(one - other)), 3)
    formulas = [each.parameters for each in causes(case, "difference-disagrees")]
    assert {"formula": "CIELAB", "factors": "1:1:1"} in formulas


@pytest.mark.parametrize("member", ["delta_L", "delta_b", "delta_C"])
def test_a_difference_taken_the_other_way_is_named(member: str) -> None:
    case = judged(apart=0.1)
    case["comparisons"][0]["direction"][member] *= -1
    assert "sign" in named(case, "direction-disagrees")


def test_a_decision_by_another_rule_is_named() -> None:
    case = judged(apart=0.3, rule="guarded")
    case["verdicts"][0]["decision"] = "conforms"
    assert named(case, "decision-disagrees-with-rule") == []
    case = judged(apart=0.0, rule="guarded")
    comparison, verdict = case["comparisons"][0], case["verdicts"][0]
    comparison["uncertainty"]["components"][-1]["standard_uncertainty"] = 3
    parts = [each["standard_uncertainty"] for each in comparison["uncertainty"]["components"]]
    comparison["uncertainty"]["expanded"] = round(2 * sum(each**2 for each in parts) ** 0.5, 3)
    verdict["decision"] = "conforms"
    assert "simple" in [each.parameters["rule"] for each in causes(case, "decision-disagrees-with-rule")]


def test_tristimulus_values_scaled_to_one_are_named() -> None:
    case = read_once(3)
    white = np.array([95.047, 100.0, 108.883])  # D65, 2 degrees (ASTM E308)
    L, a, b = colour_of(case)["lab"].values()
    y = (L + 16) / 116
    xyz = white * np.array([y + a / 500, y, y - b / 200]) ** 3
    colour = {**colour_of(case), "origin": "copied", "decimals": 4}
    colour["xyz"] = dict(zip("XYZ", (xyz / 100).round(4).tolist(), strict=True))
    case["readings"][0]["colours"][0] = colour
    assert named(case, "xyz-disagrees-with-lab") == ["scale"]


def test_a_code_without_a_search_has_no_cause() -> None:
    assert causes_of("id-reused", None) == []
