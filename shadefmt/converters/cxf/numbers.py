"""Numbers of a CxF3 file: strict, finite, with the decimals that the text states."""

import re
from math import inf, isfinite
from typing import NamedTuple

from jiter import from_json

from shadefmt.errors import Refused

MAX_DECIMALS = 10
"""Most decimals that a block of numbers can state."""

_CHARACTERS = re.compile(r"[0-9.eE+\- \t\r\n]*").fullmatch
_EVEN = [
    re.compile(rf"[ \t\r\n]*+(?:-?(?:0|[1-9][0-9]*+)\.[0-9]{{{places}}}[ \t\r\n]*+)++").fullmatch
    for places in range(1, MAX_DECIMALS + 1)
]
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?").fullmatch
_WITH_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]*(?:[eE][+-]?[0-9]+)?").fullmatch
_WORDS = frozenset({"nan", "inf", "infinity"})


class Numbers(NamedTuple):
    """Numbers, least and greatest, and the decimals of the one that has most.

    `cut` says that digits beyond the tenth decimal were rounded off.
    """

    values: list[float]
    low: float
    high: float
    decimals: int
    cut: bool


def numbers_of(text: str, *, comma: bool = False) -> Numbers:
    """Return the numbers of a whitespace list (XML Schema `double`, finite values only).

    `comma` says that the file writes its decimals with a comma. An empty list has the range 0 to 0.

    Raises:
        Refused: not numbers, not finite, or a decimal comma that was not announced; without a place.
    """
    if comma:
        text = " ".join([_pointed(token) for token in text.split()])
    tokens = text.split()
    decimals = _even_decimals(text, tokens[0]) if tokens else 0
    try:
        if decimals:  # then the numbers are those of JSON too, and its decoder is the fastest there is
            values: list[float] = from_json(b"[" + ",".join(tokens).encode() + b"]")
        elif _CHARACTERS(text):
            values = list(map(float, tokens))
        else:
            raise _fault(text)
    except ValueError:
        raise _fault(text) from None
    low, high = (min(values), max(values)) if values else (0.0, 0.0)
    if not (high < inf and low > -inf):
        raise _fault(text)
    if decimals is None:
        decimals = max(map(_decimals_of, tokens))
    if decimals > MAX_DECIMALS:
        rounded = [round(value, MAX_DECIMALS) for value in values]
        return Numbers(rounded, low, high, MAX_DECIMALS, rounded != values)
    return Numbers(values, low, high, decimals, False)


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
    return [int(value) if value.is_integer() else value for value in values]


def plain_factors(numbers: Numbers) -> list[float]:
    """Return the same of values that mostly lie between 0 and 1, without looking at each."""
    values = numbers.values
    return plain(values) if numbers.high >= 1 or numbers.low <= -1 or 0.0 in values else values


def _even_decimals(text: str, first: str) -> int | None:
    """The decimals that every number of a text has, in the usual case that all have as many as the first."""
    places = len(first) - first.find(".") - 1
    return places if 0 < places <= MAX_DECIMALS and _EVEN[places - 1](text) else None


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
