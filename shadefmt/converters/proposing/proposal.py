"""A table looked at: a mapping proposed for a person to confirm, with its evidence. Nothing is guessed in silence."""

from dataclasses import dataclass
from typing import Any, Final

from shadefmt.converters.base import case_id, source_info
from shadefmt.converters.detecting import seems_spreadsheet
from shadefmt.converters.proposing.draft import Draft
from shadefmt.converters.proposing.labels import labelled_cells
from shadefmt.converters.proposing.long_rows import unfolded
from shadefmt.converters.proposing.marks import look_at, marks_of
from shadefmt.converters.proposing.measures import Measures
from shadefmt.converters.proposing.members import find_members
from shadefmt.converters.proposing.region import Region, region_of
from shadefmt.converters.proposing.sniffing import MOST_ROWS, Sniffed, sniffed
from shadefmt.converters.proposing.spreadsheets import sheet_rows
from shadefmt.model.table_mapping import TableMapping
from shadefmt.versions import FORMAT_NAME, FORMAT_VERSION

Value = dict[str, Any]

_ORDER: Final = tuple(TableMapping.model_fields)


@dataclass(frozen=True)
class Proposal:
    """A proposed mapping as a document value, and the questions that a person has to answer first."""

    mapping: Value

    @property
    def questions(self) -> list[Value]:
        """What is left to decide: `place`, `question` and, where they are few, `answers`."""
        found: list[Value] = self.mapping["proposal"].get("questions", [])
        return found


def propose_mapping(data: bytes) -> Proposal:
    """Return a mapping for a delimited table, or a sheet of a spreadsheet, proposed from its headers and cells.

    Raises:
        Refused: the bytes cannot be cut into rows of cells, or there is no table among them.
        WrongUse: a spreadsheet, and the packages that read one are not installed.
    """
    form = seems_spreadsheet(data)
    found = sniffed(data) if form is None else sheet_rows(data, form)
    return proposed(found, case_id(source_info(form or "table", data).sha256, "table-mapping"))


def proposed(found: Sniffed, mapping_id: str) -> Proposal:
    """Return a mapping for rows of cells, whatever file they come from."""
    region = region_of(found.rows)
    marks = marks_of(cell for _, cells in region.rows for cell in cells)
    wide, long_rows = unfolded(region.headers, region.rows)
    looks = [look_at(index, (row[index] for row in wide.rows), marks) for index in range(len(wide.headers))]
    draft = Draft(wide.headers, looks, marks, labelled_cells(region.above))
    draft.questions += found.questions
    if found.sheet:
        region.layout["sheet"] = found.sheet
    for index in wide.spent:
        draft.say(index, "likely", "Each row holds one number of a reading: its name and value are in these columns.")
    Measures(draft, region.over).find()
    find_members(draft)
    if marks.open:
        draft.ask("/dialect/decimal_mark", marks.finding, ("point", "comma"))
    blanks = sorted({text for look in looks for text in look.blanks})
    _ask_odd(draft, set(blanks))
    findings = [*found.findings, marks.finding, *region.findings]
    said = (f"{each['member']} is said above the table, after {each['label']!r}." for each in draft.labelled)
    findings += said
    if len(found.rows) >= MOST_ROWS:
        findings.append(f"Only the first {MOST_ROWS} rows of the file were looked at.")
    proposal = {
        "rows_seen": len(region.rows),
        "findings": findings,
        "columns": [draft.found[index] for index in sorted(draft.found)],
        **({"questions": draft.questions} if draft.questions else {}),
    }
    return Proposal(_document(draft, found.dialect, region, long_rows, blanks, proposal, mapping_id))


def _document(
    draft: Draft, dialect: Value, region: Region, long_rows: Value, blanks: list[str], proposal: Value, mapping_id: str
) -> Value:
    members = {
        "format": FORMAT_NAME,
        "version": FORMAT_VERSION,
        "kind": "table-mapping",
        "id": mapping_id,
        "title": f"Proposed for a table of {len(region.headers)} columns",
        "dialect": dialect | draft.marks.members,
        "layout": region.layout,
        "blank_words": blanks,
        "long_rows": long_rows,
        "labelled": draft.labelled,
        "colours": draft.colours,
        "groups": draft.groups,
        "columns": draft.columns,
        "spectra": draft.spectra,
        "ignored": draft.ignored,
        "proposal": proposal,
        **draft.members,
    }
    return {name: members[name] for name in _ORDER if members.get(name)}


def _ask_odd(draft: Draft, blanks: set[str]) -> None:
    """Ask about texts in columns of numbers that are neither numbers nor known to mean a blank."""
    for look in draft.looks:
        odd = [text for text in dict.fromkeys(look.odd) if text not in blanks]
        heading = draft.headings[look.index]
        if look.numeric and odd and (heading.wavelength or heading.coordinate):
            shown = ", ".join(repr(text[:40]) for text in odd[:5])
            draft.ask("/blank_words", f"Texts among the numbers of column {heading.text!r}: {shown}. Are they blanks?")
