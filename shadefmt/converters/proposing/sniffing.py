"""From bytes to rows of cells without a mapping: encoding, delimiter and quote by what the bytes show."""

import csv
import re
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from dataclasses import dataclass, field
from statistics import mode
from typing import Any, Final

from shadefmt.converters.table.source import DELIMITERS, QUOTES, Row, TableSource
from shadefmt.errors import Refused
from shadefmt.model.table_mapping import TableDialect

MOST_ROWS: Final = 20_000
"""Rows that are looked at; what comes below them is not."""

_TRIED: Final = 400
_NUMBER: Final = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?")


Question = dict[str, Any]
"""`place`, `question` and, where they are few, `answers`."""


@dataclass(frozen=True)
class Sniffed:
    """Rows with the line that each begins on, the dialect but for its marks, and what speaks for it.

    `sheet` is the name of their sheet where it has to be stated, `questions` what a person decides of all this.
    """

    rows: list[Row]
    dialect: dict[str, Any]
    findings: list[str]
    sheet: str = ""
    questions: list[Question] = field(default_factory=list)


def sniffed(data: bytes) -> Sniffed:
    """Return a table's rows and how its bytes seem to be cut.

    Raises:
        Refused: no delimiter makes rows of two or more cells, or the bytes are no text.
    """
    encoding, why = _encoding(data)
    best: tuple[float, Sniffed] | None = None
    for quote in ("double", "single", "none"):
        for delimiter in DELIMITERS:
            dialect: dict[str, Any] = {"encoding": encoding, "delimiter": delimiter, "quote": quote}
            if re.search(re.escape(DELIMITERS[delimiter].encode()) + b" +[\"']", data[: 1 << 16]):
                dialect["blank_after_delimiter"] = True
            rows = _rows(data, dialect)
            score = _score(rows, delimiter, quote)
            if rows is not None and score > 0 and (best is None or score > best[0]):
                said = f"{delimiter} between cells, quote {quote}: rows are of one width and cells are whole."
                best = score, Sniffed(rows, dialect, [why, said])
    if best is None:
        raise Refused(
            "no delimiter makes rows of two or more cells of one width",
            where="line 1",
            remedy="see whether this is a delimited table; cells that hold the delimiter need quotes",
        )
    return best[1]


def _encoding(data: bytes) -> tuple[str, str]:
    if data.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return "utf-16", "Encoding utf-16: the file begins with its byte order mark."
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        pass
    else:
        if data.startswith(BOM_UTF8):
            return "utf-8", "Encoding utf-8: the file begins with its byte order mark."
        return "utf-8", "Encoding utf-8: every byte fits" + (", all are ASCII." if data.isascii() else ".")
    try:
        data.decode("cp1252")
    except UnicodeDecodeError:
        return "iso-8859-1", "Encoding iso-8859-1: bytes do not fit utf-8 nor windows-1252. See that letters are right."
    return "windows-1252", "Encoding windows-1252: bytes do not fit utf-8. See that letters are right."


def _rows(data: bytes, words: dict[str, Any]) -> list[Row] | None:
    dialect = TableDialect.model_validate({**words, "decimal_mark": "point"})
    rows: list[Row] = []
    try:
        for row in TableSource(data, dialect).rows():
            rows.append(row)
            if len(rows) >= MOST_ROWS:
                break
    except (Refused, csv.Error):
        return None
    return rows


def _score(rows: list[Row] | None, delimiter: str, quote: str) -> float:
    """How well rows are cut: share of the commonest width, times share of cells that hold no other delimiter."""
    filled = [cells for _, cells in (rows or [])[:_TRIED] if any(cell.strip() for cell in cells)]
    widths = [len(cells) for cells in filled if len(cells) > 1]
    if not widths:
        return 0
    usual = mode(widths)
    cells = [cell.strip() for row in filled if len(row) == usual for cell in row if cell.strip()]
    if not cells:
        return 0
    marks = [mark for word, mark in DELIMITERS.items() if word != delimiter]
    whole = sum(
        bool(_NUMBER.fullmatch(cell)) or (not any(mark in cell for mark in marks) and not _quoted(cell))
        for cell in cells
    )
    plainly = {"double": 0.02, "single": 0.0, "none": 0.01}[quote]
    return widths.count(usual) / len(filled) * whole / len(cells) + plainly + min(usual, 100) / 10_000


def _quoted(cell: str) -> bool:
    return len(cell) > 1 and cell[0] == cell[-1] and cell[0] in filter(None, QUOTES.values())
