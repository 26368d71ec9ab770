"""Uncertainty of a colour difference in closed form; without numpy.

A difference is a distance. Far from zero its uncertainty is linear in that of the coordinates (JCGM 100:2008,
with a numerical Jacobian). Near zero it has no derivative and noise only ever enlarges it: there the
answer is an upper bound and the statement that zero lies in the region of the readings.
"""

from collections.abc import Iterable
from math import fsum, hypot, inf, isfinite, sqrt
from typing import Final, NamedTuple

from shadefmt.colour.covariances import Covariance, Vector, axes, distance_squared, product
from shadefmt.colour.difference_single import Lab
from shadefmt.colour.distributions import (
    chi_square_cdf,
    chi_square_quantile,
    fisher_cdf,
    fisher_quantile,
    normal_cdf,
)
from shadefmt.colour.formula import CIEDE2000, Formula, noise_variances
from shadefmt.errors import WrongUse

STEP: Final = 1e-4
REGION: Final = 0.95
CURVED: Final = 0.4
UNEVEN: Final = 0.1
EMPTY: Final = 1e-9
ZERO_FACTOR: Final = sqrt(chi_square_quantile(REGION, 3))
NONE: Final = Covariance(0, 0, 0)


class DifferenceUncertainty(NamedTuple):
    """A difference with the interval that the stated covariances support.

    `method` is "upper-bound" where zero lies in the 95 % region of the two colours: `lower` is 0. It is
    "noise-bound" where zero does not, but curvature still matters: `expanded` is the bound of mere noise on
    both sides. Else it is "linear", with `standard`, and `expanded` = coverage factor times it. `upper` is
    always difference + expanded. `significance` is the probability of readings at least this far apart in
    their region when the true difference is zero.
    """

    difference: float
    method: str
    significance: float
    standard: float | None
    expanded: float
    lower: float
    upper: float


def combined(components: Iterable[float]) -> float:
    """Root of the sum of squares of independent standard uncertainties (JCGM 100:2008, 5.1.2)."""
    parts = list(components)
    if not all(isfinite(part) and part >= 0 for part in parts):
        raise WrongUse("standard uncertainties must be numbers of zero or more")
    return hypot(*parts)


def scalar_uncertainty(
    difference: float, standard: float, coverage_factor: float = 2, noise: Vector | None = None
) -> DifferenceUncertainty:
    """As `difference_uncertainty` where one standard uncertainty of the difference is to be stated.

    It is taken to be the same in every direction of the colour space: zero lies in the 95 % region up to
    ZERO_FACTOR = 2.795 times it (root of chi-square with 3 degrees of freedom), and the bound of mere noise
    is that multiple. Where `noise` is known, the variances of `noise_variances` of both colours together, and
    it lengthens the difference from across, `expanded` is not below the bound of that noise ("noise-bound").
    """
    if not (0 <= difference < inf and 0 <= standard < inf):
        raise WrongUse("difference and standard uncertainty must be numbers of zero or more")
    chance = 1 - chi_square_cdf((difference / standard) ** 2, 3) if standard else float(difference == 0)
    if difference <= ZERO_FACTOR * standard:
        bound = ZERO_FACTOR * standard
        return DifferenceUncertainty(difference, "upper-bound", chance, None, bound, 0.0, difference + bound)
    known: float | None = standard
    expanded, method = coverage_factor * standard, "linear"
    if noise is not None and _lengthened(difference, standard, noise):
        expanded, method, known = max(expanded, _bound(noise, _normal(coverage_factor))), "noise-bound", None
    lower, upper = max(difference - expanded, 0.0), difference + expanded
    return DifferenceUncertainty(difference, method, chance, known, expanded, lower, upper)


def _lengthened(difference: float, standard: float, noise: Vector) -> bool:
    """Whether noise across a difference lengthens it, on average, by too much for twice its own noise to cover.

    A difference d with noise of variance s^2 across it is a hypotenuse: longer by about s^2 / (2 d). Noise alike in
    all three directions is allowed for; what goes beyond it may be UNEVEN standard uncertainties, all of it CURVED.
    """
    unit, across = 2 * difference * standard, fsum(noise) - standard * standard
    return across > unit * CURVED or across - 2 * standard * standard > unit * UNEVEN


def _normal(coverage_factor: float) -> float:
    return 2 * normal_cdf(coverage_factor) - 1


def jacobian(lab1: Lab, lab2: Lab, by: Formula = CIEDE2000) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Derivatives of the difference by the coordinates of lab1 and of lab2, by central differences.

    Meaningless at zero difference, where a distance has none, and across opposite hues in CIEDE2000.
    """
    rows = []
    for side in (0, 1):
        row = []
        for i in range(3):
            ends = []
            for step in (STEP, -STEP):
                pair = [list(lab1), list(lab2)]
                pair[side][i] += step
                ends.append(by(*pair))
            row.append((ends[0] - ends[1]) / (2 * STEP))
        rows.append(tuple(row))
    return rows[0], rows[1]


def linear_uncertainty(
    lab1: Lab,
    lab2: Lab,
    covariance1: Covariance,
    covariance2: Covariance,
    shared: Covariance = NONE,
    by: Formula = CIEDE2000,
) -> float:
    """Standard uncertainty of the difference, J V J^T (JCGM 100:2008, 5.2.2).

    `shared` is the covariance of an error common to both colours, not contained in the other two; it nearly
    cancels. Holds where the difference is well above its noise; `difference_uncertainty` tells.
    """
    first, second = jacobian(lab1, lab2, by)
    both = tuple(x + y for x, y in zip(first, second, strict=True))
    terms = (
        product(first, covariance1, first),
        product(second, covariance2, second),
        product(both, shared, both),
    )
    return sqrt(max(fsum(terms), 0.0))


def zero_in_region(
    lab1: Lab, lab2: Lab, covariance: Covariance, degrees_of_freedom: float = inf, probability: float = REGION
) -> tuple[bool, float]:
    """Whether equal colours are compatible with the readings, and the probability of readings farther apart.

    `covariance` is that of lab2 - lab1. Chi-square with 3 degrees of freedom; with `degrees_of_freedom` of an
    estimated covariance Hotelling's T^2 (3 dof / (dof - 2) F(3, dof - 2)), which needs more than 2. Few
    readings cannot fill a covariance: one without variance in some direction would prove any difference
    there, and raises WrongUse. A covariance of zeros says that both colours are exact.
    """
    values, _ = axes(covariance)
    if values[0] <= EMPTY * values[2] and values[2] != 0:
        raise WrongUse("the covariance has no variance in some direction: pool more readings, or add components")
    vector = [y - x for x, y in zip(lab1, lab2, strict=True)]
    square = distance_squared(vector, covariance) if any(vector) else 0.0
    if degrees_of_freedom == inf:
        reached = chi_square_cdf(square, 3)
    else:
        below = _pooled(degrees_of_freedom)
        reached = fisher_cdf(square * below / (3 * degrees_of_freedom), 3, below)
    return reached <= probability, 1 - reached


def noise_bound(
    lab: Lab,
    covariance: Covariance,
    by: Formula = CIEDE2000,
    degrees_of_freedom: float = inf,
    probability: float = REGION,
) -> float:
    """The difference that mere noise of this covariance exceeds, at this colour, with 1 - probability.

    Near equal colours the formula is a quadratic form; its distribution is taken as a scaled chi-square of
    the same mean and variance (Satterthwaite 1946). For an estimated covariance the bound widens as
    Hotelling's T^2 does.
    """
    bound = _bound(noise_variances(lab, covariance, by), probability)
    if degrees_of_freedom != inf:
        below = _pooled(degrees_of_freedom)
        limit = 3 * degrees_of_freedom / below * fisher_quantile(probability, 3, below)
        bound *= sqrt(limit / chi_square_quantile(probability, 3))
    return bound


def _bound(noise: Vector, probability: float) -> float:
    squares = fsum(value * value for value in noise)
    if squares == 0:
        return 0.0
    mean = fsum(noise)
    return sqrt(squares / mean * chi_square_quantile(probability, mean * mean / squares))


def _pooled(degrees_of_freedom: float) -> float:
    """Lower degrees of freedom of F where Hotelling's T^2 has these."""
    if not degrees_of_freedom > 2:
        raise WrongUse("a covariance estimated with 2 degrees of freedom or fewer cannot bound a colour: pool it")
    return degrees_of_freedom - 2


def difference_uncertainty(
    lab1: Lab,
    lab2: Lab,
    covariance1: Covariance,
    covariance2: Covariance,
    shared: Covariance = NONE,
    by: Formula = CIEDE2000,
    coverage_factor: float = 2,
    degrees_of_freedom: float = inf,
) -> DifferenceUncertainty:
    """The difference of two colours with what can be said of its uncertainty.

    The bound of mere noise is added by the triangle inequality of the local quadratic form, at the normal
    coverage of `coverage_factor` (2: 95.4 %). The linear answer is given from where noise across the
    difference lengthens it by little of the standard uncertainty (CURVED, UNEVEN); a simulation among the tests
    shows at least 95 % coverage for truths from zero upwards and for unequal variances.
    """
    value, total = by(lab1, lab2), covariance1.plus(covariance2)
    near, significance = zero_in_region(lab1, lab2, total, degrees_of_freedom)
    middle = tuple((x + y) / 2 for x, y in zip(lab1, lab2, strict=True))
    standard = None if near else linear_uncertainty(lab1, lab2, covariance1, covariance2, shared, by)
    if standard is not None and not _lengthened(value, standard, noise_variances(middle, total, by)):
        expanded = coverage_factor * standard
        lower = max(value - expanded, 0.0)
        return DifferenceUncertainty(value, "linear", significance, standard, expanded, lower, value + expanded)
    bound = noise_bound(middle, total, by, degrees_of_freedom, _normal(coverage_factor))
    lower, method = (0.0, "upper-bound") if near else (max(value - bound, 0.0), "noise-bound")
    return DifferenceUncertainty(value, method, significance, None, bound, lower, value + bound)
