"""What a sheet holds beside its values: its bounds, errors, formulas, hidden and merged cells.

It is made before any cell is kept, so that a sheet beyond the limits costs no memory.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import IO, Any, Final

from shadefmt.errors import Refused
from shadefmt.limits import MAX_SHEET_CELLS, MAX_SHEET_CHARACTERS

_LETTERS: Final = 26


@dataclass
class Sheet:
    """One sheet. Rows and columns count from 1; `faults` has for each row the first cell that has no value.

    `marks` counts what a reader of values does not see, each with the first place: formulas, rows and columns
    that are hidden, cells that are merged, cells shown as percent, white space that cannot be read.
    """

    name: str
    hidden: bool = False
    rows: int = 0
    columns: int = 0
    characters: int = 0
    faults: dict[int, Refused] = field(default_factory=dict)
    marks: dict[str, tuple[int, str]] = field(default_factory=dict)

    def holds(self, row: int, column: int, length: int) -> None:
        """Take up a cell with content.

        Raises:
            Refused: the sheet is beyond the limits.
        """
        self.rows, self.columns = max(self.rows, row), max(self.columns, column)
        self.characters += length
        if self.rows * self.columns > MAX_SHEET_CELLS:
            raise self.fault(
                row, column, f"the sheet has more than {MAX_SHEET_CELLS} cells up to here", "delete what lies far off"
            )
        if self.characters > MAX_SHEET_CHARACTERS:
            raise self.fault(
                row, column, f"its cells hold more than {MAX_SHEET_CHARACTERS} characters", "this is no table"
            )

    def fault(self, row: int, column: int, what: str, remedy: str) -> Refused:
        """Return the refusal of a cell, with its address."""
        return Refused(what, where=self.address(row, column), remedy=remedy)

    def fails(self, row: int, column: int, what: str, remedy: str) -> None:
        """Note that a cell has no value; the first of a row is kept."""
        self.faults.setdefault(row, self.fault(row, column, what, remedy))

    def marked(self, mark: str, where: str, count: int = 1) -> None:
        """Count something that a reader of values does not see."""
        known, first = self.marks.get(mark, (0, where))
        self.marks[mark] = known + count, first

    def address(self, row: int, column: int) -> str:
        """Return the address of a cell, as spreadsheets write it."""
        return f"{self.name}!{letters(column)}{row}"


def letters(column: int) -> str:
    """Return the letters of a column that counts from 1: A, Z, AA."""
    text = ""
    while column:
        column, rest = divmod(column - 1, _LETTERS)
        text = chr(ord("A") + rest) + text
    return text


def elements(stream: IO[bytes]) -> Iterator[tuple[str, Any]]:
    """Yield event and element of XML from a stranger: no entities, no document type, nothing fetched.

    Raises:
        Refused: it is no well-formed XML, or has a document type.
    """
    from lxml import etree

    options = {"resolve_entities": False, "no_network": True, "load_dtd": False, "huge_tree": False}
    try:
        for event, element in etree.iterparse(
            stream, ("start", "end"), remove_comments=True, remove_pis=True, **options
        ):
            if element.getparent() is None and event == "start" and element.getroottree().docinfo.doctype:
                raise Refused("the spreadsheet has a document type declaration", remedy="save it anew")
            yield event, element
    except etree.XMLSyntaxError as failure:
        raise Refused(
            f"a part of the spreadsheet is no well-formed XML ({failure.msg})", remedy="ask for it again"
        ) from None


def local(element: Any) -> str:
    """Return the name of an element without its namespace."""
    return str(element.tag).rpartition("}")[2]


def attribute(element: Any, name: str) -> str | None:
    """Return an attribute whatever its namespace."""
    return next((str(value) for key, value in element.attrib.items() if key.rpartition("}")[2] == name), None)


def drop(element: Any) -> None:
    """Forget an element that was read, and those before it."""
    element.clear()
    parent = element.getparent()
    while parent is not None and element.getprevious() is not None:
        del parent[0]
