"""Rules on what repeats say about a verdict: its uncertainty, and whether withdrawing readings decided it."""

from collections.abc import Iterator
from typing import Final

from shadefmt.chain.colours import factors_fit
from shadefmt.chain.comparisons import factors_of, sides
from shadefmt.chain.means import inputs
from shadefmt.chain.rounding import half_unit
from shadefmt.chain.uncertainties import mean_behind, repeatability
from shadefmt.chain.verdicts import UNCOMPARED, expanded_for, expected_decision
from shadefmt.colour.difference_single import difference
from shadefmt.colour.repeats import mean as mean_colour
from shadefmt.indexing import CaseView, Located
from shadefmt.rules.base import Hit, Matter, Rule

ROOM: Final = 0.1
"""Share by which a stated uncertainty may be smaller than the repeats give: covariances of few readings are
uncertain themselves."""


def uncertainty_below_spread(matter: Matter) -> Iterator[Hit]:
    """An uncertainty is smaller than the spread of the repeats alone allows."""
    view = matter.view
    for index, comparison in enumerate(view.case.comparisons or ()):
        stated = comparison.uncertainty
        from_repeats = repeatability(view, comparison) if stated is not None else None
        if stated is None or from_repeats is None:
            continue
        least = stated.coverage_factor * from_repeats
        if stated.expanded < least * (1 - ROOM) - half_unit(stated.decimals):
            params = {"expanded": stated.expanded, "from_repeats": round(least, stated.decimals + 1)}
            yield Hit(f"/comparisons/{index}/uncertainty/expanded", params, comparison.id)


def exclusion_decides_verdict(matter: Matter) -> Iterator[Hit]:
    """The verdict would be another if the withdrawn readings of the same zone counted."""
    view = matter.view
    if not view.withdrawn:
        return
    for judgement in view.judgements:
        tolerance, comparison = judgement.tolerance, judgement.comparison
        if tolerance is None or comparison is None or judgement.verdict.decision in UNCOMPARED:
            continue
        pair = sides(view, comparison)
        if pair is None or not factors_fit(comparison.formula, factors_of(comparison)):
            continue
        whole = [_with_withdrawn(view, side) for side in (judgement.standard, judgement.trial)]
        if whole == [None, None]:
            continue
        one, other = (full or stated for full, stated in zip(whole, pair, strict=True))
        size = difference(comparison.formula, one, other, *factors_of(comparison))
        without, within = (
            expected_decision(tolerance.decision_rule, each, tolerance.limit, expanded_for(judgement))
            for each in (comparison.difference, round(size, comparison.decimals))
        )
        if without != within:
            params = {"decision": without, "with_withdrawn": within, "difference": round(size, 2)}
            yield Hit(judgement.pointer, params, judgement.verdict.id)


def _with_withdrawn(view: CaseView, side: Located | None) -> tuple[float, float, float] | None:
    """Return the mean of a side including what was withdrawn from its place, None where nothing was."""
    mean = mean_behind(view, side)
    found = inputs(view, mean) if mean else []
    if mean is None or not found or any(each.lab is None for each in found):
        return None
    first, basis = found[0].reading, (mean.colour.illuminant, mean.colour.observer)
    back = []
    for reading in view.case.readings or ():
        same = (reading.specimen_id, reading.zone, reading.session_id) == (
            first.specimen_id,
            first.zone,
            first.session_id,
        )
        if same and reading.id in view.withdrawn and reading.id not in mean.reading_ids:
            colour = view.colour(view.entries[reading.id], *basis)
            if colour is not None and colour.lab is not None and not _mistaken(view, reading.id):
                back.append((colour.lab.L, colour.lab.a, colour.lab.b))
    return mean_colour([each.lab for each in found if each.lab is not None] + back) if back else None


def _mistaken(view: CaseView, reading_id: str) -> bool:
    """Return whether a reading was withdrawn because it is not a reading of that place at all."""
    reasons = {each.reason for each in view.case.withdrawals or () if each.entry_id == reading_id}
    return bool(reasons & {"wrong-zone", "wrong-specimen", "duplicate", "mistyped", "superseded"})


RULES: Final[dict[str, Rule]] = {
    "uncertainty-below-spread": uncertainty_below_spread,
    "exclusion-decides-verdict": exclusion_decides_verdict,
}
