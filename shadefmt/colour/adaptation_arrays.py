"""Chromatic adaptation over arrays of CIELAB (..., 3); what it means and how good it is: see `adaptation`."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shadefmt.colour.adaptation import REGIONS, Condition, adaptation_matrix, measured_errors
from shadefmt.colour.cielab import lab_to_xyz, xyz_to_lab
from shadefmt.colour.rows import Floats
from shadefmt.colour.weights import white_point


@dataclass(frozen=True, slots=True, eq=False)
class AdaptedColours:
    """Colours brought to another condition by `method` ("CAT16", "Bradford", or "unchanged").

    `lab` has shape (..., 3). `mean_error`, `p95_error` and `largest_error` (...) are the figures of
    `adaptation.ErrorEstimate` in CIEDE2000, NaN where no estimate holds, and 0 where nothing was
    approximated.
    """

    lab: Floats
    method: str
    approximate: bool
    mean_error: Floats
    p95_error: Floats
    largest_error: Floats


def adapt_labs(lab: npt.ArrayLike, source: Condition, target: Condition, method: str = "CAT16") -> AdaptedColours:
    """CIELAB (..., 3) known under `source`, estimated for `target`; `adaptation.adapt_lab` for arrays."""
    matrix = np.array(adaptation_matrix(source, target, method))
    xyz = lab_to_xyz(lab, white_point(*source))
    before = np.asarray(lab, dtype=np.float64)
    if source == target:
        none = np.zeros(before.shape[:-1])
        return AdaptedColours(before.copy(), "unchanged", False, none, none.copy(), none.copy())
    figures = np.full((len(REGIONS) + 1, 3), np.nan)
    for index, region in enumerate(REGIONS):
        estimate = measured_errors()[source, target, method, region]
        figures[index] = estimate.mean, estimate.p95, estimate.largest
    mean, p95, largest = np.moveaxis(figures[_region_indices(before)], -1, 0)
    return AdaptedColours(xyz_to_lab(xyz @ matrix.T, white_point(*target)), method, True, mean, p95, largest)


def _region_indices(lab: Floats) -> npt.NDArray[np.intp]:
    """Index into REGIONS of each colour, len(REGIONS) outside; the array twin of `adaptation.region_of`."""
    lightness, a, b = np.moveaxis(lab, -1, 0)
    tooth = (lightness >= 40) & (lightness <= 95) & (a >= -6) & (a <= 15) & (b >= -2) & (b <= 45)
    moderate = (lightness >= 30) & (lightness <= 95) & (np.hypot(a, b) <= 45)
    return np.where(tooth, 0, np.where(moderate, 1, len(REGIONS)))
