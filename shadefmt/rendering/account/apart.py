"""How far two stated colours lie apart, and which way; None where no number can be had."""

from typing import NamedTuple

from shadefmt.chain.colours import Triple
from shadefmt.colour.direction import Deltas, deltas, hue_words, words
from shadefmt.colour.formula import CIEDE2000, Formula
from shadefmt.errors import WrongUse

FEW: float = 0.3
"""Part of a difference, in units of the formula, below which it gets no word (own choice, no source)."""


class Apart(NamedTuple):
    """A difference, its direction in words, its parts, and the words for the two ends of the hue part."""

    difference: float
    words: tuple[str, ...]
    parts: Deltas
    hue_ends: tuple[str, str]


def apart(standard: Triple, trial: Triple, by: Formula = CIEDE2000) -> Apart | None:
    """Return how a trial lies from a standard; None for colours beyond what the formulas hold for."""
    try:
        parts = deltas(standard, trial)
        return Apart(by(standard, trial), words(standard, trial, FEW, by), parts, _ends(standard, trial))
    except (WrongUse, ArithmeticError, ValueError):
        return None


def _ends(standard: Triple, trial: Triple) -> tuple[str, str]:
    try:
        return hue_words(standard, trial)
    except (WrongUse, ArithmeticError):
        return "one way", "other way"


def direction_words(found: Apart | None) -> str:
    """Return the direction as a sentence says it; empty where nothing is to be said."""
    if found is None or not found.words:
        return ""
    return found.words[0] if len(found.words) == 1 else f"{', '.join(found.words[:-1])} and {found.words[-1]}"
