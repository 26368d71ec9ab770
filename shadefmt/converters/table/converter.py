"""Delimited tables into cases: the entry point, and the stream of cases."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, BinaryIO

from pydantic import ValidationError

from shadefmt.converters.base import Account, case_id, loss_report
from shadefmt.converters.table.body import TableBody
from shadefmt.converters.table.building import CaseBuilder
from shadefmt.converters.table.notices import Notice, doubts
from shadefmt.converters.table.order import CaseOrder
from shadefmt.converters.table.plan import Plan, plan_of
from shadefmt.converters.table.source import TableSource
from shadefmt.errors import Refused, WrongUse
from shadefmt.jsontext import digest, pointer_of
from shadefmt.model.table_mapping import TableLayout, TableMapping

_LISTED = 5


def read_table(source: BinaryIO | bytes, mapping: dict[str, Any], *, full: bool = False) -> "TableResult":
    """Read a delimited table into cases by a decoded table-mapping document.

    `full` lists every loss in the loss report instead of the first few. The memory needed follows the largest
    case. A file whose bytes end inside a character, a quoted cell or a row is refused; one whose last line does
    not end as the others do gives a notice, since its last cell may be cut. A file cut between two rows cannot
    be told from a shorter one, unless the mapping states the word of a closing line (`end_word`).

    Raises:
        WrongUse: the mapping is faulty.
        Refused: the table is; here for its first lines, from the iterator of cases for its rows. Nothing that
            was yielded before counts then.
    """
    model = _mapping_of(mapping)
    account = Account(full=full)
    notices: list[Notice] = []
    table = TableSource(source, model.dialect)
    body = TableBody(table, model.layout or TableLayout(), account, notices)
    return TableResult(table, body, plan_of(model, body.header), account, notices, digest(mapping))


def _mapping_of(value: dict[str, Any]) -> TableMapping:
    try:
        mapping = TableMapping.model_validate(value)
    except ValidationError as error:
        faults = [f"{pointer_of(each['loc']) or '/'}: {each['msg']}" for each in error.errors()[:_LISTED]]
        raise WrongUse(f"the mapping is no sound table-mapping document: {'; '.join(faults)}") from None
    if mapping.extensions_required:
        raise WrongUse(f"the mapping needs extensions not known here: {', '.join(mapping.extensions_required)}")
    return mapping


@dataclass
class TableResult:
    """Cases that are read as they are asked for, and the account of it."""

    _table: TableSource
    _body: TableBody
    _plan: Plan
    _account: Account
    notices: list[Notice]
    """What the owner of the table should know though it was read; complete after the cases."""
    _mapping_sha256: str
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
        for line, row in self._body.rows():
            mine = case_key(row) if case_key else ()
            if builder is None or mine != key:
                if builder is not None:
                    yield self._finish(builder)
                key = mine
                builder = self._begin(key, line, order)
            builder.add(line, row)
            for column in dropped:
                column.see(line, row, account)
        if builder is None:
            raise Refused("the table has no rows", where=f"line {self._table.line}")
        yield self._finish(builder)
        order.demand_distinct()
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
