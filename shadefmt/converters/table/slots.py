"""Which mapped columns belong to which colour of a reading."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from shadefmt.errors import WrongUse
from shadefmt.model.table_mapping import MappedColour, MappedColumn, TableMapping

PREFIX: Final = "reading.colour."
_HELD: Final = ("illuminant", "observer", "origin")


def is_coordinate(column: MappedColumn) -> bool:
    """Whether a column holds a coordinate of a colour."""
    return column.member.startswith((f"{PREFIX}lab.", f"{PREFIX}xyz."))


@dataclass(slots=True)
class SlotColumns:
    """A colour of the mapping and its columns in one group, by the last steps of their member."""

    colour: MappedColour
    coordinates: dict[str, MappedColumn]
    words: dict[str, MappedColumn]


@dataclass(slots=True)
class ColourSlots:
    """The colours of a mapping.

    Raises WrongUse where a column belongs to no colour or to several, or colours cannot be told apart.
    """

    mapping: TableMapping
    _slots: list[MappedColour] = field(init=False)
    _used: set[int] = field(default_factory=set, init=False)

    def __post_init__(self) -> None:
        self._slots = list(self.mapping.colours or (MappedColour(),))
        names = [slot.name for slot in self._slots]
        if len(names) > 1 and (None in names or len(set(names)) < len(names)):
            raise WrongUse("the mapping has several colours: give each a name of its own")
        bases = [tuple(getattr(slot, name) for name in _HELD) for slot in self._slots]
        if any(None not in basis and bases.count(basis) > 1 for basis in bases):
            raise WrongUse("two colours of the mapping have the same illuminant, observer and origin")
        for column in self.mapping.columns or ():
            if column.colour is not None and not column.member.startswith(PREFIX):
                raise WrongUse(f"the mapping states a colour for {column.member}, which belongs to none")
            if self.mapping.groups and is_coordinate(column) and column.group is None:
                raise WrongUse(f"the mapping has groups: state the group of the column for {column.member}")

    def of_group(self, columns: Sequence[MappedColumn]) -> list[SlotColumns]:
        """Return the colours that have coordinates among the columns of one group."""
        found = []
        for index, slot in enumerate(self._slots):
            mine = [column for column in columns if column.member.startswith(PREFIX) and self._is_of(column, slot)]
            coordinates = _distinct([column for column in mine if is_coordinate(column)])
            if coordinates:
                self._used.add(index)
                words = _distinct([column for column in mine if not is_coordinate(column)])
                found.append(SlotColumns(slot, coordinates, words))
        return found

    def demand_all_used(self) -> None:
        """Raise WrongUse where a colour of the mapping has no coordinates in any group."""
        for index, slot in enumerate(self._slots):
            if self.mapping.colours and index not in self._used:
                raise WrongUse(f"the mapping has no coordinates for the colour {slot.name or 'it states'}")

    def _is_of(self, column: MappedColumn, slot: MappedColour) -> bool:
        if column.colour is not None:
            if all(column.colour != each.name for each in self._slots):
                raise WrongUse(f"the mapping has no colour {column.colour}")
            return column.colour == slot.name
        if len(self._slots) > 1:
            raise WrongUse(f"the mapping has several colours: state the colour of the column for {column.member}")
        return True


def _distinct(columns: Sequence[MappedColumn]) -> dict[str, MappedColumn]:
    by_member: dict[str, MappedColumn] = {}
    for column in columns:
        if column.member in by_member:
            raise WrongUse(f"the mapping gives {column.member} of one colour twice")
        by_member[column.member] = column
    return {member.removeprefix(PREFIX): column for member, column in by_member.items()}
