"""Fourth link: a colour and a reference set give the nearest reference."""

from collections.abc import Iterator
from typing import NamedTuple

from shadefmt.chain.colours import Triple, factors_fit, lab_of
from shadefmt.chain.links import Disagreement
from shadefmt.chain.rounding import SLACK, agrees, half_unit, rounded
from shadefmt.colour.difference_single import difference
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


def conclusion(nearest_difference: float, close_up_to: float) -> str:
    """Return whether the nearest reference counts as close; equality is close."""
    return "close" if nearest_difference <= close_up_to else "none-close"


def links(view: CaseView) -> Iterator[Disagreement]:
    """Compare every match with its reference set as embedded."""
    for at, match in enumerate(view.case.matches or ()):
        embedded = view.find(match.reference_set_id, "reference_sets")
        ranked = ranked_for(view, match, embedded) if embedded is not None else []
        if ranked:
            yield from _match(match, ranked, f"/matches/{at}")


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
    for id_member, named, size_member, stated, place in pairs:
        if named is None or named not in by_id or place >= len(ranked):
            continue
        right = ranked[place]
        if by_id[named] - right.difference > 2 * half_unit(match.decimals) + SLACK:
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
        expected = conclusion(match.nearest_difference, match.close_up_to)
        if match.conclusion != expected:
            params = {
                "stated": match.conclusion,
                "expected": expected,
                "difference": match.nearest_difference,
            }
            yield Disagreement("match-conclusion-disagrees", f"{pointer}/conclusion", match.id, params)
