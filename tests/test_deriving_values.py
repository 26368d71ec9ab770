"""Every number that `derive` writes for one case, against colour-science and numpy, link by link.

Spectra are given at 1 nm from 360 to 830 nm, where tristimulus values are plain sums over the CIE tables
(CIE 15:2018, 7.1) that colour-science carries. Uncertainty follows JCGM 100, 5.2.2, with a numerical derivative of
colour-science's own difference; decisions follow the four outcomes of ILAC-G8:09/2019.
"""

import math
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from measured_cases import Setting, clinic_case, guide, target, with_laboratory
from numpy.typing import NDArray

from shadefmt.deriving import Request, derive
from shadefmt.history import add_entries

Value = dict[str, Any]
Array = NDArray[np.float64]

BETWEEN_INSTRUMENTS = 0.25
REQUEST = Request(decimals=3, components={"inter-instrument": BETWEEN_INSTRUMENTS})
HALF_UNIT = 0.5e-3 + 1e-9
FINE_HALF_UNIT = 0.5e-5 + 1e-9
LABS: list[tuple[float, float, float]] = [(75, 1, 15), (70, 3, 20), (80, 0, 10), (60, 5, 25)]
SETTING = Setting(
    seed=20,
    grid=(360, 1, 471),
    tooth_repeats=3,
    crown_repeats=4,
    noise=0.002,
    apart=0.03,
    decimals=4,
    more={"reference_sets": [guide(("D65", "2-degree"), LABS)]},
)


@pytest.fixture(scope="module")
def case() -> Value:
    begun = derive(clinic_case(SETTING), REQUEST).case
    begun = add_entries(begun, {"targets": [target(begun, "mean-tooth-21-middle")]})
    return derive(with_laboratory(begun, SETTING), REQUEST).case


def lab(block: Value) -> Array:
    return np.array([block["colour"]["lab"][each] for each in "Lab"], dtype=float)


def labs_of(case: Value, specimen_id: str) -> Array:
    """Return the stated computed colours of the readings of a specimen."""
    found = [each for each in case["readings"] if each["specimen_id"] == specimen_id]
    return np.array([[each["colours"][0]["lab"][name] for name in "Lab"] for each in found])


def test_colours_are_those_of_the_spectra(case: Value, colour_science: ModuleType) -> None:
    shape = colour_science.SpectralShape(360, 830, 1)
    observer = colour_science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    light = colour_science.SDS_ILLUMINANTS["D65"].copy().align(shape)
    weights = observer.values * light.values[:, None]
    weights *= 100 / weights[:, 1].sum()
    white = weights.sum(axis=0)
    for reading in case["readings"]:
        xyz = np.array(reading["spectrum"]["values"]) @ weights
        expected = colour_science.XYZ_to_Lab(xyz / 100, illuminant=colour_science.XYZ_to_xy(white / 100))
        stated = reading["colours"][0]
        assert (stated["illuminant"], stated["observer"], stated["origin"]) == ("D65", "2-degree", "computed")
        assert np.abs(np.array([stated["lab"][each] for each in "Lab"]) - expected).max() <= HALF_UNIT
    assert len(case["readings"]) == 7


@pytest.mark.parametrize("specimen_id", ["tooth-21", "crown-11"])
def test_means_and_spreads_are_those_of_the_stated_colours(
    case: Value, colour_science: ModuleType, specimen_id: str
) -> None:
    labs = labs_of(case, specimen_id)
    (mean,) = [each for each in case["means"] if each["id"] == f"mean-{specimen_id}-middle"]
    assert np.abs(lab(mean) - labs.mean(axis=0)).max() <= HALF_UNIT
    spread = mean["spread"]
    apart = colour_science.delta_E(labs, np.broadcast_to(labs.mean(axis=0), labs.shape), method="CIE 2000")
    assert spread["mcdm"] == pytest.approx(apart.mean(), abs=FINE_HALF_UNIT)
    covariance = np.cov(labs.T)
    pairs = {"var_L": (0, 0), "var_a": (1, 1), "var_b": (2, 2), "cov_La": (0, 1), "cov_Lb": (0, 2), "cov_ab": (1, 2)}
    assert spread["covariance_of"] == "reading"
    for member, place in pairs.items():
        assert spread[member] == pytest.approx(covariance[place], abs=FINE_HALF_UNIT)


def test_the_difference_and_its_direction_are_those_of_the_stated_means(
    case: Value, colour_science: ModuleType
) -> None:
    (comparison,) = case["comparisons"]
    standard, trial = lab(case["targets"][0]), lab(case["means"][1])
    assert (comparison["standard_id"], comparison["trial_id"]) == ("target-middle", "mean-crown-11-middle")
    size = colour_science.delta_E(standard, trial, method="CIE 2000")
    assert comparison["difference"] == pytest.approx(size, abs=HALF_UNIT)
    lch = [np.array(colour_science.Lab_to_LCHab(each)) for each in (standard, trial)]
    turned = math.radians(lch[1][2] - lch[0][2])
    expected = {
        **dict(zip(("delta_L", "delta_a", "delta_b"), trial - standard, strict=True)),
        "delta_C": lch[1][1] - lch[0][1],
        "delta_H": 2 * math.sqrt(lch[0][1] * lch[1][1]) * math.sin(turned / 2),
    }
    for member, right in expected.items():
        assert comparison["direction"][member] == pytest.approx(right, abs=HALF_UNIT), member


def test_the_uncertainty_is_that_of_repeats_and_instruments(case: Value, colour_science: ModuleType) -> None:
    (comparison,) = case["comparisons"]
    standard, trial = lab(case["targets"][0]), lab(case["means"][1])
    variance = 0.0
    for labs, at in ((labs_of(case, "tooth-21"), 0), (labs_of(case, "crown-11"), 1)):
        slope = np.zeros(3)
        for axis in range(3):
            step = np.zeros(3)
            step[axis] = 1e-5
            ends = [[standard, trial], [standard, trial]]
            ends[0][at], ends[1][at] = ends[0][at] + step, ends[1][at] - step
            up, down = (colour_science.delta_E(*each, method="CIE 2000") for each in ends)
            slope[axis] = (up - down) / 2e-5
        variance += float(slope @ (np.cov(labs.T) / len(labs)) @ slope)
    stated = comparison["uncertainty"]
    parts = {each["source"]: each["standard_uncertainty"] for each in stated["components"]}
    assert parts["inter-instrument"] == BETWEEN_INSTRUMENTS
    assert parts["repeatability"] == pytest.approx(math.sqrt(variance), abs=0.5e-4 + 1e-6)
    whole = 2 * math.hypot(parts["repeatability"], parts["inter-instrument"])
    assert (stated["coverage_factor"], stated["method"]) == (2, "linear")
    assert stated["expanded"] == pytest.approx(whole, abs=HALF_UNIT)


def test_the_verdict_is_what_the_rule_says_in_words(case: Value) -> None:
    (comparison,), (verdict,) = case["comparisons"], case["verdicts"]
    size, expanded, limit = comparison["difference"], comparison["uncertainty"]["expanded"], 1.8
    if size <= limit:
        expected = "conforms" if size + expanded <= limit else "conditionally-conforms"
    else:
        expected = "does-not-conform" if size - expanded > limit else "conditionally-fails"
    assert verdict["decision"] == expected
    assert verdict["grade"] == ("up-to-perceptible" if size <= 0.8 else "beyond-acceptable")
    assert "obstacles" not in verdict


@pytest.mark.parametrize("specimen_id", ["tooth-21", "crown-11"])
def test_the_nearest_reference_is_the_nearest(case: Value, colour_science: ModuleType, specimen_id: str) -> None:
    (mean,) = [each for each in case["means"] if each["id"] == f"mean-{specimen_id}-middle"]
    (match,) = [each for each in case["matches"] if each["of_id"] == mean["id"]]
    references = case["reference_sets"][0]["references"]
    sizes = np.array([colour_science.delta_E(lab(mean), lab(each), method="CIE 2000") for each in references])
    first, second = np.argsort(sizes)[:2]
    assert (match["nearest_id"], match["runner_up_id"]) == (references[first]["id"], references[second]["id"])
    assert match["nearest_difference"] == pytest.approx(sizes[first], abs=HALF_UNIT)
    assert match["runner_up_difference"] == pytest.approx(sizes[second], abs=HALF_UNIT)
    assert match["close_up_to"] == 1.8
    assert (match["conclusion"] == "none-close") == (sizes[first] > 1.8)
