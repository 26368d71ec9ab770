"""What a table is written into: which cells it can hold, and its bytes. Here delimited text (RFC 4180)."""

import codecs
import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Protocol

from shadefmt.converters.leaving import Reason
from shadefmt.converters.table.encodings import CODECS
from shadefmt.converters.table.formulas import guarded, runs_as_formula
from shadefmt.converters.table.members import Sort
from shadefmt.converters.table.source import DELIMITERS, QUOTES
from shadefmt.model.table_mapping import TableDialect, TableLayout

NUMERIC: Final = frozenset({"number", "count"})
"""Sorts of cells that are numbers, which no spreadsheet runs."""

_NOT_ENCODED: Final = Reason("not-in-encoding", "the encoding of the mapping has no such characters; utf-8 has")
_NOT_QUOTED: Final = Reason(
    "not-quotable", "the mapping states no quote, and the text holds the delimiter or a line end"
)
_TOO_LONG: Final = Reason("text-too-long", "a cell cannot hold so long a text")
_FORMULA: Final = Reason(
    "text-like-formula", "a spreadsheet would run it; formula_guard in the mapping's dialect lets it be written"
)
_LATIN_CONTROLS: Final = re.compile("[\x80-\x9f]")


class Target(Protocol):
    """Something that a table is written into."""

    @property
    def name(self) -> str:
        """Word for the form in loss reports."""

    @property
    def typed(self) -> bool:
        """Whether cells can be dates."""

    def cell(self, text: str, sort: Sort) -> str | Reason:
        """Return what the reader will see of a cell with this text, or why no cell can hold it."""

    def written(self, rows: Sequence[Sequence[str]]) -> bytes:
        """Return the file with these rows, blank ones included."""


@dataclass(frozen=True)
class TextTarget:
    """Delimited text: lines end with CR LF, cells are quoted where they must be."""

    dialect: TableDialect
    name: str = "table"
    typed: bool = False

    def cell(self, text: str, sort: Sort) -> str | Reason:
        """Return the text that stands in the file, quotes aside, or why none can."""
        if sort not in NUMERIC and self.dialect.formula_guard is not None:
            text = guarded(text)
        elif sort not in NUMERIC and runs_as_formula(text):
            return _FORMULA
        if not self._encodes(text):
            return _NOT_ENCODED
        if self.dialect.quote == "none" and (text != self._bare(text) or self._cuts(text)):
            return _NOT_QUOTED
        return _TOO_LONG if len(text) > csv.field_size_limit() else text

    def _bare(self, text: str) -> str:
        return text.lstrip(" ") if self.dialect.blank_after_delimiter else text

    def _cuts(self, text: str) -> bool:
        return any(sign in text for sign in (DELIMITERS[self.dialect.delimiter], "\r", "\n"))

    def _encodes(self, text: str) -> bool:
        try:
            text.encode(CODECS[self.dialect.encoding])
        except UnicodeEncodeError:
            return False
        latin = self.dialect.encoding == "iso-8859-1"
        return not ("\0" in text or text.startswith("\ufeff") or (latin and _LATIN_CONTROLS.search(text)))

    def written(self, rows: Sequence[Sequence[str]]) -> bytes:
        """Return the bytes of the rows."""
        delimiter = DELIMITERS[self.dialect.delimiter]
        text = io.StringIO(newline="")
        for row in rows:
            text.write(delimiter.join(map(self._quoted, row)) + "\r\n")
        encoding = CODECS[self.dialect.encoding]
        if encoding == "utf-16":  # one byte order on every machine
            return codecs.BOM_UTF16_LE + text.getvalue().encode("utf-16-le")
        return text.getvalue().encode(encoding.removesuffix("-sig"))

    def _quoted(self, cell: str) -> str:
        quote = QUOTES[self.dialect.quote]
        if quote is None or not (quote in cell or cell.startswith(" ") or self._cuts(cell)):
            return cell
        return quote + cell.replace(quote, quote * 2) + quote


def laid_out(layout: TableLayout, names: Sequence[str], rows: Sequence[Sequence[str]]) -> list[Sequence[str]]:
    """Return all rows of a file: the table where the mapping puts it, and the line that closes it."""
    lines: list[Sequence[str]] = []
    if layout.header_line is not None:
        lines += [()] * (layout.header_line - 1)
        lines.append(names)
    lines += [()] * ((layout.first_row_line or 0) - 1 - len(lines))
    lines += rows
    if layout.end_word is not None:
        lines.append((layout.end_word,))
    elif layout.ends_at_blank_row:
        lines.append(())
    return lines
