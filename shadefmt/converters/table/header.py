"""The columns of one table: found by header or number, and what messages and loss reports call them."""

import re
import unicodedata
from collections import Counter
from collections.abc import Sequence
from typing import Final

from shadefmt.converters.table.members import shown
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.table_mapping import ColumnChoice

_LONGEST_LABEL: Final = 60
_LISTED: Final = 12
_WAVELENGTH: Final = re.compile(r"[0-9]{3,4}(?:[.,][0-9]+)?")


class Header:
    """The columns of a table that was opened.

    `names` are the header texts without blanks at their ends, in Unicode normal form C; None where the table
    has no headers. `line` is where they stand, `width` how many columns there are, `least` how many cells a row
    has: columns at the right end without a header need none.
    """

    def __init__(self, names: Sequence[str] | None, width: int, line: int) -> None:
        self.names = None if names is None else [normal(name) for name in names]
        self.width = width
        self.line = line
        self.least = width
        while self.names and self.least > 1 and not self.names[self.least - 1]:
            self.least -= 1
        self._labels = _labels(self.names, width)

    def label(self, index: int) -> str:
        """Return what a column is called, its number where the header does not tell it from others."""
        return self._labels[index]

    def find(self, choice: ColumnChoice) -> int:
        """Return the index from 0 of the column that a mapping means.

        Raises:
            WrongUse: the mapping names no column, or a header where it says that there are none.
            Refused: the table has no such column, or more than one.
        """
        number = choice.column_number
        if choice.column is None and number is None:
            raise WrongUse("the mapping has an entry without column and column_number: give one of them")
        if number is not None and number > self.width:
            raise self._missing(f"number {number}")
        if choice.column is None:
            return (number or 1) - 1
        found = self._named(choice.column)
        if number is not None:
            if number - 1 not in found:
                raise self._missing(f"{shown(choice.column)} at number {number}")
            return number - 1
        if len(found) > 1:
            raise Refused(
                f"the header {shown(choice.column)} stands over columns {_listed([i + 1 for i in found])}",
                where=f"line {self.line}",
                remedy="give column_number beside it in the mapping",
            )
        if not found:
            raise self._missing(shown(choice.column))
        return found[0]

    def holds(self, choice: ColumnChoice) -> bool:
        """Whether the table has the column at all."""
        if choice.column is not None:
            return bool(self._named(choice.column))
        return choice.column_number is not None and choice.column_number <= self.width

    def again(self, row: Sequence[str]) -> bool:
        """Whether a row says the same as the headers."""
        return self.names is not None and [normal(text) for text in row] == self.names

    def wavelengths(self, prefix: str, suffix: str) -> list[tuple[int, str]]:
        """Return index and wavelength, as text with a point, of headers made of prefix, wavelength, suffix."""
        if self.names is None:
            raise WrongUse("a spectrum needs bands by column_number where the mapping states no header_line")
        before, after = normal(prefix), normal(suffix)
        found = []
        for index, name in enumerate(self.names):
            middle = name[len(before) : len(name) - len(after)].strip()
            if name.startswith(before) and name.endswith(after) and is_wavelength(middle):
                found.append((index, middle.replace(",", ".")))
        return found

    def _named(self, text: str) -> list[int]:
        if self.names is None:
            raise WrongUse(f"the mapping names the column {shown(text)} but states no header_line: give column_number")
        wanted = normal(text)
        return [index for index, name in enumerate(self.names) if name == wanted]

    def _missing(self, what: str) -> Refused:
        there = _listed([shown(name) for name in self.names or () if name]) or str(self.width)
        return Refused(
            f"the table has no column {what}",
            where=f"line {self.line}",
            remedy=f"columns there are: {there}; mend the mapping, or choose the one made for this table",
        )


def is_wavelength(text: str) -> bool:
    """Return whether a text can be the wavelength in a header."""
    return _WAVELENGTH.fullmatch(text) is not None


def normal(text: str) -> str:
    """Return a header without blanks at its ends, in Unicode normal form C."""
    return unicodedata.normalize("NFC", text).strip()


def _labels(names: list[str] | None, width: int) -> list[str]:
    times = Counter(names or ())
    labels = []
    for index in range(width):
        name = names[index] if names is not None else ""
        text = repr(name)
        if not name:
            labels.append(f"column {index + 1}")
        elif times[name] == 1 and len(text) <= _LONGEST_LABEL:
            labels.append(f"column {text}")
        else:
            labels.append(f"column {text[:_LONGEST_LABEL]} (number {index + 1})")
    return labels


def _listed(items: Sequence[object]) -> str:
    tail = f" and {len(items) - _LISTED} more" if len(items) > _LISTED else ""
    return ", ".join(map(str, items[:_LISTED])) + tail
