"""Numbers of a CxF3 file: strict, finite, with the decimals that the text states."""

import re
from math import inf, isfinite
from typing import NamedTuple

from shadefmt.errors import Refused

MAX_DECIMALS = 10
"""Most decimals that a block of numbers can state."""

_CHARACTERS = re.compile(r"[0-9.eE+\- \t\r\n]*").fullmatch
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?").fullmatch
_WITH_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]*(?:[eE][+-]?[0-9]+)?").fullmatch
_WORDS = frozenset({"nan", "inf", "infinity"})


class Numbers(NamedTuple):
    """Numbers and the decimals of the one that has most; `cut` where digits beyond the tenth were rounded off."""

    values: list[float]
    decimals: int
    cut: bool


def numbers_of(text: str, *, comma: bool = False) -> Numbers:
    """Return the numbers of a whitespace list (XML Schema `double`, finite values only).

    `comma` says that the file writes its decimals with a comma.

    Raises:
        Refused: not numbers, not finite, or a decimal comma that was not announced; without a place.
    """
    if comma:
        text = " ".join([_pointed(token) for token in text.split()])
    if not _CHARACTERS(text):
        raise _fault(text)
    tokens = text.split()
    try:
        values = [float(token) for token in tokens]
    except ValueError:
        raise _fault(text) from None
    if values and not (max(values) < inf and min(values) > -inf):
        raise _fault(text)
    decimals = _decimals(text, tokens)
    if decimals > MAX_DECIMALS:
        rounded = [round(value, MAX_DECIMALS) for value in values]
        return Numbers(rounded, MAX_DECIMALS, rounded != values)
    return Numbers(values, decimals, False)


def number_of(text: str, *, comma: bool = False) -> float:
    """Return one number.

    Raises:
        Refused: as for `numbers_of`, also where the text holds none or several.
    """
    values = numbers_of(text, comma=comma).values
    if len(values) != 1:
        raise Refused(f"{_quoted(text)} is not one number")
    return values[0]


def plain(values: list[float]) -> list[float]:
    """Return the values with whole ones as integers, as documents write them."""
    if 0.0 in values or not (-1 < min(values) and max(values) < 1):
        return [int(value) if value.is_integer() else value for value in values]
    return values


def _decimals(text: str, tokens: list[str]) -> int:
    if "e" in text or "E" in text:
        return max(map(_decimals_of, tokens))
    if text.count(".") == len(tokens):
        return max([len(token) - token.find(".") for token in tokens], default=1) - 1
    return max(map(_decimals_of, tokens), default=0)


def _decimals_of(token: str) -> int:
    mantissa, _, exponent = token.lower().partition("e")
    after = len(mantissa.partition(".")[2])
    size = int(exponent.lstrip("+-").lstrip("0")[:9] or 0)  # int() of thousands of digits is refused by Python
    return max(0, after + size if exponent.startswith("-") else after - size)


def _pointed(token: str) -> str:
    """The token with its decimal comma as a point; left alone where both signs occur, which is refused later."""
    return token if "." in token else token.replace(",", ".", 1)


def _fault(text: str) -> Refused:
    for token in text.split():
        bare = token.lstrip("+-").casefold()
        if bare in _WORDS or (_NUMBER(token) and not isfinite(float(token))):
            return Refused(
                f"{_quoted(token)} is not a finite number",
                remedy="Export the file again without the readings that failed",
            )
        if _WITH_COMMA(token):
            return Refused(
                f"{_quoted(token)} is written with a decimal comma",
                remedy="Say that the file has decimal commas (decimal_comma), or have it written with points",
            )
        if not _NUMBER(token):
            return Refused(f"{_quoted(token)} is not a number")
    return Refused(f"{_quoted(text)} is not a list of numbers")


def _quoted(text: str) -> str:
    return "'" + (text if len(text) <= 40 else text[:39] + "…") + "'"
