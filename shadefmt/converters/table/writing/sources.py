"""Where in a case the members of a reading stand: its own and those of what it belongs to."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any

from shadefmt.converters.leaving import Path
from shadefmt.converters.table.parts import Names, Values

Value = dict[str, Any]

ABSENT: Any = None
"""Stands for a member that is not there: the format knows no null."""


@dataclass(frozen=True, slots=True)
class Found:
    """An entity of a reading in its case, and its path; `value` is empty where the case has none."""

    value: Mapping[str, Any]
    path: Path

    def member(self, names: Names) -> Any:
        """Return a member by its steps, ABSENT where it is not there."""
        value: Any = self.value
        for name in names:
            value = value.get(name, ABSENT) if isinstance(value, Mapping) else ABSENT
        return value


@dataclass(frozen=True, slots=True)
class Source:
    """One reading of a case by its place, with the entities that a row says something of, by name."""

    place: int
    entities: Mapping[str, Found]

    @property
    def reading(self) -> Mapping[str, Any]:
        """The reading itself."""
        return self.entities["reading"].value

    @property
    def path(self) -> Path:
        """Path of the reading."""
        return ("readings", self.place)

    def name_of(self, entity: str) -> str | None:
        """Id of an entity, None where the case has none."""
        return self.entities[entity].value.get("id")

    def agrees(self, constants: Mapping[str, Values]) -> bool:
        """Whether the reading states every one of these members with this value."""
        return all(
            self.entities[entity].member(names) == value
            for entity, values in constants.items()
            for names, value in values.items()
        )


class Sources:
    """The readings of one case; those that were withdrawn by place."""

    def __init__(self, case: Value) -> None:
        self._case = case
        self._lists = {
            root: {entry["id"]: Found(entry, (root, place)) for place, entry in enumerate(case.get(root, ()))}
            for root in ("parties", "instruments", "specimens", "sessions")
        }
        self.withdrawn = {each["entry_id"] for each in case.get("withdrawals", ())}

    def all(self) -> list[Source]:
        """Return all readings that count."""
        readings = enumerate(self._case.get("readings", ()))
        return [self._source(place, each) for place, each in readings if each["id"] not in self.withdrawn]

    def _source(self, place: int, reading: Value) -> Source:
        session = self._find("sessions", reading.get("session_id"))
        return Source(
            place,
            {
                "privacy": Found(self._case.get("privacy", {}), ("privacy",)),
                "subject": Found(self._case.get("subject", {}), ("subject",)),
                "party": self._find("parties", session.value.get("party_id")),
                "instrument": self._find("instruments", session.value.get("instrument_id")),
                "session": session,
                "specimen": self._find("specimens", reading["specimen_id"]),
                "reading": Found(reading, ("readings", place)),
            },
        )

    def _find(self, root: str, name: str | None) -> Found:
        return self._lists[root].get(name or "", Found({}, (root, 0)))


def wavelengths(spectrum: Mapping[str, Any]) -> list[Decimal] | None:
    """Return the wavelengths of a spectrum, None where they do not rise or not one goes with each value."""
    count = len(spectrum["values"])
    waves = [Decimal(repr(wave)) for wave in spectrum.get("wavelengths_nm", ())]
    if "start_nm" in spectrum and "step_nm" in spectrum and not waves:
        start, step = (Decimal(repr(spectrum[name])) for name in ("start_nm", "step_nm"))
        waves = [start + place * step for place in range(count)]
    rising = all(low < high for low, high in pairwise(waves))
    return waves if rising and len(waves) == count else None
