"""Rules on verdicts: whether what is said follows from enough, and says enough."""

from collections.abc import Iterator
from math import sqrt
from typing import Final

from shadefmt.chain.rounding import half_unit
from shadefmt.chain.verdicts import UNCOMPARED, expanded_for
from shadefmt.rules.base import Hit, Matter, Rule

REPEATS_WANTED: Final = 3
"""Readings behind each side of a verdict (common practice, no source)."""


def verdict_without_tolerance(matter: Matter) -> Iterator[Hit]:
    """A verdict says that something conforms or not without naming a tolerance."""
    for judgement in matter.view.judgements:
        if judgement.verdict.tolerance_id is None and judgement.verdict.decision not in UNCOMPARED:
            yield Hit(judgement.pointer, {"decision": judgement.verdict.decision}, judgement.verdict.id)


def decision_without_uncertainty(matter: Matter) -> Iterator[Hit]:
    """A guarded decision was made without a stated uncertainty."""
    for judgement in matter.view.judgements:
        tolerance, comparison = judgement.tolerance, judgement.comparison
        if tolerance is None or comparison is None or judgement.verdict.decision in UNCOMPARED:
            continue
        if tolerance.decision_rule != "simple" and comparison.uncertainty is None:
            yield Hit(f"{judgement.pointer}/decision", {"rule": tolerance.decision_rule}, judgement.verdict.id)


def decision_unreachable(matter: Matter) -> Iterator[Hit]:
    """The uncertainty is as large as the limit, so that nothing could ever conform."""
    for judgement in matter.view.judgements:
        tolerance, expanded = judgement.tolerance, expanded_for(judgement)
        if tolerance is None or expanded is None or tolerance.decision_rule == "simple":
            continue
        if round(expanded, 9) >= round(tolerance.limit, 9):
            params = {"expanded": expanded, "limit": tolerance.limit}
            yield Hit(judgement.pointer, params, judgement.verdict.id)


def verdict_near_limit(matter: Matter) -> Iterator[Hit]:
    """A simple decision lies nearer to its limit than its uncertainty."""
    for judgement in matter.view.judgements:
        tolerance, comparison, expanded = judgement.tolerance, judgement.comparison, expanded_for(judgement)
        if tolerance is None or comparison is None or expanded is None or tolerance.decision_rule != "simple":
            continue
        if judgement.verdict.decision not in UNCOMPARED and round(
            abs(comparison.difference - tolerance.limit), 9
        ) < round(expanded, 9):
            params = {"difference": comparison.difference, "limit": tolerance.limit, "expanded": expanded}
            yield Hit(f"{judgement.pointer}/decision", params, judgement.verdict.id)


def obstacle_unstated(matter: Matter) -> Iterator[Hit]:
    """A verdict says that it cannot be compared, but not why."""
    for judgement in matter.view.judgements:
        verdict = judgement.verdict
        if (verdict.decision == "cannot-be-compared") != (verdict.obstacles is not None):
            yield Hit(judgement.pointer, {"decision": verdict.decision}, verdict.id)


def verdict_from_few_readings(matter: Matter) -> Iterator[Hit]:
    """A verdict rests on fewer readings than are usually taken."""
    view = matter.view
    for judgement in view.judgements:
        if judgement.verdict.decision in UNCOMPARED:
            continue
        for name, side in (("standard", judgement.standard), ("trial", judgement.trial)):
            count = len(view.readings_behind(side))
            if 0 < count < REPEATS_WANTED:
                params = {"side": name, "readings": count, "wanted": REPEATS_WANTED}
                yield Hit(judgement.pointer, params, judgement.verdict.id)


def verdict_about_reference_not_tooth(matter: Matter) -> Iterator[Hit]:
    """Work is judged against a chosen reference, which may itself miss the tooth."""
    for judgement in matter.view.judgements:
        side, comparison = judgement.standard, judgement.comparison
        if side is None or comparison is None or comparison.question == "quality-control":
            continue
        chosen = side.list_name == "targets" and side.entry.source_kind == "chosen-reference"
        if chosen or (side.list_name == "references" and comparison.question == "match"):
            yield Hit(judgement.pointer, {"standard": side.entry.id}, judgement.verdict.id)


def colour_too_coarse_for_tolerance(matter: Matter) -> Iterator[Hit]:
    """Colours behind a verdict are rounded so far that rounding alone can move it."""
    view = matter.view
    for judgement in view.judgements:
        tolerance, comparison = judgement.tolerance, judgement.comparison
        if tolerance is None or comparison is None or judgement.verdict.decision in UNCOMPARED:
            continue
        basis = (comparison.illuminant, comparison.observer)
        for name, side in (("standard", judgement.standard), ("trial", judgement.trial)):
            colour = view.colour(side, *basis)
            if colour is not None and sqrt(3) * half_unit(colour.decimals) > tolerance.limit / 6:
                params = {"side": name, "decimals": colour.decimals, "limit": tolerance.limit}
                yield Hit(judgement.pointer, params, judgement.verdict.id)


RULES: Final[dict[str, Rule]] = {
    "verdict-without-tolerance": verdict_without_tolerance,
    "decision-without-uncertainty": decision_without_uncertainty,
    "decision-unreachable": decision_unreachable,
    "verdict-near-limit": verdict_near_limit,
    "obstacle-unstated": obstacle_unstated,
    "verdict-from-few-readings": verdict_from_few_readings,
    "verdict-about-reference-not-tooth": verdict_about_reference_not_tooth,
    "colour-too-coarse-for-tolerance": colour_too_coarse_for_tolerance,
}
