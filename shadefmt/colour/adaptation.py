"""A colour under another illuminant or observer: exact from a spectrum, by chromatic adaptation without.

Adaptation knows only three numbers of a spectrum, so its result is an approximation and says so. How far off
it is was measured: `data/adaptation-errors.csv` holds, for every pair of conditions, the CIEDE2000 distance
between the adapted and the exact colour over published and synthetic reflectance spectra. The estimate holds
for colours like those; for others there is none. Pure Python; the twin over arrays is in `adaptation_arrays`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import hypot

from shadefmt.colour.single import lab_to_xyz, spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.tables import table_text
from shadefmt.colour.weights import Triple, weights, white_point
from shadefmt.errors import WrongUse

Condition = tuple[str, str]
"""Illuminant and observer, such as ("D65", "2-degree")."""

Matrix = tuple[Triple, Triple, Triple]

METHODS: dict[str, Matrix] = {
    "CAT16": (
        (0.401288, 0.650173, -0.051461),
        (-0.250268, 1.204414, 0.045854),
        (-0.002079, 0.048952, 0.953127),
    ),
    "Bradford": (
        (0.8951, 0.2664, -0.1614),
        (-0.7502, 1.7135, 0.0367),
        (0.0389, -0.0685, 1.0296),
    ),
}
"""XYZ to sharpened cone responses: CAT16 by CIE 248:2022 (Li et al. 2017), Bradford as Lindbloom gives it."""

REGIONS = ("tooth-like", "moderate-chroma")
"""Names of the regions of CIELAB in which errors were measured, the narrower first (see `region_of`)."""

REGION_LIMITS = {
    "tooth-like": "L* 40 to 95, a* -6 to 15, b* -2 to 45",
    "moderate-chroma": "L* 30 to 95, C*ab up to 45",
}
"""What `region_of` takes for each, in words."""


@dataclass(frozen=True, slots=True)
class ErrorEstimate:
    """How far adapted colours of one region lay from the exact ones, in CIEDE2000 (all factors 1).

    `mean` and `p95` (the 95th percentile) are the larger of the values for published and for synthetic
    spectra, `largest` is the maximum over both. An experience with so many spectra, not a bound.
    """

    region: str
    mean: float
    p95: float
    largest: float
    published_spectra: int
    synthetic_spectra: int


@dataclass(frozen=True, slots=True)
class Adapted:
    """A colour brought to another condition.

    `method` is "spectrum" (exact), "unchanged" (the conditions are the same), "CAT16" or "Bradford". `error`
    is None where nothing was approximated, and where no estimate holds: see `approximate`.
    """

    lab: Triple
    method: str
    approximate: bool
    error: ErrorEstimate | None


def lab_from_spectrum(values: Sequence[float], start_nm: float, step_nm: float, target: Condition) -> Adapted:
    """CIELAB of a reflectance spectrum (factors 0-1) under `target`: the exact change of condition."""
    factors = weights(*target, start_nm, step_nm, len(values))
    return Adapted(xyz_to_lab(spectrum_to_xyz(values, factors), factors.white), "spectrum", False, None)


def adapt_lab(lab: Triple, source: Condition, target: Condition, method: str = "CAT16") -> Adapted:
    """CIELAB known under `source`, estimated for `target`, with complete adaptation (D = 1).

    The cone responses are scaled by the ratio of those of the two whites (von Kries). A change of observer is
    treated in the same way, for want of anything better without a spectrum; its error is measured like the
    rest. Raises WrongUse for unknown names.
    """
    matrix = adaptation_matrix(source, target, method)
    if source == target:
        return Adapted(lab, "unchanged", False, None)
    xyz = lab_to_xyz(lab, white_point(*source))
    adapted = xyz_to_lab(_times(matrix, xyz), white_point(*target))
    return Adapted(adapted, method, True, adaptation_error(lab, source, target, method))


@lru_cache(maxsize=128)
def adaptation_matrix(source: Condition, target: Condition, method: str = "CAT16") -> Matrix:
    """The matrix that takes XYZ under `source` to XYZ under `target`, both with a white of Y = 100."""
    if method not in METHODS:
        raise WrongUse(f"no adaptation {method!r}; known are {', '.join(METHODS)}")
    cones = METHODS[method]
    before, after = _times(cones, white_point(*source)), _times(cones, white_point(*target))
    scaled = tuple(
        (row[0] * to / at, row[1] * to / at, row[2] * to / at) for row, at, to in zip(cones, before, after, strict=True)
    )
    back = _inverse(cones)
    first, second, third = (_times(_transposed(scaled), row) for row in back)
    return first, second, third


def region_of(lab: Sequence[float]) -> str | None:
    """The narrowest region that holds this colour (as it is under the source condition), or None.

    "tooth-like": L* 40 to 95, a* -6 to 15, b* -2 to 45. "moderate-chroma": L* 30 to 95, C*ab up to 45.
    """
    lightness, a, b = lab
    if 40 <= lightness <= 95 and -6 <= a <= 15 and -2 <= b <= 45:
        return "tooth-like"
    if 30 <= lightness <= 95 and hypot(a, b) <= 45:
        return "moderate-chroma"
    return None


def adaptation_error(
    lab: Sequence[float], source: Condition, target: Condition, method: str = "CAT16"
) -> ErrorEstimate | None:
    """The measured error of `adapt_lab` for a colour like `lab`; None outside the regions measured."""
    region = region_of(lab)
    return None if region is None else measured_errors()[source, target, method, region]


@lru_cache(maxsize=1)
def measured_errors() -> dict[tuple[Condition, Condition, str, str], ErrorEstimate]:
    """Every measured error by source, target, method and region (`scripts/measure_adaptation_error.py`)."""
    errors = {}
    for line in table_text("adaptation-errors.csv").splitlines()[1:]:
        light, eye, new_light, new_eye, method, region, *figures, published, synthetic = line.split(",")
        mean, p95, largest = map(float, figures)
        errors[(light, eye), (new_light, new_eye), method, region] = ErrorEstimate(
            region, mean, p95, largest, int(published), int(synthetic)
        )
    return errors


def _times(matrix: Sequence[Triple], vector: Triple) -> Triple:
    x, y, z = (row[0] * vector[0] + row[1] * vector[1] + row[2] * vector[2] for row in matrix)
    return x, y, z


def _transposed(matrix: Sequence[Triple]) -> Matrix:
    first, second, third = zip(*matrix, strict=True)
    return first, second, third


def _inverse(matrix: Matrix) -> Matrix:
    (a, b, c), (d, e, f), (g, h, i) = matrix
    determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    return (
        ((e * i - f * h) / determinant, (c * h - b * i) / determinant, (b * f - c * e) / determinant),
        ((f * g - d * i) / determinant, (a * i - c * g) / determinant, (c * d - a * f) / determinant),
        ((d * h - e * g) / determinant, (b * g - a * h) / determinant, (a * e - b * d) / determinant),
    )
