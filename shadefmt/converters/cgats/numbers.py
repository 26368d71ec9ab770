"""Numbers of a CGATS file: strict, finite, exact to the nearest double, with the decimals that their texts show."""

import re
from collections.abc import Sequence
from typing import Final, NamedTuple

from shadefmt.errors import Refused
from shadefmt.jsontext.numbers import integral

MAX_DECIMALS: Final = 10
"""Most decimals that a block of numbers can state."""

LARGEST: Final = 1e6
"""Largest magnitude that a case has numbers for."""

_PLAIN: Final = re.compile(r"(?:[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+) )+").fullmatch
_NUMBER: Final = re.compile(r"([+-]?(?:[0-9]+(?:\.([0-9]*))?|\.([0-9]+)))(?:[eE]([+-]?[0-9]{1,4}))?").fullmatch
_WORDS: Final = frozenset({"nan", "inf", "infinity", "na", "n/a"})


class Figures(NamedTuple):
    """Numbers, and the decimals of the one that has most.

    `cut` says that digits beyond the tenth decimal were rounded off.
    """

    values: list[float]
    decimals: int
    cut: bool


def figures_of(texts: Sequence[str], *, comma: bool = False, percent: bool = False) -> Figures:
    """Return the numbers that texts hold, one each; whole ones are integers.

    `comma` says that decimals are written with a comma, `percent` that the numbers are to be divided by 100,
    which is done in the text: 65.32 becomes exactly what 0.6532 reads as.

    Raises:
        Refused: no number, not finite, too large for a case, or the other decimal mark; without a place.
    """
    if comma:
        texts = [_pointed(text) for text in texts]
    if _PLAIN(" ".join(texts) + " "):
        shift, tail = (2, "e-2") if percent else (0, "")
        decimals = max([len(text) - text.find(".") - 1 if "." in text else 0 for text in texts]) + shift
        values = [float(text + tail) for text in texts]
    else:
        parts = [_parts(text, percent=percent) for text in texts]
        values, decimals = [value for value, _ in parts], max(places for _, places in parts)
    if max(values) > LARGEST or min(values) < -LARGEST:
        raise Refused(f"a number beyond {LARGEST:.0f}", remedy="Look at the reading; a case cannot hold it")
    if decimals > MAX_DECIMALS:
        rounded = [round(value, MAX_DECIMALS) for value in values]
        return Figures([integral(value) for value in rounded], MAX_DECIMALS, rounded != values)
    return Figures([integral(value) for value in values], decimals, False)


def number_of(text: str, *, comma: bool = False) -> float:
    """Return one number of a header.

    Raises:
        Refused: as for `figures_of`.
    """
    return figures_of([text.strip()], comma=comma).values[0]


def _parts(text: str, *, percent: bool) -> tuple[float, int]:
    """Value and decimals of a number that may have an exponent."""
    found = _NUMBER(text)
    if found is None:
        raise _fault(text)
    power = int(found[4] or 0) - (2 if percent else 0)
    value = float(f"{found[1]}e{power}")
    if value - value != 0:
        raise _fault(text)
    return value, max(0, len(found[2] or found[3] or "") - power)


def _pointed(text: str) -> str:
    if "." in text:
        raise Refused(
            f"{_shown(text)} is written with a point, the file is said to have decimal commas",
            remedy="Read it without decimal_comma, or have one decimal mark throughout",
        )
    return text.replace(",", ".", 1)


def _fault(text: str) -> Refused:
    if text.strip("+-").casefold() in _WORDS or _NUMBER(text):
        return Refused(
            f"{_shown(text)} is not a finite number", remedy="Export the file again without the readings that failed"
        )
    if "," in text and _NUMBER(text.replace(",", ".", 1)):
        return Refused(
            f"{_shown(text)} is written with a decimal comma",
            remedy="Say that the file has decimal commas (decimal_comma), or have it written with points",
        )
    return Refused(f"{_shown(text)} is not a number", remedy="Mend the value, or leave the reading out")


def _shown(text: str) -> str:
    return repr(text if len(text) <= 40 else text[:39] + "…")
