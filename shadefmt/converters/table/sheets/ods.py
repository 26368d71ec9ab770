"""A survey of the sheets of an ODS file (ISO/IEC 26300)."""

import re
import zipfile
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.table.sheets.survey import Sheet, attribute, drop, elements, local
from shadefmt.converters.table.sheets.xlsx import place_of
from shadefmt.errors import Refused

_ERROR: Final = re.compile(r"#(?:DIV/0!|N/A|NAME\?|NULL!|NUM!|REF!|VALUE!)|Err:[0-9]+")
_CELLS: Final = frozenset({"table-cell", "covered-table-cell"})
_WHITE: Final = frozenset({"line-break", "tab"})
_UNSEEN: Final = frozenset({"collapse", "filter"})


def survey_ods(archive: zipfile.ZipFile, wanted: str | None) -> tuple[list[Sheet], int]:
    """Return all sheets, surveyed, and the place of the one that is wanted, the first where none is named.

    Raises:
        Refused: the content is missing, there is no such sheet, or one is beyond the limits.
    """
    names = archive.namelist()
    if "content.xml" not in names:
        raise Refused("the part content.xml is missing", remedy="save the file anew")
    if "META-INF/manifest.xml" in names and b"encryption-data" in archive.read("META-INF/manifest.xml"):
        raise Refused("the spreadsheet is encrypted", remedy="save it without a password")
    survey = _Survey()
    with archive.open("content.xml") as stream:
        for event, element in elements(stream):
            survey.see(event, element)
    return survey.sheets, place_of(wanted, [sheet.name for sheet in survey.sheets])


@dataclass
class _Survey:
    sheets: list[Sheet] = field(default_factory=list)
    unseen: set[str | None] = field(default_factory=set)
    style: str | None = None
    depth: int = 0
    row: int = 0
    repeats: int = 1
    column: int = 0

    def see(self, event: str, element: Any) -> None:
        """Take up one element of the content."""
        name = local(element)
        if name == "table":
            self._table(event, element)
        elif name in ("style", "table-properties") and event == "start":
            self._style(name, element)
        elif self.depth != 1:
            return
        elif name == "table-row":
            self._row(event, element)
        elif name == "table-column" and event == "start" and attribute(element, "visibility") in _UNSEEN:
            self.sheets[-1].marked("column-hidden", self.sheets[-1].name)
        elif name in _CELLS and event == "end":
            self._cell(element)
            element.clear()

    def _table(self, event: str, element: Any) -> None:
        self.depth += 1 if event == "start" else -1
        if event == "start" and self.depth == 1:
            hidden = attribute(element, "style-name") in self.unseen
            self.sheets.append(Sheet(attribute(element, "name") or "", hidden))
            self.row = 0

    def _style(self, name: str, element: Any) -> None:
        if name == "style":
            self.style = attribute(element, "name")
        elif attribute(element, "display") == "false":
            self.unseen.add(self.style)

    def _row(self, event: str, element: Any) -> None:
        if event == "end":
            self.row += self.repeats
            drop(element)
            return
        self.repeats, self.column = _count(attribute(element, "number-rows-repeated")), 0
        if attribute(element, "visibility") in _UNSEEN:
            self.sheets[-1].marked("row-hidden", f"{self.sheets[-1].name}!{self.row + 1}", self.repeats)

    def _cell(self, element: Any) -> None:
        sheet, row = self.sheets[-1], self.row + 1
        times = _count(attribute(element, "number-columns-repeated"))
        first, self.column = self.column + 1, self.column + times
        if any(_count(attribute(element, f"number-{what}-spanned")) > 1 for what in ("rows", "columns")):
            sheet.marked("merged", sheet.address(row, first))
        text = "".join(element.itertext())
        kinds = [value for key, value in element.attrib.items() if key.endswith("}value-type")]
        formula = attribute(element, "formula")
        if not (kinds or text or formula):
            return
        white = any(local(each) in _WHITE for each in element.iter() if isinstance(each.tag, str))
        sheet.holds(row + self.repeats - 1, self.column, len(text) * times * self.repeats)
        for mark, there in (("formula", formula), ("percent", "percentage" in kinds), ("white-space", white)):
            if there:
                sheet.marked(mark, sheet.address(row, first), times * self.repeats)
        if "error" in kinds or (formula and _ERROR.fullmatch(text)):
            sheet.fails(row, first, f"the cell holds the error {text}", "mend or empty the cell")
        elif formula and not (kinds or text):
            what = "the cell holds a formula whose value was never computed"
            sheet.fails(row, first, what, "open the file in a spreadsheet and save it")


def _count(text: str | None) -> int:
    return int(text) if text and text.isascii() and text.isdigit() and int(text[:9]) > 0 else 1
