"""Numbers as tables write them: to the nearest double and the decimals that the text shows, without noise.

A shift of the decimal point (percent to factor) is made in the text, so that 65.32 % becomes exactly what
0.6532 reads as.
"""

import re
from dataclasses import dataclass
from decimal import MAX_EMAX, MIN_EMIN, ROUND_HALF_EVEN, Context, Decimal
from math import isinf
from typing import Final

from shadefmt.converters.table.members import shown
from shadefmt.errors import Refused
from shadefmt.jsontext.numbers import integral
from shadefmt.vocabulary import DecimalMark, ThousandsMark

Figure = tuple[int | float, int]
"""Value and decimals of a number."""

_GRAMMAR: Final = re.compile(r"([+-]?[0-9]*)(?:\.([0-9]*))?(?:[eE]([+-]?[0-9]{1,4}))?")
_DIGITS: Final = re.compile(r"[0-9]+").fullmatch
_USUAL_LENGTH: Final = 40
_MAX_LENGTH: Final = 400
MARKS: Final = {"point": ".", "comma": ",", "blank": " ", "apostrophe": "'"}
_LIKENESSES: Final = str.maketrans({"\u2212": "-", "\u2019": "'"})
_BLANKS: Final = str.maketrans({"\u00a0": " ", "\u202f": " ", "\u2009": " "})


@dataclass(frozen=True)
class NumberForm:
    """How the numbers of a column are written.

    `shift` is the power of ten between the column's unit and the member's; `percent_sign` says whether a
    number may end with one.
    """

    decimal_mark: DecimalMark = "point"
    thousands_mark: ThousandsMark | None = None
    shift: int = 0
    percent_sign: bool = False


class NumberReader:
    """Reads the text of cells as numbers of one form, in the member's unit.

    Raises Refused for what is no number of that form, and for what no double can hold.
    """

    def __init__(self, form: NumberForm) -> None:
        self.form = form
        self._mark = MARKS[form.decimal_mark]
        self._group = MARKS[form.thousands_mark] if form.thousands_mark else ""
        self._grouped = re.compile(rf"[+-]?[0-9]{{1,3}}(?:{re.escape(self._group)}[0-9]{{3}})+(?![0-9])")

    @classmethod
    def plain(cls) -> "NumberReader":
        """Reads numbers with a decimal point, in the unit of the member."""
        return cls(NumberForm())

    def __call__(self, text: str) -> Figure:
        """Return the nearest double (an int where whole) and the decimals of a number."""
        whole, mark, fraction = text.partition(self._mark)
        power = self.form.shift
        if not (_DIGITS(whole) and (_DIGITS(fraction) or not mark) and len(text) <= _USUAL_LENGTH):
            whole, fraction, power = self._parts(text)
        value = float(f"{whole}.{fraction}e{power}" if power else f"{whole}.{fraction}")
        if isinf(value):
            raise Refused(f"{shown(text)} is too large")
        return integral(value), max(0, len(fraction) - power)

    def rounded(self, text: str, decimals: int) -> int | float:
        """Return a number rounded to so many decimals, halves to the even digit."""
        whole, fraction, power = self._parts(text)
        context = Context(_MAX_LENGTH * 2, ROUND_HALF_EVEN, MIN_EMIN, MAX_EMAX, traps=[])
        exact = Decimal(f"{whole}.{fraction}e{power}")
        return integral(float(exact.quantize(Decimal(1).scaleb(-decimals), context=context)))

    def _parts(self, text: str) -> tuple[str, str, int]:
        """Digits before and after the decimal mark, and the power of ten that they are multiplied by."""
        plain = text.strip().translate(_LIKENESSES)
        if self.form.percent_sign and plain.endswith("%"):
            plain = plain[:-1].rstrip()
        if self._group:
            plain = plain.translate(_BLANKS)
            found = self._grouped.match(plain)
            if found:
                plain = found[0].replace(self._group, "") + plain[found.end() :]
        if self._mark != ".":
            plain = "?" if "." in plain else plain.replace(self._mark, ".")
        matched = _GRAMMAR.fullmatch(plain) if len(plain) <= _MAX_LENGTH else None
        if matched is None or not (matched[2] or matched[1].strip("+-")):
            raise Refused(f"{shown(text)} is no number", remedy=self._remedy(text))
        whole, fraction, exponent = matched.groups("")
        return whole, fraction, int(exponent or 0) + self.form.shift

    def _remedy(self, text: str) -> str:
        other = "," if self._mark == "." else "."
        if other in text and _GRAMMAR.fullmatch(text.strip().replace(other, ".")):
            return f"the mapping states a decimal {self.form.decimal_mark}; if that is wrong, mend it"
        if text.strip().endswith("%"):
            return "state the unit percent for this column"
        return "mend the cell, or list its text under blank_words if it means that there is no value"
