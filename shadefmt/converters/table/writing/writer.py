"""The public writer: cases as one table by the mapping that reads it, with the account of what it cannot carry."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from shadefmt.converters.base import Account, ForeignFile, SourceInfo, loss_report
from shadefmt.converters.demanding import demand_case
from shadefmt.converters.leaving import Leaving, Reason
from shadefmt.converters.table.columns import Columns
from shadefmt.converters.table.fields import Field
from shadefmt.converters.table.header import Header
from shadefmt.converters.table.mapping import mapping_of
from shadefmt.converters.table.members import Sort
from shadefmt.converters.table.plan import Plan, constants_of, plan_of
from shadefmt.converters.table.sheets.target import SHEET_NAME, SheetTarget
from shadefmt.converters.table.writing.grids import pattern_waves
from shadefmt.converters.table.writing.heading import KEYS, heading_of
from shadefmt.converters.table.writing.marking import NO_PLACE, WITHDRAWN, Marking
from shadefmt.converters.table.writing.placing import GroupWriter, Placed
from shadefmt.converters.table.writing.rereading import Reread, Rereader, Row
from shadefmt.converters.table.writing.rows import rows_of
from shadefmt.converters.table.writing.sources import Source, Sources, Value
from shadefmt.converters.table.writing.spelling import Spelling
from shadefmt.converters.table.writing.target import Target, TextTarget, laid_out
from shadefmt.errors import Refused, WrongUse
from shadefmt.jsontext import canonical
from shadefmt.model.table_mapping import TableLayout, TableMapping

TableForm = Literal["table", "xlsx", "ods"]
"""Delimited text by the dialect of the mapping, or a spreadsheet."""

_ENTITY: Final = {"case_key": "case", "instrument_key": "instrument", "session_key": "session"}


def write_table(
    cases: Iterable[Value], mapping: Value, *, form: TableForm = "table", full: bool = False
) -> ForeignFile:
    """Write the readings of cases as one table, by the same mapping document that reads it.

    Every row is read again before it is kept, by the code that reads tables: a reading of which the table would
    say something else than its case is left out. `read_table` reads back what the loss report does not list;
    ids are given anew, and an even list of wavelengths comes back as start and step.

    Args:
        cases: case document values, in the order in which they are to stand.
        mapping: a decoded table-mapping document. Columns without a number stand in its order: keys, columns,
            spectra; wavelengths that it names by a pattern are those of the first such spectrum.
        form: delimited text by the dialect of the mapping, or a spreadsheet.
        full: list every loss instead of the first few of each kind.

    Raises:
        WrongUse: the mapping is faulty, or what is given is no case.
        Refused: no reading can be written, a header cannot, or `case_key` does not tell the cases apart.
    """
    model = mapping_of(mapping)
    _demand_plain(model)
    documents = list(cases)
    for case in documents:
        demand_case(case, "a table")
    return _TableWriter(model, documents, _target(model, form), full).written()


def _demand_plain(mapping: TableMapping) -> None:
    """Raise WrongUse for a mapping of a layout that is read, but not written."""
    read_only = [name for name in ("long_rows", "labelled") if getattr(mapping, name)]
    if any(column.blank_repeats for column in mapping.columns or ()):
        read_only.append("blank_repeats")
    if read_only:
        raise WrongUse(f"a mapping with {' and '.join(read_only)} reads tables only; write with one without")


def _target(mapping: TableMapping, form: TableForm) -> Target:
    if form == "table":
        return TextTarget(mapping.dialect)
    if form not in ("xlsx", "ods"):
        raise WrongUse(f"a table is written as table, xlsx or ods, not as {form!r}")
    sheet = mapping.layout.sheet if mapping.layout else None
    return SheetTarget(form, mapping.dialect.decimal_mark, sheet or SHEET_NAME)


@dataclass
class _TableWriter:
    mapping: TableMapping
    cases: Sequence[Value]
    target: Target
    full: bool
    _names: list[str] = field(init=False)
    _header: Header = field(init=False)
    _plan: Plan = field(init=False)
    _groups: list[GroupWriter] = field(init=False)
    _layout: TableLayout = field(init=False)
    _keys: dict[str, str] = field(init=False, default_factory=dict)
    _known: dict[tuple[str, ...], int] = field(init=False, default_factory=dict)
    _readings: int = field(init=False, default=0)

    def __post_init__(self) -> None:
        self._layout = self.mapping.layout or TableLayout()
        self._names, self._header = heading_of(self.mapping, pattern_waves(self.mapping, self.cases))
        self._plan = plan_of(self.mapping, self._header)
        self._demand_header()
        self._groups = self._group_writers()

    def written(self) -> ForeignFile:
        """Return the file and the loss report."""
        account, rows, digest, size = Account(self.full), list[Row](), hashlib.sha256(), 0
        documents = 0
        for place, case in enumerate(self.cases):
            data = canonical(case)
            digest.update(data)
            size += len(data)
            made = self._case(place, case, account)
            rows += made
            documents += bool(made)
        if not rows:
            raise Refused(
                "no reading could be written" + self._why(account),
                where="/readings",
                remedy="use a mapping whose columns and constants suit the case",
            )
        data = self.target.written(laid_out(self._layout, self._names, rows))
        source = SourceInfo("case", digest.hexdigest(), size)
        loss = loss_report(
            source, account, target_format=self.target.name, documents=documents, readings=self._readings
        )
        return ForeignFile(data, loss)

    @staticmethod
    def _why(account: Account) -> str:
        found = [item for item in account.losses if item["path"] == "/readings/*"]
        return ": " + "; ".join(f"{each['count']} of them: {each['reason']}" for each in found[:3]) if found else ""

    def _case(self, place: int, case: Value, account: Account) -> list[Row]:
        name = f"document {place + 1}: " if len(self.cases) > 1 else ""
        leaving = Leaving(case, account, name=name)
        sources = Sources(case)
        for number, reading in enumerate(case.get("readings", ())):
            if reading["id"] in sources.withdrawn:
                leaving.left(("readings", number), WITHDRAWN)
        placed: list[Placed] = []
        for source in sources.all():
            found = self._place(source, case["id"])
            if isinstance(found, Reason):
                leaving.left(source.path, found)
            else:
                placed.append(found)
        rereader = Rereader(self._plan)
        rows, made = self._read_again(rereader, rows_of(placed, self._header.width), leaving)
        if rows:
            self._demand_key(place, rows)
            marking = Marking(leaving, rereader, self._keys)
            marking.envelope()
            for each in made:
                marking.reading(each)
            for each in made:
                marking.entities(each)
        leaving.leave_rest(NO_PLACE)
        self._readings += len(made)
        return rows

    def _place(self, source: Source, case_id: str) -> Placed | Reason:
        reason: Placed | Reason = NO_PLACE
        for group in self._groups:
            found = group.place(source, case_id)
            if isinstance(found, Placed):
                return found
            if reason is NO_PLACE or found.code != "no-group":
                reason = found
        return reason

    def _read_again(
        self, rereader: Rereader, rows: Sequence[tuple[Row, list[Placed]]], leaving: Leaving
    ) -> tuple[list[Row], list[Reread]]:
        """Return the rows that say what the case says, and what they say; the others are left out."""
        kept: list[Row] = []
        made: list[Reread] = []
        waiting = list(reversed(rows))
        while waiting:
            row, placed = waiting.pop()
            try:
                self._demand_open(row)
                made += rereader.read(len(kept) + 1, row, placed)
                kept.append(row)
            except Refused as fault:
                if len(placed) > 1:
                    waiting += [rows_of([each], self._header.width)[0] for each in reversed(placed)]
                else:
                    leaving.left(placed[0].source.path, Reason("row-would-mislead", fault.what))
        return kept, made

    def _demand_open(self, row: Row) -> None:
        if self._layout.end_word is not None and row[0].strip() == self._layout.end_word.strip():
            raise Refused("the row begins with the word that closes the table")

    def _demand_key(self, place: int, rows: Sequence[Row]) -> None:
        """Raise Refused where the table would not tell one case from the others."""
        keys = {self._plan.case_key(row) for row in rows} if self._plan.case_key else {()}
        key = min(keys)
        where, remedy = f"document {place + 1}", "use a mapping whose case_key tells cases apart"
        if len(keys) > 1 or (self._plan.case_key and not all(text.strip() for text in key)):
            raise Refused("the columns of case_key differ or are blank within the case", where=where, remedy=remedy)
        if self._known.setdefault(key, place) != place:
            raise Refused(
                f"the table would not tell it from document {self._known[key] + 1}", where=where, remedy=remedy
            )

    def _demand_header(self) -> None:
        plain: Sort = "text" if self.target.typed else "number"  # the words of the mapping are never guarded
        for name in self._names if self._layout.header_line else ():
            if name and isinstance(self.target.cell(name, plain), Reason):
                raise Refused(
                    f"the header {name!r} cannot be written",
                    where=self._header.label(self._names.index(name)),
                    remedy="state the encoding utf-8 and a quote in the mapping",
                )

    def _group_writers(self) -> list[GroupWriter]:
        columns = Columns(self.mapping, self._header)
        spelling = Spelling(self.mapping, columns, self.target)
        groups = self.mapping.groups or (None,)
        keys = self._key_columns()
        made = []
        for group, each in zip(self._plan.groups, groups, strict=True):
            fields: list[Field] = [*group.common, *group.loose]
            fields += [word for colour in group.colours for word in colour.words.values()]
            writers = {id(one): spelling.writer(one) for one in fields}
            constants = constants_of((each and each.constants) or ())
            mark = self.mapping.dialect.decimal_mark
            made.append(GroupWriter(group, constants, writers, keys, self.target, mark))
        return made

    def _key_columns(self) -> list[tuple[int, str]]:
        """The columns that only tell entries apart, with what they tell apart; `_keys` gets their labels."""
        unused = {column.index for column in self._plan.dropped}
        found: dict[int, str] = {}
        for key in KEYS:
            for choice in getattr(self.mapping, key) or ():
                index = self._header.find(choice)
                if index in unused and index not in found:
                    found[index] = _ENTITY.get(key, "specimen")
                    self._keys[found[index]] = self._header.label(index)
        return list(found.items())
