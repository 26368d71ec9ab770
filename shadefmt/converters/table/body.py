"""The part of a file that is the table: what lies above and below, blank rows, the width of rows."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from shadefmt.converters.base import Account
from shadefmt.converters.table.header import Header
from shadefmt.converters.table.source import Row, TableSource
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.table_mapping import TableLayout


@dataclass(frozen=True, slots=True)
class Notice:
    """Something about a table that its owner should know, though it was read."""

    code: str
    where: str
    message: str
    remedy: str


@dataclass
class TableBody:
    """The rows of the table in a file.

    Raises Refused for a table whose rows have not as many cells as it has columns; cells beyond them may be
    there if they are empty.
    """

    source: TableSource
    layout: TableLayout
    account: Account
    notices: list[Notice]
    header: Header = field(init=False)
    _rows: Iterator[Row] = field(init=False)
    _first: Row | None = field(init=False, default=None)
    _blank: list[int] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        self._rows = self.source.rows()
        first_line = self.layout.first_row_line
        if self.layout.header_line is None:
            self._skip("above the table", first_line or 1)
            self._first = next(self._rows, None)
            width = len(self._first[1]) if self._first else 0
            self.header = Header(None, width, first_line or 1)
            return
        if first_line is not None and first_line <= self.layout.header_line:
            raise WrongUse("first_row_line of the mapping does not lie below header_line")
        self._skip("above the table", self.layout.header_line)
        line, names = next(self._rows, (self.source.line + 1, []))
        if not any(name.strip() for name in names):
            raise Refused(
                "there are no column headers",
                where=f"line {line}",
                remedy="the file is cut off, or header_line in the mapping is wrong",
            )
        self.header = Header(names, len(names), line)
        if first_line is not None:
            self._skip("between headers and rows", first_line)

    def rows(self) -> Iterator[Row]:
        """Yield the rows of the table with the line that each begins on."""
        width = self.header.width
        ended = False
        for line, row in self._all():
            if not row or (not row[0].strip() and not "".join(row).strip()):
                if self.layout.ends_at_blank_row:
                    ended = True
                    break
                self._blank.append(line) if len(self._blank) < 2 else None
                continue
            if len(row) != width:
                row = self._fitted(line, row, width)
            if self.layout.end_word is not None and row[0].strip() == self.layout.end_word.strip():
                ended = True
                if "".join(row[1:]).strip():
                    self._drop("below the table", line)
                break
            yield line, row
        if not ended:
            self._miss_end()
        self._leave("below the table", self.source.lines())
        self._close()
