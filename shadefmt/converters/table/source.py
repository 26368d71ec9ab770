"""The bytes of a table as a stream of rows, each with the line that it begins on.

The source is read twice: once for its digest, which ids follow from, once for its rows. Nothing but the row
at hand is kept in memory.
"""

import csv
import io
import re
import weakref
from collections.abc import Iterator
from typing import BinaryIO, Final

from shadefmt.converters.table.encodings import CODECS, demand_mark, misencoded
from shadefmt.converters.table.spool import Borrowed, measured, rewindable
from shadefmt.errors import Refused
from shadefmt.limits import MAX_TABLE_LINE_CHARACTERS
from shadefmt.model.table_mapping import TableDialect

DELIMITERS: Final = {"comma": ",", "semicolon": ";", "tab": "\t", "vertical-bar": "|"}
QUOTES: Final = {"double": '"', "single": "'", "none": None}
_LATIN_CONTROLS: Final = re.compile("[\x80-\x9f]")

Row = tuple[int, list[str]]
"""Line that a row begins on, and its cells."""


class TableSource:
    """A table's bytes: digest, lines, rows. Lines end with LF, CR LF or CR, also mixed; they count from 1."""

    def __init__(self, source: BinaryIO | bytes, dialect: TableDialect, *, own: bool = False) -> None:
        self._file = rewindable(source)
        if own or self._file is not source:
            weakref.finalize(self, self._file.close)
        self._start = self._file.tell()
        self._dialect = dialect
        self.info = measured(self._file)
        self._rewind()
        demand_mark(self._file.read(4), dialect.encoding)
        self.line = 0
        self._held = 0
        self._text = self._last = self._before = ""
        self._lines = self._read_lines()

    @property
    def unended(self) -> bool:
        """Whether the last row has no line end, or another than the row before it: it may have been cut.

        Line breaks inside quoted cells do not count: many programs write other ones there.
        """
        return self._before != "" and _line_end(self._before) != _line_end(self._last)

    def lines(self, before: int | None = None) -> Iterator[tuple[int, str]]:
        """Yield number and text of the lines not yet read, all or those before a line."""
        while before is None or self.line < before - 1:
            text = next(self._lines, None)
            if text is None:
                return
            self._held = 0
            self._before, self._last = self._last, text
            yield self.line, text

    def rows(self) -> Iterator[Row]:
        """Yield the rows of the lines not yet read.

        Raises:
            Refused: an unfinished quoted cell, text after a closing quote, a cell or row beyond the limits.
        """
        reader = self._reader(self._lines)
        begun = self.line + 1
        try:
            for row in reader:
                self._held = 0
                self._before, self._last = self._last, self._text
                yield begun, row
                begun = self.line + 1
        except csv.Error as error:
            raise _no_row(str(error), begun, self.line) from None

    def cut(self, line: str) -> list[str]:
        """Return the cells of one line that is no row of the table; the line itself where it cannot be cut."""
        try:
            return next(self._reader(iter([line])), [])
        except csv.Error:
            return [line]

    def _reader(self, lines: Iterator[str]) -> Iterator[list[str]]:
        quote = QUOTES[self._dialect.quote]
        return csv.reader(
            lines,
            delimiter=DELIMITERS[self._dialect.delimiter],
            quotechar=quote,
            quoting=csv.QUOTE_NONE if quote is None else csv.QUOTE_MINIMAL,
            skipinitialspace=bool(self._dialect.blank_after_delimiter),
            strict=True,
        )

    def _rewind(self) -> None:
        self._file.seek(self._start)

    def _read_lines(self) -> Iterator[str]:
        self._rewind()
        encoding = self._dialect.encoding
        latin = encoding == "iso-8859-1"
        stream = io.TextIOWrapper(Borrowed(self._file), encoding=CODECS[encoding], errors="strict", newline="")
        try:
            while line := stream.readline(MAX_TABLE_LINE_CHARACTERS + 1):
                self._text = line
                self.line += 1
                self._held += len(line)
                if self._held > MAX_TABLE_LINE_CHARACTERS or "\0" in line or (latin and not line.isascii()):
                    self._demand_clean(line)
                yield line
        except UnicodeDecodeError as error:
            self._rewind()
            raise misencoded(self._file, encoding, str(error.reason)) from None

    def _demand_clean(self, line: str) -> None:
        where = f"line {self.line}"
        if self._held > MAX_TABLE_LINE_CHARACTERS:
            raise Refused(
                f"the row has more than {MAX_TABLE_LINE_CHARACTERS} characters",
                where=where,
                remedy="a closing quote or the line ends are missing, or this is no table",
            )
        if "\0" in line:
            raise Refused(
                "the line holds the character NUL",
                where=where,
                remedy="the file is damaged, is no text, or has another encoding than the mapping states",
            )
        if _LATIN_CONTROLS.search(line):
            raise Refused(
                "the line holds control characters of iso-8859-1",
                where=where,
                remedy="state the encoding windows-1252 if letters or quotation marks are meant",
            )


def _line_end(line: str) -> str:
    return line[len(line.rstrip("\r\n")) :][-2:]


def _no_row(error: str, begun: int, ended: int) -> Refused:
    where = f"line {begun}" if ended <= begun else f"lines {begun} to {ended}"
    if "unexpected end" in error:
        return Refused(
            "a quoted cell is not closed where the file ends",
            where=where,
            remedy="the file is cut off, or a quote inside the cell is not doubled",
        )
    if "field limit" in error:
        return Refused(
            f"a cell has more than {csv.field_size_limit()} characters",
            where=where,
            remedy="a closing quote is missing, or this is no table of colour readings",
        )
    if "expected after" in error:
        return Refused(
            "text follows the closing quote of a cell",
            where=where,
            remedy="double the quotes inside the cell, or state another quote or delimiter in the mapping",
        )
    return Refused(f"the row cannot be cut into cells ({error})", where=where)
