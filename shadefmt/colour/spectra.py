"""Reflectance spectra to XYZ and CIELAB over arrays (..., wavelengths); for one spectrum see `single`.

Reflectance is a factor (0-1, larger where gloss or fluorescence make it so), XYZ lies on 0-100. Wrong shapes
and values that are infinite or not a number are refused with WrongUse, the latter with the index of the
first.
"""

from typing import Any

import numpy as np
import numpy.typing as npt

from shadefmt.colour.cielab import checked_white, fill_lab
from shadefmt.colour.rows import Floats, as_array, as_rows, blocks, demand_finite
from shadefmt.colour.weights import Weights, weights


def spectra_to_xyz(values: npt.ArrayLike, illuminant: str, observer: str, start_nm: float, step_nm: float) -> Floats:
    """XYZ (..., 3), 0-100, of reflectance factors (..., n) from `start_nm` on, `step_nm` apart (E308)."""
    array = as_array(values, "spectra")
    return weighted_xyz(array, weights(illuminant, observer, start_nm, step_nm, array.shape[-1]))


def spectra_to_lab(values: npt.ArrayLike, illuminant: str, observer: str, start_nm: float, step_nm: float) -> Floats:
    """CIELAB (..., 3) of reflectance factors (..., n), relative to the perfect reflector."""
    array = as_array(values, "spectra")
    return weighted_lab(array, weights(illuminant, observer, start_nm, step_nm, array.shape[-1]))


def weighted_xyz(values: npt.ArrayLike, factors: Weights) -> Floats:
    """XYZ (..., 3) of reflectance factors (..., n) by weights of any grid or light (`weights_at`, ...)."""
    rows, shape = as_rows(values, len(factors.wavelengths), "spectra")
    matrix = _matrix(factors)
    xyz = np.empty((len(rows), 3))
    for block in blocks(len(rows)):
        xyz[block] = _finite_product(rows, block, matrix, shape)
    return xyz.reshape(*shape, 3)


def weighted_lab(values: npt.ArrayLike, factors: Weights) -> Floats:
    """CIELAB (..., 3) of reflectance factors (..., n) by weights of any grid or light, with their white."""
    rows, shape = as_rows(values, len(factors.wavelengths), "spectra")
    matrix, white = _matrix(factors), checked_white(factors.white)
    lab = np.empty((len(rows), 3))
    for block in blocks(len(rows)):
        fill_lab(_finite_product(rows, block, matrix, shape), white, lab[block])
    return lab.reshape(*shape, 3)


def _finite_product(rows: npt.NDArray[Any], block: slice, matrix: Floats, shape: tuple[int, ...]) -> Floats:
    with np.errstate(invalid="ignore", over="ignore"):
        xyz: Floats = rows[block] @ matrix
        sound = np.isfinite(xyz.sum())
    if not sound:  # looking at three sums is cheaper than looking at every band
        demand_finite(rows[block], shape, "spectra", block.start)
    return xyz


def _matrix(factors: Weights) -> Floats:
    return np.array([factors.x, factors.y, factors.z]).T.copy()
