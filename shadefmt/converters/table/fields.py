"""Columns at work: read a row's cells and count what became of them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from operator import itemgetter
from typing import Any

from shadefmt.converters.base import Account
from shadefmt.converters.table.cells import Cell
from shadefmt.converters.table.members import Member
from shadefmt.errors import Refused

Cells = list[str]
"""The cells of one row."""


@dataclass(slots=True)
class Field:
    """One column, or the two that hold date and time, and the member that they become.

    `read` returns value and whether it was restated, or None for a blank. `told` says how cells are restated.
    `shared` tells that the column holds for all readings of a row. The counts are of cells; `counted` is the
    line that was counted last.
    """

    member: Member
    label: str
    indexes: tuple[int, ...]
    read: Callable[[Cells], Cell | None]
    told: str = ""
    required: bool = False
    shared: bool = True
    counted: int = 0
    seen: int = 0
    blank: int = 0
    restated: int = 0
    name: str = field(init=False)

    def __post_init__(self) -> None:
        self.name = self.member.names[0]

    def value(self, line: int, row: Cells) -> Cell | None:
        """Read a row; a fault gets its place.

        Raises:
            Refused: the cell cannot be read, or is blank and must not be.
        """
        try:
            found = self.read(row)
        except Refused as fault:
            raise placed(fault, line, self.label) from None
        if found is None and self.required:
            raise missing(line, self.label)
        return found

    def default_reason(self, value: object) -> str:
        """Return what the account says of blank cells that became a value that the mapping states."""
        return f"blank cells became {value}"

    def account_default(self, account: Account, line: int, value: object) -> None:
        """Enter into the account that a blank cell became a value that the mapping states."""
        account.lost(
            self.label,
            "defaulted",
            "table-cell-defaulted",
            self.default_reason(value),
            where=f"line {line}, {self.label}",
            new=str(value),
        )

    def lose(self, account: Account, line: int, row: Cells) -> None:
        """Enter into the account that a cell became nothing: what it belongs to was not measured."""
        if self.value(line, row) is not None:
            account.lost(
                self.label,
                "dropped",
                "table-reading-without-measurement",
                "there is no measurement that it belongs to",
                where=f"line {line}, {self.label}",
            )

    def account(self, account: Account) -> None:
        """Enter the counts into the account of the conversion."""
        kept = self.seen - self.blank - self.restated
        if kept:
            account.kept(self.label, self.member.target, kept)
        if self.restated:
            account.converted(self.label, self.member.target, self.told, self.restated)


def placed(fault: Refused, line: int, label: str) -> Refused:
    """Return a fault of a cell with the place of the cell."""
    return Refused(fault.what, where=f"line {line}, {fault.where or label}", remedy=fault.remedy)


def missing(line: int, label: str, why: str = "the mapping requires a value") -> Refused:
    """Return the refusal of a blank cell."""
    return Refused(
        f"the cell is blank, but {why}",
        where=f"line {line}, {label}",
        remedy="fill the cell, or state in the mapping what a blank means",
    )


def picker(indexes: Sequence[int]) -> Callable[[Cells], tuple[str, ...]]:
    """Return a function that takes the cells at some indexes out of a row."""
    if len(indexes) > 1:
        return itemgetter(*indexes)
    if indexes:
        only = indexes[0]
        return lambda row: (row[only],)
    return lambda row: ()


def single(index: int, read: Callable[[str], Any]) -> Callable[[Cells], Any]:
    """Return a function that reads one cell of a row."""
    return lambda row: read(row[index])
