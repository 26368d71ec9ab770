"""Colour differences over arrays: CIELAB, CIE94, CIEDE2000 and their lightness, chroma and hue parts.

The formulas, and what holds at opposite hues, are those of `difference_single`; a test proves both equal.
Colours are float arrays (..., 3) of L*, a*, b* under one illuminant and observer; the leading shapes of the
two broadcast. A coordinate that is not finite gives NaN; what is no array of triples raises WrongUse.
"""

from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shadefmt.colour import difference_kernel as kernel
from shadefmt.colour.difference_single import FORMULAS
from shadefmt.errors import WrongUse

Array = NDArray[np.float64]


class PartArrays(NamedTuple):
    """As `difference_single.DifferenceParts`, each an array of the broadcast leading shape."""

    lightness: Array
    chroma: Array
    hue: Array
    rotation: Array


def cielab_difference(lab1: ArrayLike, lab2: ArrayLike) -> Array:
    """Euclidean distance in CIELAB, delta E*ab (ISO/CIE 11664-4)."""
    return kernel.run(kernel.cielab_total, 1, _triples(lab1), _triples(lab2))[0]


def cielab_parts(lab1: ArrayLike, lab2: ArrayLike) -> PartArrays:
    """Differences L*, C*ab and signed delta H*ab from lab1 to lab2 (ISO/CIE 11664-4)."""
    return PartArrays(*kernel.run(kernel.cielab_parts, 4, _triples(lab1), _triples(lab2)))


def cie94_parts(
    standard: ArrayLike,
    trial: ArrayLike,
    k_L: float = 1,
    k_C: float = 1,
    k_H: float = 1,
    K1: float = 0.045,
    K2: float = 0.015,
) -> PartArrays:
    """Weighted parts of CIE94 (CIE 116-1995); the weights come from the chroma of the standard."""
    _positive(k_L, k_C, k_H)
    lightness, chroma, hue, rotation = cielab_parts(standard, trial)
    with np.errstate(over="ignore", invalid="ignore"):
        C_1 = np.hypot(_triples(standard)[..., 1], _triples(standard)[..., 2])
        return PartArrays(lightness / k_L, chroma / (k_C * (1 + K1 * C_1)), hue / (k_H * (1 + K2 * C_1)), rotation)


def cie94(
    standard: ArrayLike,
    trial: ArrayLike,
    k_L: float = 1,
    k_C: float = 1,
    k_H: float = 1,
    K1: float = 0.045,
    K2: float = 0.015,
) -> Array:
    """CIE94 (CIE 116-1995), not symmetric; textiles: k_L = 2, K1 = 0.048, K2 = 0.014."""
    lightness, chroma, hue, _ = cie94_parts(standard, trial, k_L, k_C, k_H, K1, K2)
    with np.errstate(over="ignore"):
        return np.sqrt(lightness * lightness + chroma * chroma + hue * hue)


def ciede2000(lab1: ArrayLike, lab2: ArrayLike, k_L: float = 1, k_C: float = 1, k_H: float = 1) -> Array:
    """CIEDE2000 (ISO/CIE 11664-6); made for differences up to about 5, symmetric in its two colours."""
    _positive(k_L, k_C, k_H)
    block = partial(kernel.ciede2000_total, k_L=k_L, k_C=k_C, k_H=k_H)
    return kernel.run(block, 1, _triples(lab1), _triples(lab2))[0]


def ciede2000_parts(lab1: ArrayLike, lab2: ArrayLike, k_L: float = 1, k_C: float = 1, k_H: float = 1) -> PartArrays:
    """Weighted parts of CIEDE2000 from lab1 to lab2, with the rotation term R_T."""
    _positive(k_L, k_C, k_H)
    block = partial(kernel.ciede2000_parts, k_L=k_L, k_C=k_C, k_H=k_H)
    return PartArrays(*kernel.run(block, 4, _triples(lab1), _triples(lab2)))


def difference(formula: str, lab1: ArrayLike, lab2: ArrayLike, k_L: float = 1, k_C: float = 1, k_H: float = 1) -> Array:
    """Difference under a named formula; as `difference_single.difference`."""
    if formula == "CIEDE2000":
        return ciede2000(lab1, lab2, k_L, k_C, k_H)
    if formula == "CIE94":
        return cie94(lab1, lab2, k_L, k_C, k_H)
    if formula != "CIELAB":
        raise WrongUse(f"unknown difference formula {formula!r}: use one of {', '.join(FORMULAS)}")
    if not k_L == k_C == k_H == 1:
        raise WrongUse("CIELAB has no factors: k_L, k_C and k_H must be 1")
    return cielab_difference(lab1, lab2)


def _triples(lab: ArrayLike) -> Array:
    try:
        array = np.asarray(lab, dtype=np.float64)
    except (TypeError, ValueError) as fault:
        raise WrongUse(f"colours must be numbers in an array of shape (..., 3): {fault}") from None
    if array.ndim == 0 or array.shape[-1] != 3:
        raise WrongUse(f"colours must be an array of shape (..., 3), not {array.shape}")
    return array


def _positive(*factors: float) -> None:
    if not all(0 < factor < np.inf for factor in factors):
        raise WrongUse(f"parametric factors must be positive numbers, not {factors}")
