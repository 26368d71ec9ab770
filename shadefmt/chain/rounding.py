"""When a stated number agrees with an expected one, and how numbers are rounded when they are written."""

from collections.abc import Iterable

SLACK = 1e-6
"""Allowed beyond half a unit of the last stated decimal: room for floating point in any language."""


def half_unit(decimals: int) -> float:
    """Return the largest honest rounding error of a number with so many decimals."""
    return 0.5 * 10.0**-decimals


def agrees(stated: float, expected: float, decimals: int, more: float = 0.0) -> bool:
    """Return whether a stated number is the expected one, rounded; `more` widens the band."""
    return abs(stated - expected) <= half_unit(decimals) + SLACK + more


def rounded(value: float, decimals: int) -> float:
    """Round to decimals, ties to even on the binary value; never returns minus zero."""
    return round(value, decimals) + 0.0


def shown(values: Iterable[float], decimals: int) -> list[float]:
    """Round expected numbers for a finding: two decimals finer than those that were stated."""
    return [rounded(value, decimals + 2) for value in values]
