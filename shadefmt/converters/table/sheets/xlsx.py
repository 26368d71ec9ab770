"""A survey of one sheet of an XLSX file (ISO/IEC 29500)."""

import posixpath
import zipfile
from dataclasses import dataclass, field
from string import ascii_letters
from typing import Any, Final

from shadefmt.converters.table.sheets.survey import Sheet, drop, elements, letters, local
from shadefmt.errors import Refused

_BOOK: Final = "xl/workbook.xml"
_PERCENT_FORMATS: Final = frozenset({"9", "10"})
"""Number formats of ISO/IEC 29500 that show percent without a code of their own."""


def survey_xlsx(archive: zipfile.ZipFile, wanted: str | None) -> tuple[list[Sheet], int]:
    """Return all sheets by name, and the place of the one that is wanted, the first where none is named; only that
    one is surveyed.

    Raises:
        Refused: parts are missing, there is no such sheet, or it is beyond the limits.
    """
    found = list(_listed(archive))
    place = place_of(wanted, [sheet.name for sheet, _ in found])
    sheet, part = found[place]
    if part not in archive.namelist():
        raise Refused(f"the part {part} of the sheet {sheet.name!r} is missing", remedy="save the file anew")
    survey = _Survey(sheet, _lengths(archive), _percent_styles(archive))
    with archive.open(part) as stream:
        for event, element in elements(stream):
            survey.see(event, element)
    return [each for each, _ in found], place


def place_of(wanted: str | None, names: list[str]) -> int:
    """Return the place of a sheet by name, 0 where none is named.

    Raises:
        Refused: there is no such sheet, or none at all.
    """
    if not names or (wanted is not None and wanted not in names):
        there = ", ".join(map(repr, names[:12])) or "none"
        raise Refused(f"there is no sheet {wanted or ''}", remedy=f"sheets are: {there}; mend sheet in the mapping")
    return 0 if wanted is None else names.index(wanted)


def _listed(archive: zipfile.ZipFile) -> list[tuple[Sheet, str]]:
    targets: dict[str | None, str] = {}
    names = archive.namelist()
    if _BOOK not in names or "xl/_rels/workbook.xml.rels" not in names:
        raise Refused("the parts that list the sheets are missing", remedy="save the file anew")
    with archive.open("xl/_rels/workbook.xml.rels") as stream:
        for event, element in elements(stream):
            if event == "end" and local(element) == "Relationship":
                targets[element.get("Id")] = posixpath.normpath(posixpath.join("/xl", element.get("Target", "")))[1:]
    sheets = []
    with archive.open(_BOOK) as stream:
        for event, element in elements(stream):
            if event == "end" and local(element) == "sheet":
                hidden = element.get("state", "visible") != "visible"
                relation = next((str(value) for key, value in element.attrib.items() if key.endswith("}id")), None)
                sheets.append((Sheet(element.get("name", ""), hidden), targets.get(relation, "")))
    return sheets


def _lengths(archive: zipfile.ZipFile) -> list[int]:
    """Lengths of the texts that cells share."""
    found: list[int] = []
    if "xl/sharedStrings.xml" not in archive.namelist():
        return found
    with archive.open("xl/sharedStrings.xml") as stream:
        for event, element in elements(stream):
            if event == "end" and local(element) == "si":
                found.append(sum(len(part) for part in element.itertext()))
                drop(element)
    return found


def _percent_styles(archive: zipfile.ZipFile) -> frozenset[str]:
    """The styles, as cells name them, that show a number as percent."""
    percent, styles, inside = set(_PERCENT_FORMATS), list[str](), False
    if "xl/styles.xml" not in archive.namelist():
        return frozenset()
    with archive.open("xl/styles.xml") as stream:
        for event, element in elements(stream):
            name = local(element)
            if name == "cellXfs":
                inside = event == "start"
            elif event == "end" and name == "numFmt" and "%" in element.get("formatCode", ""):
                percent.add(element.get("numFmtId", ""))
            elif event == "end" and name == "xf" and inside:
                styles.append(element.get("numFmtId", ""))
    return frozenset(str(place) for place, form in enumerate(styles) if form in percent)


@dataclass
class _Survey:
    sheet: Sheet
    lengths: list[int]
    percent: frozenset[str]
    row: int = field(default=0)
    column: int = field(default=0)

    def see(self, event: str, element: Any) -> None:
        """Take up one element of the sheet."""
        name = local(element)
        if event == "start" and name == "row":
            self._row(element)
        elif event == "end" and name == "c":
            self._cell(element)
            element.clear()
        elif event == "end" and name == "row":
            drop(element)
        elif event == "end" and name == "mergeCell":
            self.sheet.marked("merged", f"{self.sheet.name}!{element.get('ref', '')}")
        elif event == "end" and name == "col" and element.get("hidden") in ("1", "true"):
            column = _number(element.get("min", "0"))
            self.sheet.marked("column-hidden", f"{self.sheet.name}!{letters(column)}")

    def _row(self, element: Any) -> None:
        self.row, self.column = _number(element.get("r", "")) or self.row + 1, 0
        if element.get("hidden") in ("1", "true"):
            self.sheet.marked("row-hidden", f"{self.sheet.name}!{self.row}")

    def _cell(self, element: Any) -> None:
        digits = str(element.get("r", "")).lstrip(ascii_letters)
        if digits and digits != str(self.row):  # the reader of values goes by the address and takes room for it
            what = f"the address of a cell in row {self.row} names another row"
            raise Refused(what, where=self.sheet.name, remedy="save the file anew")
        self.column = _column(element.get("r", "")) or self.column + 1
        children = {local(child): child for child in element}
        kind, value = element.get("t", "n"), children.get("v")
        text = "" if value is None else value.text or ""
        if "f" in children:
            self._formula(not text and kind != "str")  # an empty text is a value, an empty number is none
        if kind == "e":
            self.sheet.fails(self.row, self.column, f"the cell holds the error {text}", "mend or empty the cell")
        if value is not None or "is" in children or "f" in children:
            length = sum(map(len, children["is"].itertext())) if "is" in children else len(text)
            self.sheet.holds(self.row, self.column, self._shared(text) if kind == "s" else length)
            if kind == "n" and element.get("s") in self.percent:
                self.sheet.marked("percent", self.sheet.address(self.row, self.column))

    def _formula(self, blank: bool) -> None:
        self.sheet.marked("formula", self.sheet.address(self.row, self.column))
        if blank:
            what = "the cell holds a formula whose value was never computed"
            self.sheet.fails(self.row, self.column, what, "open the file in a spreadsheet and save it")

    def _shared(self, text: str) -> int:
        place = _number(text)
        if not text.strip().isdigit() or place >= len(self.lengths):
            raise self.sheet.fault(
                self.row, self.column, "the cell names a text that is not there", "save the file anew"
            )
        return self.lengths[place]


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0


def _column(address: str) -> int:
    number = 0
    for letter in address.rstrip("0123456789")[:4]:
        number = number * 26 + (ord(letter) - ord("A") + 1 if "A" <= letter <= "Z" else 0)
    return number
