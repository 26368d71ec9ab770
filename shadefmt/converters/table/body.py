"""The part of a file that is the table: what lies above and below, blank rows, the width of rows."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import chain, islice

from shadefmt.converters.base import Account, Notice
from shadefmt.converters.table.header import Header
from shadefmt.converters.table.sheets.source import SheetSource
from shadefmt.converters.table.source import Row, TableSource
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.table_mapping import TableLayout


@dataclass
class TableBody:
    """The rows of the table in a file.

    Raises Refused for a table whose rows have not as many cells as it has columns; cells beyond them may be
    there if they are empty.
    """

    source: TableSource | SheetSource
    layout: TableLayout
    account: Account
    notices: list[Notice]
    labels: frozenset[str] = frozenset()
    labelled: dict[str, tuple[int, str]] = field(init=False, default_factory=dict)
    """Line and text of the cell after each label that was found above the table."""
    header: Header = field(init=False)
    _rows: Iterator[Row] = field(init=False)
    _first: list[Row] = field(init=False, default_factory=list)
    _blank: int = field(init=False, default=0)
    _blank_line: int = field(init=False, default=0)

    def __post_init__(self) -> None:
        self._rows = self.source.rows()
        first_line = self.layout.first_row_line
        if self.layout.header_line is None:
            self._skip("above the table", first_line or 1)
            self._first = list(islice(self._filled(), 1))
            width = len(self._first[0][1]) if self._first else 0
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
        if first_line is not None and self.source.line >= first_line:
            raise Refused(
                f"the headers reach down to line {self.source.line}, the mapping puts the first row at {first_line}",
                where=f"line {line}",
                remedy="mend first_row_line in the mapping, or the quotes of the headers",
            )
        if first_line is not None:
            self._skip("between headers and rows", first_line)

    def _filled(self) -> Iterator[Row]:
        """Yield the rows that are not blank."""
        for line, row in self._rows:
            if _is_blank(row):
                self._pass_over(line)
            else:
                yield line, row

    def rows(self) -> Iterator[Row]:
        """Yield the rows of the table with the line that each begins on."""
        width = self.header.width
        word = None if self.layout.end_word is None else self.layout.end_word.strip()
        ended = False
        for line, row in chain(self._first, self._rows):
            if _is_blank(row):
                if self.layout.ends_at_blank_row:
                    ended = True
                    break
                self._pass_over(line)
                continue
            if word is not None and row[0].strip() == word:
                ended = True
                if "".join(row[1:]).strip():
                    self._drop("below the table", line)
                break
            yield line, row if len(row) == width else self._fitted(line, row, width)
        if not ended:
            self._miss_end()
        for line, text in self.source.lines():
            if text.strip():
                self._drop("below the table", line)
        self._close()

    def _fitted(self, line: int, row: list[str], width: int) -> list[str]:
        if len(row) > width and not "".join(row[width:]).strip():
            return row[:width]
        if self.header.least <= len(row) < width:
            return [*row, *[""] * (width - len(row))]
        more = len(row) > width
        raise Refused(
            f"the row has {len(row)} cells, the table {width} columns",
            where=f"line {line}",
            remedy="a cell holds the delimiter and is not quoted, or the mapping states another delimiter"
            if more
            else "the file is cut off, or cells are missing from the row",
        )

    def _skip(self, place: str, before: int) -> None:
        for line, text in self.source.lines(before):
            if text.strip() and not (self.labels and self._took(line, self.source.cut(text))):
                self._drop(place, line)

    def _took(self, line: int, cells: list[str]) -> bool:
        """Take labelled cells out of a line; return whether nothing else is on it."""
        texts = [text.strip() for text in cells if text.strip()]
        found = [index for index, text in enumerate(texts[:-1]) if bare_label(text) in self.labels]
        for index in found:
            self.labelled.setdefault(bare_label(texts[index]), (line, texts[index + 1]))
        return len(texts) == 2 * len(found)

    def _drop(self, place: str, line: int) -> None:
        """Account for a line that is no part of the table; what it says is not repeated."""
        self.account.lost(
            f"lines {place}",
            "dropped",
            "table-line-dropped",
            "the mapping says that they are no rows",
            where=f"line {line}",
        )

    def _pass_over(self, line: int) -> None:
        self._blank += 1
        self._blank_line = self._blank_line or line

    def _miss_end(self) -> None:
        if self.layout.end_word is not None:
            raise Refused(
                f"the closing line that begins with {self.layout.end_word!r} is missing",
                where=f"line {self.source.line}",
                remedy="the file is cut off; export it again",
            )
        if self.layout.ends_at_blank_row and not isinstance(self.source, SheetSource):  # below a sheet all is blank
            self._note("table-end-not-found", self.source.line, "No blank row ends the table.", "See that it is whole.")

    def _close(self) -> None:
        if self._blank:
            self._note(
                "table-rows-blank",
                self._blank_line,
                f"Rows without content were left out: {self._blank}.",
                "See that nothing is missing there.",
            )
        if self.source.unended:
            self._note(
                "table-last-line-unended",
                self.source.line,
                "The last line does not end as the line before it does: the file may be cut off.",
                "Compare its last row with the source.",
            )

    def _note(self, code: str, line: int, message: str, remedy: str) -> None:
        self.notices.append(Notice(code, f"line {line}", message, remedy))


def bare_label(text: str) -> str:
    """Return a label without blanks at its ends and the colon after it."""
    return text.strip().removesuffix(":").rstrip()


def _is_blank(row: list[str]) -> bool:
    return not row or (not row[0].strip() and not "".join(row).strip())
