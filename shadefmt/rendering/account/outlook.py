"""Whether more repeats could settle a verdict that is open: from the stated parts of its uncertainty."""

from math import hypot, sqrt
from typing import Final

from shadefmt.colour.decisions import outlook
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView, Judgement

RANDOM: Final = frozenset({"repeatability", "repositioning"})
"""Sources that more repeats make smaller."""

MOST: Final = 30
"""Readings on each side beyond which repeating is no answer (own choice, no source)."""


def outlook_words(view: CaseView, judgement: Judgement) -> str:
    """Return what repeats could do, in words; empty where the uncertainty does not state its parts."""
    comparison, tolerance = judgement.comparison, judgement.tolerance
    if comparison is None or tolerance is None or comparison.uncertainty is None:
        return ""
    parts = comparison.uncertainty.components
    counts = [len(view.readings_behind(each)) for each in (judgement.standard, judgement.trial)]
    if parts is None or not min(counts):
        return ""
    random = hypot(*(each.standard_uncertainty for each in parts if each.source in RANDOM))
    fixed = hypot(*(each.standard_uncertainty for each in parts if each.source not in RANDOM))
    factor = tolerance.coverage_factor or comparison.uncertainty.coverage_factor
    readings = min(counts)
    try:
        found = outlook(comparison.difference, tolerance.limit, random * sqrt(readings), fixed, readings, factor)
    except (WrongUse, ArithmeticError, ValueError):
        return ""
    if found.settled:
        return ""
    if not found.possible or found.readings is None or found.readings > MOST:
        return "more repeats cannot settle it: what repeating does not reduce is as large as the distance to the limit"
    return (
        f"{found.readings} readings on each side, in all, could settle it if the difference stays as it is; "
        "a tooth dries while it is read"
    )
