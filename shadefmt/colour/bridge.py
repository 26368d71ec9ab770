"""Systematic offset of one instrument against another, from pairs of readings of the same patches; no numpy.

An offset found on some patches holds for patches like them. It is a statement about two instruments; it never
changes a reading.
"""

from collections.abc import Sequence
from math import fsum, sqrt
from typing import Final, NamedTuple

from shadefmt.colour.covariances import Covariance, Vector
from shadefmt.colour.difference_single import Lab
from shadefmt.colour.distributions import student_factor
from shadefmt.colour.formula import CIEDE2000, Formula
from shadefmt.colour.repeats import covariance, mean
from shadefmt.errors import WrongUse

PROBABILITY: Final = 0.95


class Offset(NamedTuple):
    """Second instrument minus first in L*, a*, b*.

    `half_width` is that of the Student t interval of each coordinate by itself; `covariance` that of the
    offset, `scatter` that of one pair about it. `residual` is the mean difference that remains once the offset
    is taken off, in the formula asked for. `slope` is the change of the offset for one unit of L* with its own
    half width, None for fewer than three pairs or patches of one lightness. Where `constant` is False some
    slope is clear of zero: the offset grows along L*, and one number cannot bridge the two instruments.
    """

    offset: Vector
    half_width: Vector
    covariance: Covariance
    scatter: Covariance
    residual: float
    pairs: int
    slope: Vector | None
    slope_half_width: Vector | None
    constant: bool


def offset(
    first: Sequence[Lab], second: Sequence[Lab], probability: float = PROBABILITY, by: Formula = CIEDE2000
) -> Offset:
    """Offset from readings (or means) of the same patches in the same order; at least two pairs.

    Student's t with n - 1 degrees of freedom for the offset, n - 2 for the slope (JCGM 100:2008, annex G).
    """
    if len(first) != len(second):
        raise WrongUse(f"readings must come in pairs, not {len(first)} and {len(second)}")
    n = len(first)
    if n < 2:
        raise WrongUse("an offset with an interval needs two pairs or more")
    steps = [_minus(two, one) for one, two in zip(first, second, strict=True)]
    shift, scatter = mean(steps), covariance(steps)
    factor = student_factor(probability, n - 1) / sqrt(n)
    half = (factor * sqrt(scatter.var_L), factor * sqrt(scatter.var_a), factor * sqrt(scatter.var_b))
    moved = [_minus(two, shift) for two in second]
    residual = fsum(by(one, two) for one, two in zip(first, moved, strict=True)) / n
    slope, slope_half = _trend([lab[0] for lab in first], steps, probability)
    constant = slope is None or slope_half is None or all(map(_within, slope, slope_half))
    return Offset(shift, half, scatter.times(1 / n), scatter, residual, n, slope, slope_half, constant)


def _trend(
    lightness: Sequence[float], steps: Sequence[Vector], probability: float
) -> tuple[Vector | None, Vector | None]:
    """Least-squares slope of each coordinate of the steps along L*, with its half width."""
    n = len(steps)
    middle = fsum(lightness) / n
    spread = fsum((L - middle) ** 2 for L in lightness)
    if n < 3 or spread <= 0:
        return None, None
    factor = student_factor(probability, n - 2)
    slopes, halves = [], []
    for values in zip(*steps, strict=True):
        centre = fsum(values) / n
        slope = fsum((L - middle) * (value - centre) for L, value in zip(lightness, values, strict=True)) / spread
        rest = fsum((value - centre - slope * (L - middle)) ** 2 for L, value in zip(lightness, values, strict=True))
        slopes.append(slope)
        halves.append(factor * sqrt(rest / (n - 2) / spread))
    return (slopes[0], slopes[1], slopes[2]), (halves[0], halves[1], halves[2])


def _within(slope: float, half: float) -> bool:
    return abs(slope) <= half + 1e-12


def _minus(one: Lab, other: Lab) -> Vector:
    return (one[0] - other[0], one[1] - other[1], one[2] - other[2])
