"""The rows of a CGATS table as lists of cells, one for each field; never a row too few without a word.

Blanks part the values, or tabs where tabs part the field names. A row with another number of values is refused,
unless it goes on in the next line and the declared number of rows bears that out.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from shadefmt.converters.cgats.sections import BEGIN_DATA, BEGIN_FORMAT, END_DATA, Sections, Table
from shadefmt.converters.cgats.tokens import BLANKS, cells_of, is_blank, tokens_of
from shadefmt.errors import Refused

Row = tuple[int, list[str]]
"""Line that a row begins on, and its cells."""


@dataclass
class _Unfinished:
    """A row that goes on in the next line: its first line, and the values so far."""

    line: int
    values: list[str]


class Rows:
    """The rows of one table; `count` of them once all are read."""

    def __init__(self, sections: Sections, table: Table) -> None:
        self._sections = sections
        self._table = table
        self._width = len(table.fields)
        self._pending: _Unfinished | None = None
        self._wrapped = 0
        self.count = 0

    def __iter__(self) -> Iterator[Row]:
        """Yield the rows up to END_DATA.

        Raises:
            Refused: a row with too few or too many values, a quote that is not closed, no END_DATA.
        """
        width, tabbed = self._width, self._table.tabbed
        for number, text in self._sections.numbered():
            cells = None
            if self._pending is None and text.isascii() and '"' not in text and "#" not in text:
                cells = [cell.strip(BLANKS) for cell in text.split("\t")] if tabbed else text.split()
                if len(cells) != width or text.lstrip(BLANKS)[:1] in "BEbe":
                    cells = None
            if cells is None:
                if self._ends(number, text):
                    self._finish(number)
                    return
                cells = self._cells(number, text)
            if cells is not None:
                self.count += 1
                yield (self._pending.line if self._pending else number), cells
                self._pending = None
        raise Refused(
            f"the file ends in a table: there is no {END_DATA}",
            where=f"line {self._sections.last_line}",
            remedy=f"Rows may be missing: export the file again. If it is whole, put {END_DATA} at its end",
        )

    def _ends(self, number: int, text: str) -> bool:
        """Whether a line ends the table; what follows on the line is given back."""
        tokens = tokens_of(text)
        first = tokens.values[0] if tokens.values else ""
        if first.upper() in (BEGIN_DATA, BEGIN_FORMAT) and not tokens.quoted:
            what = f"{first} before {END_DATA}"
            raise Refused(what, where=f"line {number}", remedy="Rows may be missing: export the file again")
        if first.strip(BLANKS).upper() != END_DATA or (tokens.quoted and len(tokens.values) > 1):
            return False
        if not tokens.quoted:
            self._sections.give_back(number, text.lstrip(BLANKS)[len(END_DATA) :])
        return True

    def _cells(self, number: int, text: str) -> list[str] | None:
        """The cells of a line, None where it holds none or the row goes on."""
        found = tokens_of(text)
        if found.comment:
            self._table.header.comments.append(found.comment)
        self._sections.note_comment(number, found)
        if not found.values:
            return None
        if self._pending is None:
            cells = self._by_tabs(text) if self._table.tabbed else None
            if cells is None and len(found.values) != self._width:
                cells = self._unwrapped(number, text) or self._by_tabs(text, number)
            if cells is not None:
                return cells
        if found.fault:
            raise Refused(found.fault, where=f"line {number}", remedy="Mend the row")
        if self._pending is None and len(found.values) == self._width:
            return found.values
        if found.values[-1].upper() == END_DATA:
            self._sections.give_back(number, END_DATA)
            return self._cells(number, text[: found.end][: -len(END_DATA)])
        return self._continued(number, found.values)

    def _by_tabs(self, text: str, number: int = 0) -> list[str] | None:
        """The cells that tabs part, if there are as many as fields; too many empty ones at the end do not count."""
        if "\t" not in text:
            return None
        found = cells_of(text)
        cells = found.values
        while len(cells) > self._width and not cells[-1]:
            cells.pop()
        if found.fault or len(cells) != self._width:
            return None
        if number:
            self._sections.ledger.notice(
                "cells-by-tabs",
                f"line {number}",
                "a row was cut at its tabs, because blanks cut it into another number of values",
                "Have texts with blanks written in quotes",
            )
        return cells

    def _unwrapped(self, number: int, text: str) -> list[str] | None:
        if len(tokens_of(text).values) != 1:
            return None
        inside = self._sections.unwrap(number, text)
        return None if inside is None or is_blank(inside) else self._cells(number, inside)

    def _continued(self, number: int, values: list[str]) -> list[str] | None:
        """The cells of a row that began on an earlier line, if this line completes it."""
        if self._pending is None:
            self._wrapped = self._wrapped or number
            self._pending = _Unfinished(number, [])
        pending = self._pending
        pending.values += values
        if len(pending.values) > self._width or self._table.sets is None:
            raise self._uneven(pending.line, len(pending.values) if pending.line == number else None)
        return pending.values if len(pending.values) == self._width else None

    def _finish(self, number: int) -> None:
        """END_DATA was met: look whether what came before it can be whole."""
        table = self._table
        if self._pending is not None:
            raise self._uneven(self._pending.line, len(self._pending.values))
        if self._wrapped and table.sets != self.count:
            raise self._uneven(self._wrapped, None)
        if self._wrapped:
            self._sections.ledger.notice(
                "rows-on-several-lines",
                f"line {self._wrapped}",
                "rows go on in the next line; their number is the declared one",
                "Nothing",
            )
        if table.sets is not None and table.sets != self.count:
            self._sections.mismatch(number, f"NUMBER_OF_SETS says {table.sets}, there are {self.count} rows")

    def _uneven(self, line: int, count: int | None) -> Refused:
        values = f"{count} values" if count is not None else "another number of values"
        return Refused(
            f"the row has {values}, the table {self._width} fields",
            where=f"line {line}",
            remedy="Texts with blanks need quotes, and a missing value leaves a gap that nobody can place. "
            "Have the row written whole",
        )
