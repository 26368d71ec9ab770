"""The colours of a row: coordinates, and what they hold for."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.base import Account
from shadefmt.converters.table.fields import Cells, Field, missing, picker
from shadefmt.converters.table.measured import BLANK_DECIMALS, NumberColumns
from shadefmt.errors import Refused

LETTERS: Final[Mapping[str, tuple[str, str, str]]] = {"lab": ("L", "a", "b"), "xyz": ("X", "Y", "Z")}
"""Coordinates of each colour space of the format."""


@dataclass(slots=True)
class ColourColumns:
    """The columns of one colour: coordinates, and what they hold for, stated or by column.

    `words` are the columns of illuminant, observer and origin; `stated` what the mapping states of them.
    `mixed` is the line of the first colour whose CIELAB and XYZ show different decimals, `whole` the number of
    rows that were read in one go.
    """

    coordinates: dict[str, NumberColumns]
    stated: dict[str, str]
    words: dict[str, Field]
    mixed: int = 0
    whole: int = 0
    read: Callable[[int, Cells, Account], dict[str, Any] | None] = field(init=False)
    """Return the colour of a row as the block of a reading, None where all coordinates are blank.

    Raises Refused where a cell is no number, or some cells are blank and others are not.
    """
    _known: dict[tuple[int, ...], int] = field(init=False, default_factory=dict)
    _limit: int = field(init=False)
    _decimals: int | None = field(init=False)

    def __post_init__(self) -> None:
        columns = list(self.coordinates.values())
        self._limit, self._decimals = columns[0].limit, columns[0].decimals
        alike = all(each.figure == columns[0].figure for each in columns)
        self.read = self._read_closely if self.words or not alike else self._quick_reader()

    def _quick_reader(self) -> Callable[[int, Cells, Account], dict[str, Any] | None]:
        """Return a function that reads the usual row, whose numbers are all there and need no rounding, in one go."""
        columns = list(self.coordinates.values())
        figure, pick = columns[0].figure, picker([index for each in columns for index in each.indexes])
        shape = _both if len(columns) > 1 else _lab if "lab" in self.coordinates else _xyz
        illuminant, observer, origin = (self.stated[name] for name in ("illuminant", "observer", "origin"))
        known, learn, closely = self._known, self._learn, self._read_closely

        def read(line: int, row: Cells, account: Account) -> dict[str, Any] | None:
            try:
                values, shown = zip(*map(figure, pick(row)))  # noqa: B905 - pairs, all of them
            except Refused:
                return closely(line, row, account)
            decimals = known.get(shown)
            if decimals is None:
                decimals = learn(shown)
                if decimals is None:
                    return closely(line, row, account)
            self.whole += 1
            return shape(illuminant, observer, decimals, origin, values)

        return read

    def _learn(self, shown: tuple[int, ...]) -> int | None:
        """Return the decimals of a block whose cells show these; None where it needs a closer look."""
        most = max(shown)
        uneven = self._decimals is None and max(shown[:3]) != max(shown[-3:])
        if BLANK_DECIMALS in shown or most > self._limit or uneven:
            return None
        self._known[shown] = most if self._decimals is None else self._decimals
        return self._known[shown]

    def _read_closely(self, line: int, row: Cells, account: Account) -> dict[str, Any] | None:
        parts: dict[str, Any] = {}
        decimals: list[int] = []
        for name, columns in self.coordinates.items():
            numbers = columns.read(line, row, account)
            if numbers is not None:
                parts[name] = dict(zip(LETTERS[name], numbers[0], strict=True))
                decimals.append(numbers[1])
        if not parts:
            return None
        if self._decimals is None and not self.mixed and decimals[0] != decimals[-1]:
            self.mixed = line
        held = self._held(line, row, account) if self.words else self.stated
        return {
            "illuminant": held["illuminant"],
            "observer": held["observer"],
            "decimals": max(decimals),
            "origin": held["origin"],
            **parts,
        }

    def _held(self, line: int, row: Cells, account: Account) -> dict[str, str]:
        held = dict(self.stated)
        for name, column in self.words.items():
            found = column.value(line, row)
            fresh = column.counted != line
            column.counted = line
            column.seen += fresh
            if found is not None:
                held[name] = found[0]
                column.restated += fresh and found[1]
                continue
            column.blank += fresh
            value = self.stated.get(name, "unknown" if name != "origin" else "")
            if not value:
                raise missing(line, column.label, "every colour has an origin")
            held[name] = value
            if fresh:
                column.account_default(account, line, value)
        return held

    def account(self, account: Account) -> None:
        """Enter the counts into the account of the conversion."""
        for columns in self.coordinates.values():
            columns.account(account, self.whole)


Numbers = tuple[int | float, ...]


def _lab(illuminant: str, observer: str, decimals: int, origin: str, values: Numbers) -> dict[str, Any]:
    lightness, a, b = values
    return {
        "illuminant": illuminant,
        "observer": observer,
        "decimals": decimals,
        "origin": origin,
        "lab": {"L": lightness, "a": a, "b": b},
    }


def _xyz(illuminant: str, observer: str, decimals: int, origin: str, values: Numbers) -> dict[str, Any]:
    x, y, z = values
    return {
        "illuminant": illuminant,
        "observer": observer,
        "decimals": decimals,
        "origin": origin,
        "xyz": {"X": x, "Y": y, "Z": z},
    }


def _both(illuminant: str, observer: str, decimals: int, origin: str, values: Numbers) -> dict[str, Any]:
    lightness, a, b, x, y, z = values
    return {
        "illuminant": illuminant,
        "observer": observer,
        "decimals": decimals,
        "origin": origin,
        "lab": {"L": lightness, "a": a, "b": b},
        "xyz": {"X": x, "Y": y, "Z": z},
    }
