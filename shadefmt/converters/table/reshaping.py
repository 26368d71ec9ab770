"""Rows as a table has them into rows that each stand for themselves.

Headers that come again are left out, blank cells that repeat what is above them are filled, and rows that each
hold one number of a reading become one.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from shadefmt.converters.base import Notice
from shadefmt.converters.table.body import TableBody
from shadefmt.converters.table.fields import Cells
from shadefmt.converters.table.header import Header
from shadefmt.converters.table.members import shown
from shadefmt.converters.table.source import Row
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.table_mapping import LongRows, TableMapping


@dataclass
class Reshaped:
    """The rows of a table as the columns of a mapping mean them, and their header."""

    mapping: TableMapping
    body: TableBody
    notices: list[Notice]
    header: Header = field(init=False)
    _filled: tuple[int, ...] = field(init=False)
    _long: "LongTable | None" = field(init=False, default=None)

    def __post_init__(self) -> None:
        self.header = self.body.header
        columns = [column for column in self.mapping.columns or () if column.blank_repeats]
        self._filled = tuple(map(self.header.find, columns))
        if self.mapping.long_rows is not None:
            self._long = LongTable(self.mapping.long_rows, self.header)
            self.header = self._long.wide

    def rows(self) -> Iterator[Row]:
        """Yield the rows with the line that each begins on.

        Raises:
            Refused: what a row's number is, is none of the headers that the mapping lists.
        """
        rows = self.body.rows()
        if self.mapping.layout is not None and self.mapping.layout.headers_repeat:
            rows = self._without_headers(rows)
        if self._filled:
            rows = self._repeated(rows)
        return self._long.rows(rows) if self._long else rows

    def _without_headers(self, rows: Iterator[Row]) -> Iterator[Row]:
        names = self.body.header.names
        if names is None:
            raise WrongUse("the mapping states headers_repeat but no header_line")
        times = first = 0
        for line, row in rows:
            if self.body.header.again(row):
                times, first = times + 1, first or line
            else:
                yield line, row
        if times:
            message = f"The headers came again between rows and were left out: {times}."
            self.notices.append(Notice("table-headers-again", f"line {first}", message, "See that they are the same."))

    def _repeated(self, rows: Iterator[Row]) -> Iterator[Row]:
        """Fill blank cells of some columns with what stands above them."""
        last = dict.fromkeys(self._filled, "")
        for line, row in rows:
            for index in self._filled:
                if row[index].strip():
                    last[index] = row[index]
                else:
                    row[index] = last[index]
            yield line, row


class LongTable:
    """Makes one row of several. `wide` is its header: the table's own columns, then one for each listed text."""

    def __init__(self, by: LongRows, header: Header) -> None:
        self._name, self._value = header.find(by.name_column), header.find(by.value_column)
        self._places = {text.strip(): header.width + place for place, text in enumerate(by.headers)}
        if len(self._places) < len(by.headers):
            raise WrongUse("two headers of long_rows in the mapping are the same")
        names = header.names or [""] * header.width
        self.wide = Header([*names, *by.headers], header.width + len(by.headers), header.line)
        self._label = header.label(self._name)

    def rows(self, rows: Iterator[Row]) -> Iterator[Row]:
        """Yield one row for the adjacent rows of a reading."""
        made: Cells = []
        same: Cells = []
        taken: set[int] = set()
        begun = 0
        for line, row in rows:
            place, value = self._place(line, row), row[self._value]
            row[self._name] = row[self._value] = ""
            if row != same or place in taken:
                if made:
                    yield begun, made
                begun, same, taken = line, row, set()
                made = [*row, *[""] * len(self._places)]
            made[place] = value
            taken.add(place)
        if made:
            yield begun, made

    def _place(self, line: int, row: Cells) -> int:
        text = row[self._name].strip()
        place = self._places.get(text)
        if place is None:
            raise Refused(
                f"{shown(text)} is none of the headers of long_rows",
                where=f"line {line}, {self._label}",
                remedy="list it in the mapping, or mend the cell",
            )
        return place
