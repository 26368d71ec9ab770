"""What repeated readings say: mean, spread, covariance, pooled repeatability, which one may have slipped.

Any number of readings, without numpy; (L*, a*, b*) of one zone under one illuminant and observer.
"""

from collections.abc import Iterable, Sequence
from math import fsum, isfinite, sqrt
from typing import NamedTuple

from shadefmt.colour.covariances import Covariance
from shadefmt.colour.difference_single import Lab, difference
from shadefmt.errors import WrongUse


def mean(labs: Sequence[Lab]) -> tuple[float, float, float]:
    """Arithmetic mean of L*, a* and b*, exactly summed; hue angles are never averaged."""
    if not labs:
        raise WrongUse("a mean needs one reading or more")
    n = len(labs)
    return (
        _sum(lab[0] for lab in labs) / n,
        _sum(lab[1] for lab in labs) / n,
        _sum(lab[2] for lab in labs) / n,
    )


def mcdm(labs: Sequence[Lab], formula: str = "CIEDE2000", k_L: float = 1, k_C: float = 1, k_H: float = 1) -> float:
    """Mean colour difference from the mean (ASTM E2214), about the unrounded mean of these readings.

    One reading has no spread: WrongUse.
    """
    return fsum(_distances(labs, formula, k_L, k_C, k_H)) / len(labs)


def mcdm_corrected(spread: float, n: int) -> float:
    """An MCDM of n readings freed of its dependence on n: times sqrt(n / (n - 1)).

    A reading lies nearer to a mean that it helped to make. For equal normal scatter its deviations shrink by
    exactly sqrt((n - 1) / n) in CIELAB, and nearly so in CIEDE2000, where the weights hardly change.
    """
    if n < 2:
        raise WrongUse("the spread of one reading has no allowance for few readings")
    return spread * sqrt(n / (n - 1))


def covariance(labs: Sequence[Lab], of: str = "reading") -> Covariance:
    """Sample covariance, divisor n - 1; `of` is "reading", or "mean" for that of the mean (times 1 / n)."""
    if of not in ("reading", "mean"):
        raise WrongUse(f"a covariance is of a reading or of a mean, not of {of!r}")
    n = len(labs)
    if n < 2:
        raise WrongUse("a covariance needs two readings or more")
    centre = mean(labs)
    rows = [(lab[0] - centre[0], lab[1] - centre[1], lab[2] - centre[2]) for lab in labs]
    divisor = (n - 1) * (n if of == "mean" else 1)
    pairs = ((0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2))
    return Covariance(*(_sum(row[i] * row[j] for row in rows) / divisor for i, j in pairs))


class Repeatability(NamedTuple):
    """Pooled over sets of repeats: covariance of one reading, its degrees of freedom, corrected MCDM."""

    covariance: Covariance
    degrees_of_freedom: int
    mcdm: float
    sets: int


def pooled(
    sets: Sequence[Sequence[Lab]], formula: str = "CIEDE2000", k_L: float = 1, k_C: float = 1, k_H: float = 1
) -> Repeatability:
    """Repeatability of an instrument over many sets of repeats, each about its own mean.

    Sets of one reading say nothing and are left out; none left raises WrongUse. The covariance is weighted by
    n - 1, the MCDM by n after its correction, so that sets of different size may be mixed.
    """
    useful = [labs for labs in sets if len(labs) > 1]
    if not useful:
        raise WrongUse("repeatability needs at least one set of two readings or more")
    degrees = sum(len(labs) - 1 for labs in useful)
    shares = [covariance(labs).times((len(labs) - 1) / degrees) for labs in useful]
    total = Covariance(*(fsum(entries) for entries in zip(*shares, strict=True)))
    spreads = [len(labs) * mcdm_corrected(mcdm(labs, formula, k_L, k_C, k_H), len(labs)) for labs in useful]
    return Repeatability(total, degrees, fsum(spreads) / sum(map(len, useful)), len(useful))


class SlipSearch(NamedTuple):
    """Every reading's distance from the mean of the others, the limit, and what is proposed for exclusion.

    `proposed` are indices in the order found. A proposal excludes nothing: a person does, with a reason.
    """

    distances: tuple[float, ...]
    limit: float
    proposed: tuple[int, ...]


def propose_slips(
    labs: Sequence[Lab],
    pooled_mcdm: float,
    formula: str = "CIEDE2000",
    floor: float = 1.2,
    factor: float = 4.0,
) -> SlipSearch:
    """Readings that lie farther from the mean of the others than max(floor, factor * pooled_mcdm).

    The farthest is taken first and the rest looked at again without it, as long as three readings are left;
    of two nobody can say which one slipped. The distance from the common mean would not do: it is at most
    n / 2 times the MCDM. Floor and factor are the project's own choice (no published source). A simulation
    among the tests measures the false alarms: 5 in 100 000 sets of three at a pooled MCDM of 0.27, where the
    floor decides, 3 in 10 000 where the factor does, fewer for larger sets.
    """
    if not (pooled_mcdm >= 0 and floor >= 0 and factor > 0):
        raise WrongUse("pooled spread and floor must be zero or more, the factor more than zero")
    limit = max(floor, factor * pooled_mcdm)
    left = list(range(len(labs)))
    distances = first = _from_others(labs, formula)
    proposed: list[int] = []
    while len(left) > 2:
        farthest = max(range(len(left)), key=distances.__getitem__)
        if not distances[farthest] > limit:
            break
        proposed.append(left.pop(farthest))
        distances = _from_others([labs[i] for i in left], formula)
    return SlipSearch(tuple(first), limit, tuple(proposed))


def _from_others(labs: Sequence[Lab], formula: str) -> list[float]:
    """Distance of each reading from the mean of the others: n of n - 1, each mean summed exactly."""
    if len(labs) < 2:
        return [0.0] * len(labs)
    total = [_sum(lab[i] for lab in labs) for i in range(3)]
    others = len(labs) - 1
    centres = ([(total[i] - lab[i]) / others for i in range(3)] for lab in labs)
    return [difference(formula, centre, lab) for centre, lab in zip(centres, labs, strict=True)]


def _distances(labs: Sequence[Lab], formula: str, k_L: float, k_C: float, k_H: float) -> list[float]:
    if len(labs) < 2:
        raise WrongUse("one reading has no spread")
    centre = mean(labs)
    return [difference(formula, centre, lab, k_L, k_C, k_H) for lab in labs]


def _sum(values: Iterable[float]) -> float:
    """Exactly rounded sum."""
    try:
        total = fsum(values)
    except (OverflowError, ValueError):
        total = float("nan")
    if not isfinite(total):
        raise WrongUse("a colour coordinate is not a finite number, or far outside any colour")
    return total
