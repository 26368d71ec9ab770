"""Columns that no member is made of: counted, never passed over in silence."""

from dataclasses import dataclass

from shadefmt.converters.base import MAX_INSTANCES, Account
from shadefmt.converters.table.fields import Cells
from shadefmt.converters.table.header import Header
from shadefmt.errors import WrongUse
from shadefmt.model.table_mapping import TableMapping


@dataclass(slots=True)
class DroppedColumn:
    """A column that no member is made of, and why.

    The account lists where its cells stand but not what they hold: a name that was kept out of the case must not
    come back in the loss report.
    """

    index: int
    label: str
    code: str
    reason: str
    count: int = 0

    def see(self, line: int, row: Cells, account: Account) -> None:
        """Enter the cell of one row into the account, unless it is empty."""
        text = row[self.index]
        if not text or text.isspace():
            return
        self.count += 1
        if account.full or self.count <= MAX_INSTANCES:
            account.lost(self.label, "dropped", self.code, self.reason, where=f"line {line}, {self.label}")

    def account(self, account: Account) -> None:
        """Enter the cells that were not listed."""
        more = 0 if account.full else self.count - MAX_INSTANCES
        if more > 0:
            account.lost_more(self.label, "dropped", self.reason, more)


def dropped_columns(mapping: TableMapping, header: Header, used: frozenset[int]) -> list[DroppedColumn]:
    """Return the columns that are not used: ignored on purpose, used as keys only, or not mentioned.

    Raises:
        WrongUse: a column is both used and ignored.
    """
    why: dict[int, tuple[str, str]] = {}
    for key in ("case_key", "instrument_key", "session_key", "specimen_key"):
        for choice in getattr(mapping, key) or ():
            why[header.find(choice)] = "table-key-not-carried", "tells entries apart; its text is not carried"
    for ignored in mapping.ignored or ():
        if header.holds(ignored):
            index = header.find(ignored)
            if index in used:
                raise WrongUse(f"the mapping uses {header.label(index)} and lists it under ignored")
            why[index] = "table-column-ignored", ignored.reason
    unused = "table-column-unused", "the mapping does not mention it"
    return [
        DroppedColumn(index, header.label(index), *why.get(index, unused))
        for index in range(header.width)
        if index not in used
    ]
