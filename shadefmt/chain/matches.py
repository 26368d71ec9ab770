"""Fourth link: a colour and a reference set give the nearest reference."""

from collections.abc import Iterator
from typing import NamedTuple

from shadefmt.chain.colours import Triple, factors_fit, lab_of
from shadefmt.chain.links import Disagreement
from shadefmt.chain.rounding import SLACK, agrees, half_unit, rounded
from shadefmt.chain.uncertainties import mean_behind, spread_of_mean
from shadefmt.colour.difference_single import difference
from shadefmt.colour.formula import Formula
from shadefmt.colour.nearest_single import between, margin_uncertainty
from shadefmt.indexing import CaseView
from shadefmt.model.colours import NamedColour
from shadefmt.model.judging import EmbeddedReferenceSet, Match


class Ranked(NamedTuple):
    """A reference at its difference."""

    difference: float
    reference: NamedColour


def ranking(
    lab: Triple, references: list[NamedColour], illuminant: str, observer: str, formula: str, factors: Triple
) -> list[Ranked]:
    """Return the references of one basis by rising difference; equal ones stay in the order of the set."""
    fitting = [
        Ranked(difference(formula, lab, lab_of(each.colour.lab), *factors), each)
        for each in references
        if each.colour.lab is not None and (each.colour.illuminant, each.colour.observer) == (illuminant, observer)
    ]
    return sorted(fitting, key=lambda each: each.difference)


def conclusion(
    nearest_difference: float, close_up_to: float, margin: float | None = None, expanded: float | None = None
) -> str:
    """Return whether the nearest reference is close, equality included, and told apart from the runner-up."""
    if nearest_difference > close_up_to:
        return "none-close"
    return "undecided" if margin is not None and expanded is not None and margin < expanded else "close"


class Margin(NamedTuple):
    """How the runner-up stands to the nearest reference; `expanded` needs repeats."""

    margin: float
    expanded: float | None
    position: float
    residual: float


def expected_margin(view: CaseView, of_id: str, lab: Triple, nearest: Ranked, runner_up: Ranked, by: Formula) -> Margin:
    """Return margin, its uncertainty from the repeats behind the colour, and the place between the two."""
    first, second = _coordinates(nearest), _coordinates(runner_up)
    spread = spread_of_mean(view, mean_behind(view, view.entries.get(of_id)))
    expanded = 2 * margin_uncertainty(lab, first, second, spread, by) if spread is not None else None
    foot = between(lab, first, second, by)
    return Margin(runner_up.difference - nearest.difference, expanded, foot.position, foot.residual)


def _coordinates(ranked: Ranked) -> Triple:
    assert ranked.reference.colour.lab is not None
    return lab_of(ranked.reference.colour.lab)


def links(view: CaseView) -> Iterator[Disagreement]:
    """Compare every match with its reference set as embedded."""
    for at, match in enumerate(view.case.matches or ()):
        embedded = view.find(match.reference_set_id, "reference_sets")
        ranked = ranked_for(view, match, embedded) if embedded is not None else []
        if ranked:
            yield from _match(match, ranked, f"/matches/{at}")
            yield from _margin(view, match, ranked, f"/matches/{at}")


def ranked_for(view: CaseView, match: Match, embedded: EmbeddedReferenceSet) -> list[Ranked]:
    """Return the references of a match by rising difference, on the match's own basis."""
    basis = (match.illuminant, match.observer)
    colour = view.colour(view.entries.get(match.of_id), *basis) if "unknown" not in basis else None
    factors = (match.k_L, match.k_C, match.k_H)
    if colour is None or colour.lab is None or not factors_fit(match.formula, factors):
        return []
    return ranking(lab_of(colour.lab), embedded.references, *basis, match.formula, factors)


def _match(match: Match, ranked: list[Ranked], pointer: str) -> Iterator[Disagreement]:
    by_id = {each.reference.id: each.difference for each in ranked}
    pairs = (
        ("nearest_id", match.nearest_id, "nearest_difference", match.nearest_difference, 0),
        ("runner_up_id", match.runner_up_id, "runner_up_difference", match.runner_up_difference, 1),
    )
    nearest_is_right = True
    for id_member, named, size_member, stated, place in pairs:
        if named is None or named not in by_id or place >= len(ranked):
            continue
        right = ranked[place]
        off = abs(by_id[named] - right.difference) if place else by_id[named] - right.difference
        twice = place and named == match.nearest_id and nearest_is_right
        if off > 2 * half_unit(match.decimals) + SLACK or twice:
            nearest_is_right = False
            params = {
                "stated": named,
                "expected": right.reference.id,
                "difference": rounded(by_id[named], match.decimals),
                "smaller_difference": rounded(right.difference, match.decimals),
            }
            yield Disagreement("nearest-differs", f"{pointer}/{id_member}", match.id, params)
        if stated is not None and not agrees(stated, by_id[named], match.decimals):
            params = {
                "stated": stated,
                "expected": rounded(by_id[named], match.decimals + 2),
                "tolerance": half_unit(match.decimals),
            }
            yield Disagreement("match-difference-disagrees", f"{pointer}/{size_member}", match.id, params)
    if match.conclusion is not None and match.close_up_to is not None:
        expected = conclusion(match.nearest_difference, match.close_up_to, match.margin, match.margin_expanded)
        if match.conclusion != expected:
            params = {
                "stated": match.conclusion,
                "expected": expected,
                "difference": match.nearest_difference,
            }
            yield Disagreement("match-conclusion-disagrees", f"{pointer}/conclusion", match.id, params)


def _margin(view: CaseView, match: Match, ranked: list[Ranked], pointer: str) -> Iterator[Disagreement]:
    """Compare margin and place between with the references named, as far as they are stated."""
    by_id = {each.reference.id: each for each in ranked}
    nearest, runner_up = by_id.get(match.nearest_id), by_id.get(match.runner_up_id or "")
    colour = view.colour(view.entries.get(match.of_id), match.illuminant, match.observer)
    if nearest is None or runner_up is None or colour is None or colour.lab is None:
        return
    by = Formula(match.formula, match.k_L, match.k_C, match.k_H)
    expected = expected_margin(view, match.of_id, lab_of(colour.lab), nearest, runner_up, by)
    pairs = (
        ("margin", match.margin, expected.margin, half_unit(match.decimals)),
        ("margin_expanded", match.margin_expanded, expected.expanded, 0.0),
        ("position", match.position, expected.position, 0.0),
        ("residual", match.residual, expected.residual, 0.0),
    )
    for member, stated, right, more in pairs:
        if stated is not None and right is not None and not agrees(stated, right, match.decimals, more):
            params = {
                "member": member,
                "stated": stated,
                "expected": rounded(right, match.decimals + 2),
                "tolerance": half_unit(match.decimals) + more,
            }
            yield Disagreement("match-margin-disagrees", f"{pointer}/{member}", match.id, params)
