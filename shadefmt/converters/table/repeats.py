"""Rows that come twice, and rows that say of one reading what another row says otherwise.

Both are read, since a table may mean them; but neither in silence. Only the hash of a row is kept, and only
for the rows of one case.
"""

from dataclasses import dataclass, field
from typing import Final

from shadefmt.converters.table.fields import Cells, picker
from shadefmt.converters.table.plan import Plan

_UNIQUE: Final = frozenset({"reading.order", "reading.at"})
"""Members that tell repeats of one zone apart."""

_LOOSE: Final = frozenset({"reading.note"})


@dataclass(slots=True)
class Seen:
    """How often something was seen, and the lines of the first instance and of what it repeats."""

    count: int = 0
    line: int = 0
    earlier: int = 0

    def add(self, line: int, earlier: int) -> None:
        """Count one more."""
        self.count += 1
        if self.count == 1:
            self.line, self.earlier = line, earlier


@dataclass
class Repeats:
    """Watches the rows of one case after the other.

    `same` are rows equal in every cell, `contrary` those that differ from an earlier one only in what was
    measured or remarked although order or time of day say that they are one reading.
    """

    plan: Plan
    same: Seen = field(default_factory=Seen)
    contrary: Seen = field(default_factory=Seen)
    _rows: dict[int, int] = field(default_factory=dict)
    _readings: dict[int, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        fields = [each for each in self.plan.fields if each.member.path not in _LOOSE]
        telling = [index for each in fields if each.member.path in _UNIQUE for index in each.indexes]
        told = [index for each in fields for index in each.indexes]
        self._telling = telling
        self._identity = picker(told)

    def begin(self) -> None:
        """Begin another case."""
        self._rows.clear()
        self._readings.clear()

    def see(self, line: int, row: Cells) -> None:
        """Take up one row."""
        earlier = self._rows.setdefault(hash(tuple(row)), line)
        if earlier != line:
            self.same.add(line, earlier)
        elif self._telling and any(_tells(row[index]) for index in self._telling):
            earlier = self._readings.setdefault(hash(self._identity(row)), line)
            if earlier != line:
                self.contrary.add(line, earlier)


def _tells(text: str) -> bool:
    """Whether a cell is a place in an order or holds a time of day; a date alone has many readings."""
    return text.strip().isdigit() or ":" in text
