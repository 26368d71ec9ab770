"""Spreadsheets to be written: numbers as numbers, dates as dates, texts as texts that no spreadsheet runs.

The same rows give the same bytes: no clock stands in the file.
"""

import io
import re
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from shadefmt.converters.leaving import Reason
from shadefmt.converters.table.cells import Moment, Numeral
from shadefmt.converters.table.members import Sort
from shadefmt.converters.table.numbers import MARKS
from shadefmt.converters.table.sheets.source import SheetForm, library, number_cell
from shadefmt.vocabulary import DecimalMark

NUMERIC: Final = frozenset({"number", "count"})
SHEET_NAME: Final = "Sheet1"
_LONGEST: Final = 32_767
"""Most characters of a cell (limit of common spreadsheets)."""

_NOT_HELD: Final = Reason("not-in-spreadsheet", "a cell of a spreadsheet cannot hold such characters or so long a text")
_OUTSIDE_XML: Final = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")
_ESCAPED: Final = re.compile("_x[0-9A-Fa-f]{4}_")
_REPLACED: Final = "".join(f"{chr(plane << 16 | 0xFFFE)}{chr(plane << 16 | 0xFFFF)}" for plane in range(1, 17))
_LOST_IN_ODS: Final = re.compile(f"\t|^\n|\n\n|\n$|[\x7f-\x84\x86-\x9f{_REPLACED}]")
"""Tabs and empty lines, which readers of ODS pass over; controls and non-characters, which odfpy writes as U+FFFD."""

_EPOCH: Final = datetime(2000, 1, 1)
_ZIP_EPOCH: Final = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True)
class SheetTarget:
    """A spreadsheet of one sheet."""

    name: SheetForm
    mark: DecimalMark
    sheet: str = SHEET_NAME
    typed: bool = True

    def cell(self, text: str, sort: Sort) -> str | Reason:
        """Return what the reader sees of a cell: a number as its shortest digits; a date stays what it is."""
        if sort in NUMERIC:
            return Numeral(number_cell(float(f"{float(text.replace(MARKS[self.mark], '.')):.16g}"), self.mark))
        if isinstance(text, Moment):
            return text
        lost = _ESCAPED if self.name == "xlsx" else _LOST_IN_ODS
        return _NOT_HELD if len(text) > _LONGEST or _OUTSIDE_XML.search(text) or lost.search(text) else text

    def written(self, rows: Sequence[Sequence[str]]) -> bytes:
        """Return the file with these rows."""
        values = [[self._value(cell) for cell in row] for row in rows]
        ods = self.name == "ods"
        return _repacked((_ods if ods else _xlsx)(self.sheet, values), ods=ods)

    def _value(self, cell: str) -> Any:
        if isinstance(cell, Numeral):
            return float(cell.replace(MARKS[self.mark], "."))
        if isinstance(cell, Moment):
            return date.fromisoformat(cell) if len(cell) == len("2026-03-04") else datetime.fromisoformat(cell)
        return cell or None


def _xlsx(name: str, rows: Sequence[Sequence[Any]]) -> bytes:
    openpyxl, cells = library("openpyxl"), library("openpyxl.cell")
    book = openpyxl.Workbook(write_only=True)
    book.properties.creator, book.properties.created = "shadefmt", _EPOCH
    sheet = book.create_sheet(name)
    for row in rows:
        made = []
        for value in row:
            cell = cells.WriteOnlyCell(sheet, value)
            if isinstance(value, str):
                cell.data_type = "s"  # also where it begins like a formula or an error
            made.append(cell)
        sheet.append(made)
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def _ods(name: str, rows: Sequence[Sequence[Any]]) -> bytes:
    document = library("odf.opendocument").OpenDocumentSpreadsheet()
    tables, teletype, paragraph = library("odf.table"), library("odf.teletype"), library("odf.text").P
    table = tables.Table(name=name)
    document.spreadsheet.addElement(table)
    for row in rows:
        line = tables.TableRow()
        table.addElement(line)
        for value in row or (None,):
            text, members = _ods_cell(value)
            cell = tables.TableCell(**members)
            for part in text.split("\n") if text else ():
                shown = paragraph()
                teletype.addTextToElement(shown, part)
                cell.addElement(shown)
            line.addElement(cell)
    data = io.BytesIO()
    document.save(data)
    return data.getvalue()


def _ods_cell(value: Any) -> tuple[str, dict[str, str]]:
    if isinstance(value, float):
        text = number_cell(value, "point")
        return text, {"valuetype": "float", "value": text}
    if isinstance(value, date):
        return value.isoformat(), {"valuetype": "date", "datevalue": value.isoformat()}
    return (value, {"valuetype": "string"}) if value else ("", {})


def _exclusive(content: bytes) -> bytes:
    from lxml import etree

    tree = etree.fromstring(content)
    return etree.tostring(tree, method="c14n", exclusive=True)


def _repacked(data: bytes, *, ods: bool) -> bytes:
    """Return the archive without what its library knew of the moment and of earlier files."""
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(made, "w") as new:
        for entry in old.infolist():
            part = zipfile.ZipInfo(entry.filename, _ZIP_EPOCH)
            part.compress_type = entry.compress_type
            content = old.read(entry)
            if entry.filename == "docProps/core.xml":  # openpyxl enters the moment of saving
                content = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>2000-01-01T00:00:00Z", content)
            if ods and entry.filename.endswith(".xml"):  # odfpy declares the namespaces of all it ever wrote
                content = _exclusive(content)
            new.writestr(part, content)
    return made.getvalue()
