"""Delimited tables into cases: the entry point, and the stream of cases."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, BinaryIO

from shadefmt.converters.base import Account, Notice, case_id, loss_report
from shadefmt.converters.detecting import seems_spreadsheet
from shadefmt.converters.table.body import TableBody, bare_label
from shadefmt.converters.table.building import CaseBuilder
from shadefmt.converters.table.gathering import gathered
from shadefmt.converters.table.labelled import with_labelled
from shadefmt.converters.table.mapping import mapping_of
from shadefmt.converters.table.notices import doubts, repeated
from shadefmt.converters.table.order import CaseOrder
from shadefmt.converters.table.plan import Plan, plan_of
from shadefmt.converters.table.repeats import Repeats
from shadefmt.converters.table.reshaping import Reshaped
from shadefmt.converters.table.sheets.source import SheetSource
from shadefmt.converters.table.source import TableSource
from shadefmt.converters.table.spool import rewindable
from shadefmt.errors import Refused, WrongUse
from shadefmt.jsontext import digest
from shadefmt.limits import MAX_SPREADSHEET_BYTES
from shadefmt.model.table_mapping import TableLayout, TableMapping


def read_table(
    source: BinaryIO | bytes, mapping: dict[str, Any], *, full: bool = False, group: bool = False
) -> "TableResult":
    """Read a delimited table, or a sheet of an XLSX or ODS file, into cases by a decoded table-mapping document.

    `full` lists every loss in the loss report instead of the first few. The memory needed follows the largest
    case. Rows of one case have to be adjacent; `group` brings them together first, on disk, in order of the first
    row of each case. A file whose bytes end inside a character, a quoted cell or a row is refused; one whose last
    line does not end as the others do gives a notice, since its last cell may be cut. A file cut between two rows
    cannot be told from a shorter one, unless the mapping states the word of a closing line (`end_word`).

    Raises:
        WrongUse: the mapping is faulty.
        Refused: the table is; here for its first lines, from the iterator of cases for its rows. Nothing that
            was yielded before counts then.
    """
    model = mapping_of(mapping)
    account = Account(full=full)
    notices: list[Notice] = []
    table = _opened(source, model)
    if isinstance(table, SheetSource):
        table.account(account)
        notices += [Notice(*remark) for remark in table.remarks()]
    labels = frozenset(bare_label(each.label) for each in model.labelled or ())
    body = TableBody(table, model.layout or TableLayout(), account, notices, labels)
    model = with_labelled(model, body, account)
    rows = Reshaped(model, body, notices)
    if group and model.case_key is None:
        raise WrongUse("rows are to be brought together by case, but the mapping states no case_key")
    return TableResult(table, rows, plan_of(model, rows.header), account, notices, digest(mapping), group)


def _opened(source: BinaryIO | bytes, mapping: TableMapping) -> TableSource | SheetSource:
    """The table in a file: a sheet where the bytes are those of a spreadsheet."""
    file = rewindable(source)
    start = file.tell()
    zipped = file.read(4) == b"PK\x03\x04"
    file.seek(start)
    if zipped:
        data = file.read(MAX_SPREADSHEET_BYTES + 1)
        form = seems_spreadsheet(data)
        if form is not None:
            if file is not source:
                file.close()
            wanted = mapping.layout.sheet if mapping.layout else None
            return SheetSource(data, form, wanted, mapping.dialect.decimal_mark)
        file.seek(start)
    return TableSource(file, mapping.dialect, own=file is not source)


@dataclass
class TableResult:
    """Cases that are read as they are asked for, and the account of it."""

    _table: TableSource | SheetSource
    _body: Reshaped
    _plan: Plan
    _account: Account
    notices: list[Notice]
    """What the owner of the table should know though it was read; complete after the cases."""
    _mapping_sha256: str
    _group: bool = False
    cases: Iterator[dict[str, Any]] = field(init=False)
    """Case document values, one for each case key, in the order of the table."""
    _documents: int = field(init=False, default=0)
    _readings: int = field(init=False, default=0)
    _whole: bool = field(init=False, default=False)

    def __post_init__(self) -> None:
        self.cases = self._read()

    def loss(self) -> dict[str, Any]:
        """Return the loss report as a document value.

        Raises:
            WrongUse: not all cases have been read yet, or the table was refused.
        """
        if not self._whole:
            raise WrongUse("the loss report of a table is complete only after its last case: read all cases first")
        return loss_report(
            self._table.info,
            self._account,
            target_format="case",
            documents=self._documents,
            readings=self._readings,
        )

    def _read(self) -> Iterator[dict[str, Any]]:
        plan, account, order = self._plan, self._account, CaseOrder()
        dropped, case_key = plan.dropped, plan.case_key
        key: tuple[str, ...] = ()
        builder: CaseBuilder | None = None
        repeats = Repeats(plan)
        rows = self._body.rows()
        if self._group and case_key:
            rows = gathered(rows, case_key)
        for line, row in rows:
            mine = case_key(row) if case_key else ()
            if builder is None or mine != key:
                if builder is not None:
                    yield self._finish(builder)
                key = mine
                builder = self._begin(key, line, order)
                repeats.begin()
            builder.add(line, row)
            repeats.see(line, row)
            for column in dropped:
                column.see(line, row, account)
        if builder is None:
            raise Refused("the table has no rows", where=f"line {self._table.line}")
        yield self._finish(builder)
        order.demand_distinct()
        self.notices += repeated(repeats)
        self._close()

    def _begin(self, key: tuple[str, ...], line: int, order: CaseOrder) -> CaseBuilder:
        if self._plan.case_key:
            if not all(text.strip() for text in key):
                raise Refused(
                    "the cell that tells the case is blank",
                    where=f"line {line}",
                    remedy="fill the columns of case_key in every row",
                )
            order.add(key, line)
        return CaseBuilder(
            self._plan, self._account, case_id(self._table.info.sha256, self._mapping_sha256, *key), line
        )

    def _finish(self, builder: CaseBuilder) -> dict[str, Any]:
        value = builder.finished()
        self._documents += 1
        self._readings += len(builder.readings)
        return value

    def _close(self) -> None:
        """Enter all counts into the account, and the notices that concern the whole table."""
        for group in self._plan.groups:
            for column in (*group.common, *group.loose):
                column.seen += group.first_uses if column.shared else group.uses
        self._plan.account(self._account)
        self.notices += doubts(self._plan)
        self._whole = True
