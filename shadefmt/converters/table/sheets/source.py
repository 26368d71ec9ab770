"""The rows of a sheet as texts, as though they stood in a delimited table of the same mapping."""

import io
from collections.abc import Iterator
from datetime import date, datetime, time
from importlib import import_module
from typing import Any, Final, Literal

from shadefmt.converters.base import Account, source_info
from shadefmt.converters.table.cells import Moment, Numeral
from shadefmt.converters.table.numbers import MARKS
from shadefmt.converters.table.sheets.archive import opened
from shadefmt.converters.table.sheets.ods import survey_ods
from shadefmt.converters.table.sheets.survey import Sheet
from shadefmt.converters.table.sheets.xlsx import survey_xlsx
from shadefmt.converters.table.source import Row
from shadefmt.errors import Refused, WrongUse
from shadefmt.vocabulary import DecimalMark

SheetForm = Literal["xlsx", "ods"]

_BETWEEN: Final = "\x1f"
"""What stands between the cells of a row that is taken as one text; white space as far as Python is concerned."""

SEEN: Final = {
    "formula": (
        "table-formulas",
        "Cells hold formulas; the values that were stored with them are read",
        "See that they are up to date.",
    ),
    "row-hidden": (
        "table-rows-hidden",
        "Rows are hidden; they are read like the others",
        "Delete them if they are not meant.",
    ),
    "column-hidden": (
        "table-columns-hidden",
        "Columns are hidden; they are read like the others",
        "Delete them if they are not meant.",
    ),
    "merged": (
        "table-cells-merged",
        "Cells are merged; the value counts for the first of them only",
        "Split them, and fill every cell.",
    ),
    "percent": (
        "table-cells-percent",
        "Cells are shown as percent; a spreadsheet holds them as factors",
        "State the unit factor in the mapping.",
    ),
    "white-space": (
        "table-white-space",
        "Texts hold tabs or line breaks that are not read",
        "Compare these texts with the source.",
    ),
}
"""Code, message and remedy for what a reader of values does not see."""


def library(name: str) -> Any:
    """Return a module of the extra `spreadsheets`.

    Raises:
        WrongUse: it is not installed.
    """
    try:
        return import_module(name)
    except ImportError:
        what = f"spreadsheets need the package of {name}, which is not installed"
        raise WrongUse(f"{what}: pip install 'shadefmt[spreadsheets]', or save the sheet as CSV") from None


class SheetSource:
    """A sheet's bytes, rows and what is to be said of it; the face of `TableSource`.

    `wanted` is the name of the sheet, the first where none is given; `mark` is what numbers are written with.
    """

    def __init__(self, data: bytes, form: SheetForm, wanted: str | None, mark: DecimalMark) -> None:
        self.info = source_info(form, data)
        with opened(data) as archive:
            self.sheets, place = (survey_xlsx if form == "xlsx" else survey_ods)(archive, wanted)
        self.sheet: Sheet = self.sheets[place]
        self.line = 0
        self.unended = False
        self._mark = mark
        self._rows = iter(_values(data, self.sheet.name, place))

    def lines(self, before: int | None = None) -> Iterator[tuple[int, str]]:
        """Yield number and text of the rows not yet read, all or those before one."""
        while before is None or self.line < before - 1:
            row = next(self._rows, None)
            if row is None:
                return
            self.line += 1
            yield self.line, _BETWEEN.join(map(self._text, row))

    def cut(self, text: str) -> list[str]:
        """Return the cells of a row that `lines` yielded."""
        return text.split(_BETWEEN)

    def rows(self) -> Iterator[Row]:
        """Yield the rows not yet read.

        Raises:
            Refused: a cell holds an error, or a formula without a value.
        """
        for row in self._rows:
            self.line += 1
            if self.line in self.sheet.faults:
                raise self.sheet.faults[self.line]
            yield self.line, [self._text(value) for value in row]

    def account(self, account: Account) -> None:
        """Enter the sheets that are not read into the account."""
        for sheet in self.sheets:
            if sheet is not self.sheet:
                reason = "a hidden sheet; the mapping names another" if sheet.hidden else "the mapping names another"
                account.lost(
                    f"sheet {sheet.name!r}"[:200],
                    "dropped",
                    "table-sheet-not-read",
                    reason,
                    where=sheet.name[:200] or "sheet",
                )

    def remarks(self) -> Iterator[tuple[str, str, str, str]]:
        """Yield code, place, message and remedy of what a reader of values does not see."""
        if self.sheet.hidden:
            yield "table-sheet-hidden", self.sheet.name, "The sheet is hidden.", "See that it is the one that is meant."
        for mark, (count, where) in self.sheet.marks.items():
            code, message, remedy = SEEN[mark]
            yield code, where, f"{message}: {count}.", remedy

    def _text(self, value: Any) -> str:
        if isinstance(value, str):
            return value
        if isinstance(value, bool):
            return "true" if value else "false"
        if isinstance(value, int | float):
            return Numeral(number_cell(value, self._mark))
        return Moment(value.isoformat()) if isinstance(value, datetime | date | time) else str(value)


def number_cell(value: float, mark: DecimalMark) -> str:
    """Return a number of a spreadsheet as the mapping would have it written."""
    text = str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(float(value))
    return text.replace(".", MARKS[mark])


def _values(data: bytes, name: str, place: int) -> list[list[Any]]:
    calamine = library("python_calamine")
    try:
        book = calamine.CalamineWorkbook.from_filelike(io.BytesIO(data))
        if len(book.sheet_names) <= place or book.sheet_names[place] != name:
            raise Refused("its sheets cannot be told apart", remedy="save the file anew")
        rows: list[list[Any]] = book.get_sheet_by_index(place).to_python(skip_empty_area=False)
    except calamine.CalamineError as failure:
        raise Refused(f"the spreadsheet cannot be read ({failure})"[:300], remedy="save the file anew") from None
    return rows
