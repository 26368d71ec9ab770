"""The nearest member of a reference set for one colour; without numpy.

Why references can be left out. Write C' and (a', b) for the stretched coordinates of CIEDE2000 (ISO/CIE 11664-6).
1. Its chroma and hue parts c and h and the rotation R_T form c^2 + h^2 + R_T c h >= (1 - |R_T| / 2)(c^2 + h^2).
2. |R_T| / 2 = sin(60 deg exp(..)) r(mean C') <= sin(60 deg) r(the greater C'), r(C) = sqrt(C^7 / (C^7 + 25^7)).
   Where neither b is negative both hues and so their mean lie in [0, 180], at least 95 degrees from 275:
   |R_T| / 2 <= sin(60 deg exp(-(95/25)^2)) < 6e-7.
3. T <= 1 + 0.17 + 0.24 + 0.32 + 0.20 = 1.93, so 0.015 T < 0.045: the weight S_H is at most S_C.
4. dC'^2 + dH'^2 = da'^2 + db^2, and the stretch of a is at least 1: both parts together are at least
   (da^2 + db^2) / (max(k_C, k_H) S_C)^2.
5. The stretch is at most 1.5: C' <= m = sqrt(2.25 a^2 + b^2), S_C <= s + s' with s = 0.5 + 0.0225 m for each.
6. x^2 / sqrt(20 + x^2) <= |x| and |mean(L) - 50| <= mean |L - 50|, so S_L <= p + p' with
   p = 0.5 + 0.0075 |L - 50| for each colour.
Together the difference is at least
   sqrt((dL / (k_L (p + p')))^2 + f (da^2 + db^2) / (max(k_C, k_H) (s + s'))^2),
f = 1 - 6e-7 where neither b is negative and 1 - sin(60 deg) r(the greater m) elsewhere. A reference whose bound
exceeds a difference already found cannot be nearer; SLACK keeps rounding from undoing this.
"""

from collections.abc import Sequence
from math import hypot, inf, pi, sin, sqrt
from typing import Final, NamedTuple

from shadefmt.colour.covariances import Covariance, product
from shadefmt.colour.difference_single import TWENTY_FIVE_7, Lab
from shadefmt.colour.distributions import normal_cdf
from shadefmt.colour.formula import CIEDE2000, Formula
from shadefmt.errors import WrongUse

SLACK: Final = 1 - 1e-9
UPRIGHT: Final = 1 - 6e-7
SINE_60: Final = sin(pi / 3)
STEP: Final = 1e-4


class Nearest(NamedTuple):
    """Indices and differences of the nearest reference and the next one, and how much farther that is.

    Of equally near references the one of lower index comes first. With one reference there is no runner-up:
    its index is None, its difference and the margin are infinite.
    """

    reference: int
    difference: float
    runner_up: int | None
    runner_up_difference: float
    margin: float


def nearest(lab: Lab, references: Sequence[Lab], by: Formula = CIEDE2000) -> Nearest:
    """The nearest of one reference or more under any formula; under CIE94 the colour is the standard.

    Raises WrongUse for an empty set and for coordinates that are not finite.
    """
    if not references:
        raise WrongUse("a reference set needs one member or more")
    n = len(references)
    floors = [lower_bound(lab, reference, by) for reference in references]
    best = [(inf, n), (inf, n)]
    for i in sorted(range(n), key=floors.__getitem__):
        if floors[i] > best[1][0]:
            break
        best = sorted([*best, (by(lab, references[i]), i)])[:2]
    (first, index), (second, other) = best
    return Nearest(index, first, None if other == n else other, second, second - first)


def lower_bound(lab: Lab, reference: Lab, by: Formula = CIEDE2000) -> float:
    """A number that the difference is proved to reach (above); 0 for formulas other than CIEDE2000."""
    if by.name != "CIEDE2000":
        return 0.0
    L1, a1, b1 = lab
    L2, a2, b2 = reference
    plain = by.k_L * (1 + 0.0075 * (abs(L1 - 50) + abs(L2 - 50)))
    most1, most2 = sqrt(2.25 * a1 * a1 + b1 * b1), sqrt(2.25 * a2 * a2 + b2 * b2)
    weight = max(by.k_C, by.k_H) * (1 + 0.0225 * (most1 + most2))
    form = UPRIGHT if b1 >= 0 and b2 >= 0 else 1 - SINE_60 * _chroma_ratio(max(most1, most2))
    lightness, across = (L2 - L1) / plain, hypot(a2 - a1, b2 - b1) / weight
    bound = sqrt(lightness * lightness + form * across * across)
    if not bound < inf:
        raise WrongUse("a colour coordinate is not a finite number, or far outside any colour")
    return SLACK * bound


def margin_uncertainty(
    lab: Lab,
    nearest_reference: Lab,
    runner_up: Lab,
    covariance: Covariance,
    by: Formula = CIEDE2000,
    reference_covariance: Covariance | None = None,
) -> float:
    """Standard uncertainty of the margin (second difference minus first) of a colour between two references.

    `covariance` is that of the colour; the references are exact unless a covariance, the same for both and
    independent, is given. Taken through the difference of the squares, which is smooth where a distance is
    not (on a reference), and which is zero exactly where the label changes.
    """
    sizes = [by(lab, reference) for reference in (nearest_reference, runner_up)]
    if sum(sizes) == 0:
        return 0.0
    slopes = [_slope_of_square(lab, reference, by) for reference in (nearest_reference, runner_up)]
    both = [two - one for one, two in zip(*slopes, strict=True)]
    variance = product(both, covariance, both)
    if reference_covariance is not None:
        variance += sum(product(slope, reference_covariance, slope) for slope in slopes)
    return sqrt(max(variance, 0.0)) / sum(sizes)


def undecided(margin: float, standard: float, coverage_factor: float = 2) -> bool:
    """Whether the nearest reference is undecided: equal distances, or a margin below its expanded uncertainty."""
    return margin == 0 or margin < coverage_factor * standard


def change_rate(margin: float, standard: float, repeat_standard: float | None = None) -> float:
    """How often the other of two references would be named on repeating, for a normal margin.

    `standard` is the uncertainty of this margin, `repeat_standard` that of the repeat's (the same unless
    given). The true margin is not known either, so both count: Phi(-margin / sqrt(u^2 + u_repeat^2)). With
    `standard` zero the margin found is taken for the true one. Two references only; for more, draw.
    """
    total = hypot(standard, standard if repeat_standard is None else repeat_standard)
    if not (0 <= margin < inf and total < inf):
        raise WrongUse("a margin and its uncertainty must be numbers of zero or more")
    return normal_cdf(-margin / total) if total else float(margin == 0) / 2


class Between(NamedTuple):
    """Where a colour lies along the CIELAB segment of two references: 0 at the first, 1 at the second.

    `residual` is its difference from that point of the segment.
    """

    position: float
    point: tuple[float, float, float]
    residual: float


def between(lab: Lab, first: Lab, second: Lab, by: Formula = CIEDE2000) -> Between:
    """Foot of the perpendicular on the segment, held within its ends; 0 where both references are equal."""
    step = [two - one for one, two in zip(first, second, strict=True)]
    square = sum(x * x for x in step)
    along = sum((value - one) * x for value, one, x in zip(lab, first, step, strict=True))
    position = min(max(along / square, 0.0), 1.0) if square else 0.0
    point = (
        first[0] + position * step[0],
        first[1] + position * step[1],
        first[2] + position * step[2],
    )
    return Between(position, point, by(lab, point))


def _chroma_ratio(C: float) -> float:
    """sqrt(C^7 / (C^7 + 25^7)), here without overflow: 1 for any chroma above 1e6."""
    C7 = min(C, 1e6) ** 7
    return sqrt(C7 / (C7 + TWENTY_FIVE_7))


def _slope_of_square(lab: Lab, reference: Lab, by: Formula) -> tuple[float, ...]:
    """Derivatives of the squared difference by the coordinates of `lab`, by central differences."""
    slopes = []
    for i in range(3):
        ends = []
        for shift in (STEP, -STEP):
            moved = list(lab)
            moved[i] += shift
            ends.append(by(moved, reference))
        slopes.append((ends[0] - ends[1]) * (ends[0] + ends[1]) / (2 * STEP))
    return tuple(slopes)
