"""What demands look at: the case by its ids, the readings that count, and what is at hand beside the document."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final, NamedTuple

from shadefmt.bundles import FileFacts
from shadefmt.chain.obstacles import SAME_ZONE
from shadefmt.indexing import CaseView, Located
from shadefmt.model.colours import Colour
from shadefmt.model.context import Instrument, Prescription, Session, Specimen
from shadefmt.model.judging import Target
from shadefmt.model.measuring import Reading
from shadefmt.timestamps import moment, seconds_between
from shadefmt.vocabulary import NotRunReason

ASKED_ABOUT: Final = frozenset({"tooth", "stump", "restoration", "gingiva", "denture-base"})
"""Kinds of specimen whose readings demands are about; tabs, discs and patches are tools."""

USUAL_KINDS: Final = ("tooth", "restoration")
"""Kinds of specimen that a demand asks about where it names none."""

TISSUE_ZONES: Final = frozenset({"free-gingiva", "attached-gingiva", "papilla"})
DAY_SECONDS: Final = 86_400

NOT_STATED: Final = "not stated"
"""What is found where members are absent that are asked for by name."""


class Unmet(NamedTuple):
    """A demand that is not met, in words, and where."""

    pointer: str
    subject: str
    found: str
    wanted: str
    entry_id: str | None = None


class Unjudged(NamedTuple):
    """A demand that cannot be judged from what is at hand."""

    reason: NotRunReason = "not-supplied"


class ReadWith(NamedTuple):
    """Where readings state their instrument, and the instrument if they do."""

    pointer: str
    name: str
    instrument: Instrument | None


class Taken(NamedTuple):
    """A reading that a demand is about, with its specimen."""

    pointer: str
    reading: Reading
    specimen: Specimen


@dataclass
class Look:
    """One case as demands see it. `files` is None where the files beside the case are not at hand."""

    view: CaseView
    as_of: str | None = None
    files: Mapping[str, FileFacts] | None = None
    documents: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def readings(self) -> list[Taken]:
        """Readings that count, of the kinds asked about, that are neither controls nor of check patches."""
        found = []
        for index, reading in enumerate(self.view.case.readings or ()):
            specimen = self.view.specimen_of(reading)
            asked = specimen is not None and specimen.kind in ASKED_ABOUT
            if specimen is not None and asked and reading.role in (None, "ordinary") and self.counts(reading.id):
                found.append(Taken(f"/readings/{index}", reading, specimen))
        return found

    def numeric(self, kinds: Collection[str] | None = None) -> Iterator[Taken]:
        """Yield the readings with an instrument or camera, of some kinds of specimen or of all asked about."""
        for each in self.readings:
            if (kinds is None or each.specimen.kind in kinds) and self.taken_with(each.reading) != "eye":
                yield each

    def taken_with(self, reading: Reading) -> str:
        """Return what took a reading: `instrument`, `camera` or `eye`."""
        (kind,) = self.view.reading_kinds([reading])
        return kind

    @cached_property
    def sessions(self) -> list[tuple[str, Session, list[Taken]]]:
        """Sessions with readings by instrument that count: pointer, session, those readings."""
        taken: dict[str, list[Taken]] = {}
        for each in self.numeric():
            if self.taken_with(each.reading) == "instrument" and each.reading.session_id is not None:
                taken.setdefault(each.reading.session_id, []).append(each)
        return [
            (f"/sessions/{index}", session, taken[session.id])
            for index, session in enumerate(self.view.case.sessions or ())
            if session.id in taken
        ]

    @cached_property
    def read_with(self) -> list[ReadWith]:
        """What each session with a numeric reading, and each such reading without session, says of its instrument."""
        used = {each.reading.session_id for each in self.numeric()}
        found = [
            ReadWith(f"/sessions/{index}", session.id, self.view.find(session.instrument_id, "instruments"))
            for index, session in enumerate(self.view.case.sessions or ())
            if session.id in used
        ]
        alone = (each for each in self.numeric() if self.view.session_of(each.reading) is None)
        return found + [ReadWith(each.pointer, each.reading.id, None) for each in alone]

    @cached_property
    def targets(self) -> list[tuple[str, Target]]:
        """Targets that count and that no other one that counts replaces."""
        counting = [
            (f"/targets/{index}", each)
            for index, each in enumerate(self.view.case.targets or ())
            if self.counts(each.id)
        ]
        replaced = {each.supersedes_id for _, each in counting}
        return [(pointer, each) for pointer, each in counting if each.id not in replaced]

    @cached_property
    def prescriptions(self) -> list[tuple[str, Prescription]]:
        """Prescriptions that count."""
        listed = enumerate(self.view.case.prescriptions or ())
        return [(f"/prescriptions/{index}", each) for index, each in listed if self.counts(each.id)]

    def targets_of(self, work_id: str) -> list[tuple[str, Target]]:
        """Return the targets of a work and of its parts."""
        parts = {each.id for each in self.view.case.specimens if each.part_of_id == work_id}
        return [(pointer, each) for pointer, each in self.targets if each.specimen_id in parts | {work_id}]

    def readings_of(self, target: Target) -> list[Reading]:
        """Return the readings behind a target."""
        return self.view.readings_behind(self.view.entries.get(target.id))

    def colours(self, taken: Taken) -> list[Colour]:
        """Return the colours of a reading, with those computed later from its spectrum."""
        return self.view.colours(Located(taken.reading, "readings", taken.pointer))

    def counts(self, entry_id: str) -> bool:
        """Return whether an entry was not withdrawn."""
        return entry_id not in self.view.withdrawn

    def read_at(self, reading: Reading) -> str | None:
        """Return when a reading was taken, or when its session began."""
        session = self.view.session_of(reading)
        at = reading.at or (session.started if session is not None else None)
        return at if at is not None and moment(at) is not None else None


def is_front(specimen: Specimen) -> bool:
    """Return whether a specimen is of an incisor or canine, permanent or deciduous."""
    return specimen.tooth is not None and specimen.tooth[1] in "123"


def same_zone(zone: str) -> str:
    """Return one name for a third that has two, by tooth."""
    return SAME_ZONE.get(zone, zone)


def days_between(earlier: str, later: str) -> float | None:
    """Return the days from one moment to another; whole days of the calendar where seconds are not known."""
    seconds = seconds_between(earlier, later)
    if seconds is not None:
        return seconds / DAY_SECONDS
    first, second = moment(earlier), moment(later)
    return None if first is None or second is None else float(second.day - first.day)
