"""Numbers of a CGATS file: strict, finite, exact to the nearest double, with the decimals that their texts show."""

import re
from collections.abc import Sequence
from typing import Final, NamedTuple

from jiter import from_json

from shadefmt.errors import Refused
from shadefmt.limits import MAX_DECIMALS, MAX_NUMBER

_EVEN: Final = [
    re.compile(rf"(?:-?(?:0|[1-9][0-9]*+)\.[0-9]{{{places}}},)++").fullmatch for places in range(1, MAX_DECIMALS + 1)
]
"""Lists of numbers that JSON has too, all with so many decimals: its decoder is the fastest there is."""

_PLAIN: Final = re.compile(r"(?:[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)\n)+").fullmatch
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
    even = None if percent else _even(texts)
    if even is not None:
        values, decimals = even
    elif _PLAIN("\n".join(texts) + "\n"):
        shift, tail = (2, "e-2") if percent else (0, "")
        decimals = max([len(text) - text.find(".") - 1 if "." in text else 0 for text in texts]) + shift
        values = [float(text + tail) for text in texts]
    else:
        parts = [_parts(text, percent=percent) for text in texts]
        values, decimals = [value for value, _ in parts], max(each for _, each in parts)
    low, high = min(values), max(values)
    if high > MAX_NUMBER or low < -MAX_NUMBER:
        raise Refused(f"a number beyond {MAX_NUMBER:.0f}", remedy="Look at the reading; a case cannot hold it")
    cut = False
    if decimals > MAX_DECIMALS:
        rounded = [round(value, MAX_DECIMALS) for value in values]
        values, decimals, cut = rounded, MAX_DECIMALS, rounded != values
    if high >= 1 or low <= -1 or 0.0 in values:
        values = [int(value) if value.is_integer() else value for value in values]
    return Figures(values, decimals, cut)


def number_of(text: str, *, comma: bool = False) -> float:
    """Return one number of a header.

    Raises:
        Refused: as for `figures_of`.
    """
    return figures_of([text.strip()], comma=comma).values[0]


def _even(texts: Sequence[str]) -> tuple[list[float], int] | None:
    """Numbers and their decimals, in the usual case that all have as many as the first."""
    places = len(texts[0]) - texts[0].find(".") - 1
    joined = ",".join(texts)
    if not 0 < places <= MAX_DECIMALS or joined.count(",") >= len(texts) or not _EVEN[places - 1](joined + ","):
        return None
    return from_json(b"[%b]" % joined.encode()), places


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
            f"{_shown(text)} is not a finite number",
            remedy="Export the file again without readings that have no number",
        )
    if "," in text and _NUMBER(text.replace(",", ".", 1)):
        return Refused(
            f"{_shown(text)} is written with a decimal comma",
            remedy="Say that the file has decimal commas (decimal_comma), or have it written with points",
        )
    return Refused(f"{_shown(text)} is not a number", remedy="Mend the value, or leave the reading out")


def _shown(text: str) -> str:
    return repr(text if len(text) <= 40 else text[:39] + "…")
