"""The indices of `indices` over arrays of shape (..., 3); definitions, bases and refusals are the same there.

Where one colour refuses, an array gives NaN for that element; a basis outside the definition raises WrongUse.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shadefmt.colour import indices
from shadefmt.colour.differences import difference
from shadefmt.errors import WrongUse

Array = NDArray[np.float64]


class WhitenessArrays(NamedTuple):
    """CIE whiteness, tint, and whether the colour lies within the definition."""

    whiteness: Array
    tint: Array
    valid: NDArray[np.bool_]


def dental_whiteness(lab: ArrayLike, illuminant: str, observer: str) -> Array:
    """WI_D; `indices.dental_whiteness`."""
    indices.dental_whiteness((0, 0, 0), illuminant, observer)
    value: Array = _triples(lab) @ np.array(indices.WI_D_FACTORS)
    return value


def cie_whiteness(xyz: ArrayLike, white: ArrayLike, illuminant: str, observer: str) -> WhitenessArrays:
    """CIE whiteness and tint with validity; `indices.cie_whiteness`. White broadcasts."""
    indices.cie_whiteness((1, 1, 1), (1, 1, 1), illuminant, observer)
    red, green, Y = _shifts(xyz, white)
    whiteness = Y + 800 * red + 1700 * green
    tint = indices.TINT_FACTOR[observer] * red - 650 * green
    valid = (whiteness > 40) & (whiteness < 5 * Y - 280) & (tint > -4) & (tint < 2)
    return WhitenessArrays(whiteness, tint, valid)


def optimised_whiteness(xyz: ArrayLike, white: ArrayLike, illuminant: str, observer: str) -> Array:
    """WIO; `indices.optimised_whiteness`."""
    indices.optimised_whiteness((1, 1, 1), (1, 1, 1), illuminant, observer)
    red, green, Y = _shifts(xyz, white)
    return Y + 1075.012 * red + 145.516 * green


def yellowness(xyz: ArrayLike, illuminant: str, observer: str) -> Array:
    """YI of ASTM E313; `indices.yellowness`."""
    indices.yellowness((1, 1, 1), illuminant, observer)
    C_X, C_Z = indices.E313_FACTORS[illuminant, observer]
    X, Y, Z = np.moveaxis(_triples(xyz), -1, 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(Y > 0, 100 * (C_X * X - C_Z * Z) / Y, np.nan)


def translucency(
    over_white: ArrayLike,
    over_black: ArrayLike,
    formula: str = "CIEDE2000",
    k_L: float = 1,
    k_C: float = 1,
    k_H: float = 1,
) -> Array:
    """Translucency parameter over two backings; `indices.translucency`."""
    return difference(formula, over_white, over_black, k_L, k_C, k_H)


def contrast_ratio(Y_over_white: ArrayLike, Y_over_black: ArrayLike) -> Array:
    """Y over black / Y over white; `indices.contrast_ratio`."""
    white, black = np.asarray(Y_over_white, np.float64), np.asarray(Y_over_black, np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where((white > 0) & (black >= 0), black / white, np.nan)


def _shifts(xyz: ArrayLike, white: ArrayLike) -> tuple[Array, Array, Array]:
    colours, whites = _triples(xyz), _triples(white)
    with np.errstate(divide="ignore", invalid="ignore"):
        parts, white_parts = (
            np.where(total > 0, values / total, np.nan)
            for values, total in ((array, array.sum(axis=-1, keepdims=True)) for array in (colours, whites))
        )
    shift = white_parts - parts
    return shift[..., 0], shift[..., 1], colours[..., 1]


def _triples(values: ArrayLike) -> Array:
    array = np.asarray(values, dtype=np.float64)
    if array.ndim == 0 or array.shape[-1] != 3:
        raise WrongUse(f"colours must be an array of shape (..., 3), not {array.shape}")
    return array
