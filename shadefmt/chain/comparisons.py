"""Fifth link: two colours give a difference, its direction and its uncertainty."""

from collections.abc import Iterable, Iterator
from math import atan2, degrees, hypot, sqrt
from typing import Final

from shadefmt.chain.colours import Triple, factors_fit, lab_of
from shadefmt.chain.links import Disagreement
from shadefmt.chain.rounding import SLACK, agrees, half_unit, rounded
from shadefmt.colour.difference_single import difference
from shadefmt.indexing import CaseView
from shadefmt.model.judging import Comparison, Uncertainty

DIRECTIONS: Final = ("delta_L", "delta_a", "delta_b", "delta_C", "delta_H")
"""Members of a direction in the order of `expected_direction`."""

OPPOSITE_HUE_SLACK: Final = 2e-4
"""How far two accepted readings of CIEDE2000 differ where hues are opposite (Sharma, Wu, Dalal 2005)."""


def factors_of(comparison: Comparison) -> Triple:
    """Return the parametric factors of a comparison."""
    return (comparison.k_L, comparison.k_C, comparison.k_H)


def expected_direction(standard: Triple, trial: Triple) -> tuple[float, float, float, float, float]:
    """Return trial minus standard in L*, a*, b*, chroma and hue (delta H*ab, signed by the turn)."""
    L, a, b = (two - one for one, two in zip(standard, trial, strict=True))
    chroma = hypot(trial[1], trial[2]) - hypot(standard[1], standard[2])
    hue = sqrt(max(a * a + b * b - chroma * chroma, 0.0))
    turn = standard[1] * trial[2] - standard[2] * trial[1]
    return L, a, b, chroma, -hue if turn < 0 else hue


def expected_expanded(coverage_factor: float, standard_uncertainties: Iterable[float]) -> float:
    """Return the expanded uncertainty of independent components (JCGM 100, section 5.1)."""
    return coverage_factor * sqrt(sum(each * each for each in standard_uncertainties))


def sides(view: CaseView, comparison: Comparison) -> tuple[Triple, Triple] | None:
    """Return the stated colours of standard and trial on the comparison's basis, None where one is missing."""
    basis = (comparison.illuminant, comparison.observer)
    if "unknown" in basis:
        return None
    standard = view.colour(view.entries.get(comparison.standard_id), *basis)
    trial = view.colour(view.entries.get(comparison.trial_id), *basis)
    if standard is None or trial is None or standard.lab is None or trial.lab is None:
        return None
    return lab_of(standard.lab), lab_of(trial.lab)


def links(view: CaseView) -> Iterator[Disagreement]:
    """Compare every comparison with the colours that it names."""
    for at, comparison in enumerate(view.case.comparisons or ()):
        pointer = f"/comparisons/{at}"
        pair = sides(view, comparison)
        if pair is not None:
            if factors_fit(comparison.formula, factors_of(comparison)):
                yield from _difference(comparison, pair, pointer)
            yield from _direction(comparison, pair, pointer)
        if comparison.uncertainty is not None:
            yield from _uncertainty(comparison.id, comparison.uncertainty, f"{pointer}/uncertainty")


def _difference(comparison: Comparison, pair: tuple[Triple, Triple], pointer: str) -> Iterator[Disagreement]:
    expected = difference(comparison.formula, *pair, *factors_of(comparison))
    more = OPPOSITE_HUE_SLACK if comparison.formula == "CIEDE2000" and _nearly_opposite(*pair) else 0.0
    if not agrees(comparison.difference, expected, comparison.decimals, more):
        params = {
            "stated": comparison.difference,
            "expected": rounded(expected, comparison.decimals + 2),
            "tolerance": half_unit(comparison.decimals),
            "formula": comparison.formula,
        }
        yield Disagreement("difference-disagrees", f"{pointer}/difference", comparison.id, params, (comparison, pair))


def _direction(comparison: Comparison, pair: tuple[Triple, Triple], pointer: str) -> Iterator[Disagreement]:
    direction = comparison.direction
    if direction is None:
        return
    for member, expected in zip(DIRECTIONS, expected_direction(*pair), strict=True):
        stated = getattr(direction, member)
        if not agrees(stated, expected, direction.decimals):
            params = {
                "stated": stated,
                "expected": rounded(expected, direction.decimals + 2),
                "tolerance": half_unit(direction.decimals),
            }
            yield Disagreement(
                "direction-disagrees",
                f"{pointer}/direction/{member}",
                comparison.id,
                params,
                (stated, expected, direction.decimals),
            )


def _uncertainty(entry_id: str, uncertainty: Uncertainty, pointer: str) -> Iterator[Disagreement]:
    if uncertainty.components is None or uncertainty.method == "monte-carlo":
        return
    parts = [each.standard_uncertainty for each in uncertainty.components]
    expected = expected_expanded(uncertainty.coverage_factor, parts)
    stated, decimals = uncertainty.expanded, uncertainty.decimals
    fits = agrees(stated, expected, decimals)
    if uncertainty.method == "bounded":  # an upper bound may be wider than its parts, never narrower
        fits = stated >= expected - half_unit(decimals) - SLACK
    if not fits:
        params = {
            "stated": stated,
            "expected": rounded(expected, decimals + 2),
            "tolerance": half_unit(decimals),
            "coverage_factor": uncertainty.coverage_factor,
        }
        yield Disagreement("uncertainty-disagrees-with-components", f"{pointer}/expanded", entry_id, params)


def _nearly_opposite(one: Triple, other: Triple) -> bool:
    if hypot(*one[1:]) == 0 or hypot(*other[1:]) == 0:
        return False
    apart = abs(degrees(atan2(one[2], one[1]) - atan2(other[2], other[1]))) % 360
    return abs(apart - 180) < 0.5
