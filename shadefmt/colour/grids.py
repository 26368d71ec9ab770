"""Grids of wavelengths: what is accepted, and Lagrange interpolation on even and uneven ones (ASTM E2022)."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import isfinite

from shadefmt.errors import WrongUse

FIRST_NM, LAST_NM = 360, 830
"""Range of the colour matching functions, in nm (ISO/CIE 11664-1)."""

WIDEST_STEP_NM = 20
"""Widest distance of two wavelengths that ASTM E308 has factors for, in nm."""

NARROWEST_STEP_NM = 0.1
"""Narrowest distance that is accepted, in nm; it also bounds how many wavelengths a spectrum can have."""

STEEPEST_RATIO = 20
"""Largest ratio of neighbouring distances; past it the coefficients magnify noise more than tenfold."""

MOST_WAVELENGTHS = 1 + round((LAST_NM - FIRST_NM) / NARROWEST_STEP_NM)
"""Most wavelengths that fit the range."""

FUZZ_NM = 1e-9
"""Grids such as 400 + i * 3.3333 end within this of where they mean to end, in nm."""


def demand_ascending(nm: Sequence[float], what: str) -> None:
    """Raise WrongUse unless there are two wavelengths or more, finite and each above the one before."""
    if len(nm) < 2:
        raise WrongUse(f"{what}: two or more are needed, not {len(nm)}")
    for index, (left, right) in enumerate(pairwise(nm)):
        if not left < right or not isfinite(right - left):
            raise WrongUse(f"{what}: not ascending at index {index + 1} ({left:g}, then {right:g} nm)")


def demand_grid(grid: Sequence[float]) -> None:
    """Raise WrongUse unless a spectrum measured at `grid` (nm) can be weighted."""
    demand_ascending(grid, "wavelengths of the spectrum")
    if grid[0] < FIRST_NM - FUZZ_NM or grid[-1] > LAST_NM + FUZZ_NM:
        raise WrongUse(
            f"the spectrum reaches from {grid[0]:g} to {grid[-1]:g} nm, the standard observers only from"
            f" {FIRST_NM} to {LAST_NM} nm; leave out the values beyond"
        )
    gaps = [right - left for left, right in pairwise(grid)]
    if max(gaps) > WIDEST_STEP_NM + FUZZ_NM or min(gaps) < NARROWEST_STEP_NM - FUZZ_NM:
        raise WrongUse(
            f"neighbouring wavelengths are {min(gaps):g} to {max(gaps):g} nm apart; weighting factors are"
            f" made for {NARROWEST_STEP_NM} to {WIDEST_STEP_NM} nm"
        )
    for index, (gap, after) in enumerate(pairwise(gaps)):
        if max(gap, after) > STEEPEST_RATIO * min(gap, after) + FUZZ_NM:
            raise WrongUse(
                f"the wavelengths about {grid[index + 1]:g} nm are {gap:g} and {after:g} nm apart; that is"
                f" too uneven to interpolate"
            )


def continued(grid: tuple[float, ...], first_nm: int, last_nm: int) -> tuple[int, tuple[float, ...]]:
    """The grid with its outermost spacings repeated over `first_nm` to `last_nm`.

    Returns how many wavelengths were put before it, and all of them.
    """
    low, high = grid[1] - grid[0], grid[-1] - grid[-2]
    below = max(0, int((grid[0] - first_nm) / low + FUZZ_NM))
    above = max(0, int((last_nm - grid[-1]) / high + FUZZ_NM))
    before = (grid[0] - low * index for index in range(below, 0, -1))
    after = (grid[-1] + high * index for index in range(1, above + 1))
    return below, (*before, *grid, *after)


def interpolation(nodes: tuple[float, ...], first_nm: int, last_nm: int) -> Iterator[tuple[int, tuple[float, ...]]]:
    """For each whole nanometre: the first node of its interpolation, and the coefficients from there on.

    Cubic inside, quadratic in the first and last interval, and the end value beyond the ends (ASTM E2022).
    """
    final = len(nodes) - 1
    interval = 0
    for nm in range(first_nm, last_nm + 1):
        while interval < final and nm >= nodes[interval + 1]:
            interval += 1
        if nm <= nodes[0] or interval == final:
            yield interval, (1.0,)
        else:
            first, past = max(interval - 1, 0), min(interval + 3, final + 1)
            yield first, lagrange_coefficients(nodes[first:past], nm)


def lagrange_coefficients(nodes: Sequence[float], at: float) -> tuple[float, ...]:
    """Coefficients of the values at `nodes` in the polynomial through them, taken at `at`."""
    coefficients = []
    for index, node in enumerate(nodes):
        product = 1.0
        for other_index, other in enumerate(nodes):
            if other_index != index:
                product *= (at - other) / (node - other)
        coefficients.append(product)
    return tuple(coefficients)


def linear(nm: Sequence[float], values: Sequence[float], first_nm: int, last_nm: int) -> list[float]:
    """Values at each whole nanometre from `first_nm` to `last_nm`, both within `nm`, linear in between."""
    fine, interval = [], 0
    for at in range(first_nm, last_nm + 1):
        while interval < len(nm) - 2 and at > nm[interval + 1]:
            interval += 1
        share = (at - nm[interval]) / (nm[interval + 1] - nm[interval])
        fine.append(values[interval] * (1 - share) + values[interval + 1] * share)
    return fine
