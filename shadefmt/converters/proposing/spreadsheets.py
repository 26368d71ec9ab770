"""The sheet of a spreadsheet that holds the table, as rows of cells; numbers and dates are what they are."""

from dataclasses import dataclass
from typing import Final

from shadefmt.converters.proposing.marks import marks_of
from shadefmt.converters.proposing.region import header_line
from shadefmt.converters.proposing.sniffing import MOST_ROWS, Question, Sniffed
from shadefmt.converters.table.sheets.source import SheetForm, SheetSource
from shadefmt.converters.table.source import Row
from shadefmt.errors import Refused
from shadefmt.vocabulary import DecimalMark

_DIALECT: Final = {"encoding": "utf-8", "delimiter": "semicolon", "quote": "double"}
_MOST_SHEETS: Final = 32
"""Sheets that are looked at."""
_LONGEST: Final = 200
"""Most characters of a name that a mapping can state."""


@dataclass(frozen=True)
class _Seen:
    """The rows of one sheet, before a cell that cannot be read where there is one."""

    source: SheetSource
    rows: list[Row]
    fault: Refused | None


def sheet_rows(data: bytes, form: SheetForm) -> Sniffed:
    """Return the rows of the first sheet that has headers, of the first sheet where none has.

    Raises:
        Refused: the file cannot be read, or a cell of that sheet.
    """
    first = _seen(data, form, None, "point")
    names = [each.name for each in first.source.sheets if 0 < len(each.name) <= _LONGEST][:_MOST_SHEETS]
    sheets = [first, *(_seen(data, form, name, "point") for name in names if name != first.source.sheet.name)]
    headed = [each for each in sheets if header_line(each.rows) is not None]
    chosen = (headed or sheets)[0]
    name = chosen.source.sheet.name
    mark = marks_of(cell for _, cells in chosen.rows for cell in cells).members["decimal_mark"]
    if mark == "comma":
        chosen = _seen(data, form, name, mark)
    if chosen.fault is not None:
        raise chosen.fault
    findings = ["A spreadsheet: of the dialect only its marks count, for numbers that are held as text."]
    findings += [f"{message} ({where})" for _, where, message, _ in chosen.source.remarks()]
    if len(first.source.sheets) == 1:
        return Sniffed(chosen.rows, _DIALECT, findings)
    others = ", ".join(repr(each) for each in names if each != name)
    findings.append(f"Sheet {name!r} was looked at; the file also holds {others}."[:_LONGEST])
    questions: list[Question] = []
    if len(headed) != 1:
        asked = "Which sheet holds the table?"
        among = [each.source.sheet.name for each in headed or sheets]
        questions.append({"place": "/layout/sheet", "question": asked, "answers": among})
    return Sniffed(chosen.rows, _DIALECT, findings, name, questions)


def _seen(data: bytes, form: SheetForm, name: str | None, mark: DecimalMark) -> _Seen:
    source = SheetSource(data, form, name, mark)
    rows: list[Row] = []
    try:
        for row in source.rows():
            rows.append(row)
            if len(rows) >= MOST_ROWS:
                break
    except Refused as fault:
        return _Seen(source, rows, fault)
    return _Seen(source, rows, None)
