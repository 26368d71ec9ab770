"""Colours of invented specimens, computed with colour-science and plain Python, never with shadefmt.

Spectra go to tristimulus values by the weighting factors of ASTM E2022 that colour-science computes, with what lies
outside the measured range folded into the ends (ASTM E308).
"""

import math
import warnings
from collections.abc import Sequence
from functools import cache
from statistics import fmean
from typing import NamedTuple

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science warns of plotting packages that are not installed
    import colour
    import numpy as np
    from colour.colorimetry import sd_CIE_standard_illuminant_A, tristimulus_weighting_factors_ASTME2022

Triple = tuple[float, float, float]

START_NM, STEP_NM, BANDS = 400, 10, 31
OBSERVERS = {
    "2-degree": "CIE 1931 2 Degree Standard Observer",
    "10-degree": "CIE 1964 10 Degree Standard Observer",
}
TABLE = colour.SpectralShape(360, 780, 1)


class Computed(NamedTuple):
    """Tristimulus values and CIELAB of one spectrum."""

    xyz: Triple
    lab: Triple


def invented_spectrum(low: float, high: float, middle_nm: float, width_nm: float, dip: float) -> list[float]:
    """A smooth rise with a shallow absorption at 545 nm: the general shape of tooth-coloured things."""
    bands = (START_NM + STEP_NM * index for index in range(BANDS))
    rise = ((nm, low + (high - low) / (1 + math.exp((middle_nm - nm) / width_nm))) for nm in bands)
    return [round(value - dip * math.exp(-(((nm - 545) / 28) ** 2)), 4) for nm, value in rise]


def from_spectrum(values: Sequence[float], illuminant: str, observer: str) -> Computed:
    """Tristimulus values and CIELAB of reflectance factors from 400 to 700 nm in steps of 10 nm."""
    weights, white = weights_and_white(illuminant, observer)
    xyz = np.asarray(values) @ weights
    lab = colour.XYZ_to_Lab(xyz / 100, colour.XYZ_to_xy(white / 100))
    return Computed(triple(xyz), triple(lab))


def from_xyz(xyz: Triple, illuminant: str, observer: str) -> Triple:
    """CIELAB of tristimulus values."""
    _, white = weights_and_white(illuminant, observer)
    return triple(colour.XYZ_to_Lab(np.asarray(xyz) / 100, colour.XYZ_to_xy(white / 100)))


def to_xyz(lab: Triple, illuminant: str, observer: str) -> Triple:
    """Tristimulus values of CIELAB."""
    _, white = weights_and_white(illuminant, observer)
    return triple(100 * colour.Lab_to_XYZ(np.asarray(lab), colour.XYZ_to_xy(white / 100)))


@cache
def weights_and_white(illuminant: str, observer: str) -> tuple[np.ndarray, np.ndarray]:
    """Weighting factors on the grid of these documents, and the white point as their column sums."""
    functions = colour.MSDS_CMFS[OBSERVERS[observer]].copy().align(TABLE)
    if illuminant == "A":
        light = sd_CIE_standard_illuminant_A(TABLE)
    else:
        light = colour.SDS_ILLUMINANTS[illuminant].copy()
        light = light.interpolate(TABLE, interpolator=colour.LinearInterpolator)
    full = tristimulus_weighting_factors_ASTME2022(functions, light, colour.SpectralShape(360, 780, STEP_NM))
    first = (START_NM - 360) // STEP_NM
    kept = full[first : first + BANDS].copy()
    kept[0] += full[:first].sum(axis=0)
    kept[-1] += full[first + BANDS :].sum(axis=0)
    return kept, full.sum(axis=0)


def difference(formula: str, standard: Sequence[float], trial: Sequence[float]) -> float:
    """CIELAB or CIEDE2000 difference by colour-science."""
    method = {"CIELAB": "CIE 1976", "CIEDE2000": "CIE 2000"}[formula]
    return float(colour.delta_E(np.asarray(standard), np.asarray(trial), method=method))


def mean_of(labs: Sequence[Sequence[float]]) -> Triple:
    """Arithmetic mean of each coordinate."""
    L, a, b = (fmean(column) for column in zip(*labs, strict=True))
    return L, a, b


def mcdm_of(labs: Sequence[Sequence[float]], formula: str) -> float:
    """Mean colour difference of the readings from their unrounded mean (ASTM E2214)."""
    centre = mean_of(labs)
    return fmean(difference(formula, centre, lab) for lab in labs)


def covariances_of(labs: Sequence[Sequence[float]]) -> dict[str, float]:
    """Variances and covariances of one reading, divisor n - 1."""
    centre = mean_of(labs)
    off = [[value - middle for value, middle in zip(lab, centre, strict=True)] for lab in labs]

    def shared(one: int, other: int) -> float:
        return math.fsum(each[one] * each[other] for each in off) / (len(labs) - 1)

    places = {"var_L": (0, 0), "var_a": (1, 1), "var_b": (2, 2), "cov_La": (0, 1), "cov_Lb": (0, 2), "cov_ab": (1, 2)}
    return {name: shared(*pair) for name, pair in places.items()}


def direction_of(standard: Sequence[float], trial: Sequence[float]) -> dict[str, float]:
    """Trial minus standard in L*, a*, b*, chroma and hue."""
    L, a, b = (two - one for one, two in zip(standard, trial, strict=True))
    chroma = math.hypot(*trial[1:]) - math.hypot(*standard[1:])
    hue = math.sqrt(max(a * a + b * b - chroma * chroma, 0))
    turn = standard[1] * trial[2] - standard[2] * trial[1]
    return {"delta_L": L, "delta_a": a, "delta_b": b, "delta_C": chroma, "delta_H": math.copysign(hue, turn)}


def triple(values: Sequence[float]) -> Triple:
    """Three plain floats."""
    one, two, three = (float(value) for value in values)
    return one, two, three
