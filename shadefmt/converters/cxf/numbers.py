"""Numbers of a CxF3 file: strict, finite, with the decimals that the text states."""

import re
from collections.abc import Mapping
from math import isfinite, nextafter
from typing import NamedTuple

from jiter import from_json

from shadefmt.errors import Refused
from shadefmt.limits import MAX_DECIMALS, MAX_NUMBER

_BELOW_ONE = nextafter(1.0, 0.0)
_LIST = "(?:{0} )*+{0}"
_CHARACTERS = re.compile(r"[0-9.eE+\- \t\r\n]*").fullmatch
_UNIT = [re.compile(_LIST.format(rf"0\.[0-9]{{{places}}}")).fullmatch for places in range(MAX_DECIMALS + 1)]
"""Numbers from 0 to below 1 with so many decimals each as the index says; then those of any size."""
_EVEN = [
    re.compile(_LIST.format(rf"-?(?:0|[1-9][0-9]{{0,6}})\.[0-9]{{{places}}}")).fullmatch
    for places in range(MAX_DECIMALS + 1)
]
_TOKEN = re.compile(r"[^ \t\r\n]+")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?").fullmatch
_WITH_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]*(?:[eE][+-]?[0-9]+)?").fullmatch
_WORDS = frozenset({"nan", "inf", "infinity"})


class Numbers(NamedTuple):
    """Numbers, bounds that they keep to, and the decimals of the one that has most.

    `cut` holds by place the texts of those that lost digits beyond the tenth decimal.
    """

    values: list[float]
    low: float
    high: float
    decimals: int
    cut: Mapping[int, str] = {}


def numbers_of(text: str, *, comma: bool = False) -> Numbers:
    """Return the numbers of a whitespace list (XML Schema `double`, of size `MAX_NUMBER` at most).

    `comma` says that the file writes its decimals with a comma. An empty list has the bounds 0 and 0.

    Raises:
        Refused: not numbers, not finite, or a decimal comma that was not announced; without a place.
    """
    if not comma:  # numbers with one blank between are JSON but for the commas, and its decoder is the fastest
        places = text.find(" ") - text.find(".") - 1
        if 0 < places <= MAX_DECIMALS:  # the usual case first: all have as many decimals as the first
            if _UNIT[places](text):
                return Numbers(from_json(f"[{text.replace(' ', ',')}]".encode()), 0.0, _BELOW_ONE, places)
            if _EVEN[places](text):
                values = from_json(f"[{text.replace(' ', ',')}]".encode())
                return Numbers(values, *_bounds(values, text), places)
        return _any_numbers(text)
    found = _any_numbers(_TOKEN.sub(_pointed, text))
    return found._replace(cut={place: token.replace(".", ",") for place, token in found.cut.items()})


def _any_numbers(text: str) -> Numbers:
    if not _CHARACTERS(text):
        raise _fault(text)
    tokens = text.split()
    if not tokens:
        return Numbers([], 0.0, 0.0, 0)
    try:
        values = list(map(float, tokens))
    except ValueError:
        raise _fault(text) from None
    low, high = _bounds(values, text)
    if "e" in text or "E" in text:
        decimals = max(map(_decimals_of, tokens))
    else:
        decimals = max([len(token.partition(".")[2]) for token in tokens])
    if decimals > MAX_DECIMALS:
        rounded = [round(value, MAX_DECIMALS) for value in values]
        cut = {place: tokens[place] for place, value in enumerate(values) if value != rounded[place]}
        return Numbers(rounded, low, high, MAX_DECIMALS, cut)
    return Numbers(values, low, high, decimals)


def _bounds(values: list[float], text: str) -> tuple[float, float]:
    low, high = min(values), max(values)
    if low < -MAX_NUMBER or high > MAX_NUMBER:
        raise _fault(text)
    return low, high


def number_of(text: str, *, comma: bool = False) -> float:
    """Return one number as it is written, however many decimals it has.

    Raises:
        Refused: as for `numbers_of`, also where the text holds none or several.
    """
    if len(numbers_of(text, comma=comma).values) != 1:
        raise Refused(f"{_quoted(text)} is not one number")
    return float(_TOKEN.sub(_pointed, text) if comma else text)


def plain(values: list[float]) -> list[float]:
    """Return the values with whole ones as integers, as documents write them."""
    return [int(value) if value.is_integer() else value for value in values]


def plain_factors(numbers: Numbers) -> list[float]:
    """Return the same of values that mostly lie between 0 and 1, without looking at each."""
    values = numbers.values
    return plain(values) if numbers.high >= 1 or numbers.low <= -1 or 0.0 in values else values


def _decimals_of(token: str) -> int:
    mantissa, _, exponent = token.lower().partition("e")
    after = len(mantissa.partition(".")[2])
    size = int(exponent.lstrip("+-").lstrip("0")[:9] or 0)  # int() of thousands of digits is refused by Python
    return max(0, after + size if exponent.startswith("-") else after - size)


def _pointed(found: re.Match[str]) -> str:
    """The token with its decimal comma as a point; left alone where both signs occur, which is refused later."""
    token = found[0]
    return token if "." in token else token.replace(",", ".", 1)


def _fault(text: str) -> Refused:
    for token in text.split():
        bare = token.lstrip("+-").casefold()
        if bare in _WORDS or (_NUMBER(token) and not isfinite(float(token))):
            return Refused(
                f"{_quoted(token)} is not a finite number",
                remedy="Export the file again without readings that have no number",
            )
        if _WITH_COMMA(token):
            return Refused(
                f"{_quoted(token)} is written with a decimal comma",
                remedy="Say that the file has decimal commas (decimal_comma), or have it written with points",
            )
        if not _NUMBER(token):
            return Refused(f"{_quoted(token)} is not a number")
        if abs(float(token)) > MAX_NUMBER:
            return Refused(f"{_quoted(token)} is larger than {MAX_NUMBER:g}, which no colour is")
    return Refused(f"{_quoted(text)} is not a list of numbers")


def _quoted(text: str) -> str:
    return "'" + (text if len(text) <= 40 else text[:39] + "…") + "'"
