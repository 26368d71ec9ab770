"""Which readings of a case stand together in one table: those of one grid, one basis and equal conditions."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.leaving import Leaving, Reason

Value = dict[str, Any]

CONDITIONS: Final = ("geometry", "specular", "aperture_mm", "model")
"""Members of an instrument that a header has words for."""

_WITHDRAWN: Final = Reason("withdrawn", "the reading was withdrawn; CGATS cannot say so and would show it like others")
_SAME_BASIS: Final = Reason(
    "second-colour", "a second colour of one reading for the same illuminant, observer and origin"
)
_NO_WAVES: Final = Reason(
    "wavelengths-unclear", "the wavelengths of the spectrum do not rise, or not one goes with each value"
)


@dataclass(frozen=True)
class Shape:
    """What the rows of a table have in common.

    `waves` are the wavelengths of their spectra and `grid` the start and step where that is how they are stated;
    `members` are those of `lab` and `xyz` that their colours have. `rank` is the place of the colour in its
    reading.
    """

    rank: int
    quantity: str | None
    waves: tuple[float, ...]
    grid: tuple[float, float] | None
    illuminant: str | None
    observer: str | None
    origin: str | None
    members: tuple[str, ...]
    backing: str | None
    conditions: tuple[Any, ...]


@dataclass(frozen=True)
class Row:
    """One row to be: the reading and its colour by place, its specimen and instrument by place where known."""

    reading: int
    colour: int | None
    specimen: int | None
    instrument: int | None


@dataclass
class Tables:
    """The rows of a case by shape, in the order in which the tables are written."""

    case: Mapping[str, Any]
    leaving: Leaving
    _rows: dict[Shape, list[Row]] = field(default_factory=dict)

    def rows(self) -> list[tuple[Shape, list[Row]]]:
        """Return shapes and their rows: first colours first, then in order of appearance."""
        instruments = _places(self.case.get("instruments", ()))
        sessions = {each["id"]: instruments.get(each.get("instrument_id")) for each in self.case.get("sessions", ())}
        specimens = _places(self.case.get("specimens", ()))
        withdrawn = {each["entry_id"] for each in self.case.get("withdrawals", ())}
        for place, reading in enumerate(self.case.get("readings", ())):
            if reading["id"] in withdrawn:
                self.leaving.left(("readings", place), _WITHDRAWN)
                continue
            specimen = specimens.get(reading["specimen_id"])
            self._add(place, reading, specimen, sessions.get(reading.get("session_id")))
        return sorted(self._rows.items(), key=lambda item: item[0].rank)

    def _add(self, place: int, reading: Value, specimen: int | None, instrument: int | None) -> None:
        waves = self._waves(place, reading)
        colours = self._colours(place, reading)
        for rank, colour in enumerate(colours or ([None] if waves else [])):
            shape = self._shape(rank, reading, waves if rank == 0 else (), colour, instrument)
            self._rows.setdefault(shape, []).append(Row(place, colour, specimen, instrument))

    def _colours(self, place: int, reading: Value) -> list[int]:
        """Places of the colours that can be written."""
        found: list[int] = []
        bases = set()
        for number, colour in enumerate(reading.get("colours", ())):
            basis = (colour["illuminant"], colour["observer"], colour["origin"])
            if "lab" not in colour and "xyz" not in colour:
                continue
            if basis in bases:
                self.leaving.left(("readings", place, "colours", number), _SAME_BASIS)
                continue
            bases.add(basis)
            found.append(number)
        return found

    def _waves(self, place: int, reading: Value) -> tuple[float, ...]:
        spectrum = reading.get("spectrum")
        if spectrum is None:
            return ()
        waves = tuple(spectrum.get("wavelengths_nm", ()))
        count = len(spectrum["values"])
        if not waves and "start_nm" in spectrum and "step_nm" in spectrum:
            waves = tuple(spectrum["start_nm"] + number * spectrum["step_nm"] for number in range(count))
        both = "wavelengths_nm" in spectrum and ("start_nm" in spectrum or "step_nm" in spectrum)
        if len(waves) != count or both or sorted(set(waves)) != list(waves) or waves[-1] > _MOST_NM:
            self.leaving.left(("readings", place, "spectrum"), _NO_WAVES)
            return ()
        return waves

    def _shape(
        self, rank: int, reading: Value, waves: tuple[float, ...], number: int | None, instrument: int | None
    ) -> Shape:
        spectrum = reading["spectrum"] if waves else {}
        colour = reading["colours"][number] if number is not None else {}
        device = self.case["instruments"][instrument] if instrument is not None else {}
        even = "start_nm" in spectrum
        return Shape(
            rank,
            spectrum.get("quantity"),
            waves,
            (spectrum["start_nm"], spectrum["step_nm"]) if even else None,
            colour.get("illuminant"),
            colour.get("observer"),
            colour.get("origin"),
            tuple(member for member in ("lab", "xyz") if member in colour),
            reading.get("backing"),
            tuple(device.get(name) for name in CONDITIONS),
        )


_MOST_NM: Final = 1e6


def _places(entries: Any) -> dict[Any, int]:
    """Place of each entry by id, the first where an id is there twice."""
    found: dict[Any, int] = {}
    for place, entry in enumerate(entries):
        found.setdefault(entry["id"], place)
    return found
