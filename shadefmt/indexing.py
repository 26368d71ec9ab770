"""Ids, references and withdrawals of a document resolved once: the view that rules and chain read."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final, NamedTuple

from shadefmt.model.case import Case
from shadefmt.model.colours import Colour
from shadefmt.model.context import Session, Specimen
from shadefmt.model.judging import Comparison, EmbeddedTolerance, Target, Verdict
from shadefmt.model.measuring import ComputedColour, Mean, Reading
from shadefmt.referring import COLOURED, ENTRY_LISTS, Referral, referrals

ORIGIN_ORDER: Final = ("instrument", "computed", "typed", "copied")
"""Which colour of a reading counts where several have the basis asked for."""


class Located(NamedTuple):
    """An entry and where it stands."""

    entry: Any
    list_name: str
    pointer: str


class Judgement(NamedTuple):
    """A verdict with what it rests on, as far as the references resolve."""

    verdict: Verdict
    pointer: str
    comparison: Comparison | None
    tolerance: EmbeddedTolerance | None
    standard: Located | None
    trial: Located | None


@dataclass
class CaseView:
    """A case with its ids resolved. Built once for each check; everything else is worked out when asked for."""

    case: Case
    as_of: str | None = None
    entries: dict[str, Located] = field(default_factory=dict)
    repeated: list[tuple[str, str, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        for located in self._all():
            first = self.entries.setdefault(located.entry.id, located)
            if first is not located:
                self.repeated.append((located.entry.id, first.pointer, located.pointer))

    def _all(self) -> Iterator[Located]:
        for name in ENTRY_LISTS:
            for index, entry in enumerate(getattr(self.case, name, None) or ()):
                pointer = f"/{name}/{index}"
                yield Located(entry, name, pointer)
                if name == "reference_sets":
                    for place, reference in enumerate(entry.references):
                        yield Located(reference, "references", f"{pointer}/references/{place}")

    def find(self, entry_id: str | None, *lists: str) -> Any:
        """Return the entry of that id if it stands in one of the lists, else None."""
        located = self.entries.get(entry_id) if entry_id is not None else None
        return located.entry if located is not None and located.list_name in lists else None

    def counting(self, list_name: str) -> list[tuple[int, Any]]:
        """Return the entries of a list that count, with their positions."""
        entries: list[Any] = getattr(self.case, list_name) or []
        return [(index, each) for index, each in enumerate(entries) if each.id not in self.withdrawn]

    def pointer(self, entry: Any) -> str:
        """Return where an entry stands."""
        return self.entries[entry.id].pointer

    @cached_property
    def withdrawn(self) -> frozenset[str]:
        """Ids of the entries that no longer count."""
        return frozenset(each.entry_id for each in self.case.withdrawals or ())

    @cached_property
    def first_revision_id(self) -> str | None:
        """Id of the first revision, to which entries without `revision_id` belong."""
        return self.case.revisions[0].id if self.case.revisions else None

    @cached_property
    def ancestors(self) -> dict[str, frozenset[str]]:
        """Each revision with itself and all revisions that it builds on."""
        found: dict[str, frozenset[str]] = {}
        for revision in self.case.revisions or ():
            above = [found.get(parent.revision_id, frozenset()) for parent in revision.parents or ()]
            found[revision.id] = frozenset({revision.id}).union(*above)
        return found

    def colour(self, located: Located | None, illuminant: str, observer: str) -> Colour | None:
        """Return an entry's colour for a basis; of several of a reading, by `ORIGIN_ORDER`."""
        if located is None:
            return None
        fitting = [
            each for each in self.colours(located) if each.illuminant == illuminant and each.observer == observer
        ]
        return min(fitting, key=lambda each: ORIGIN_ORDER.index(each.origin), default=None)

    def colours(self, located: Located) -> list[Colour]:
        """Return all colours of an entry; those of a reading with the ones computed later from its spectrum."""
        if located.list_name == "readings":
            return (located.entry.colours or []) + self.computed_later.get(located.entry.id, [])
        return [located.entry.colour] if located.list_name in COLOURED else []

    @cached_property
    def computed_later(self) -> dict[str, list[Colour]]:
        """Colours that later entries computed from the spectrum of a reading, by reading."""
        found: dict[str, list[Colour]] = {}
        for each in self.case.computed_colours or ():
            if each.id not in self.withdrawn:
                found.setdefault(each.reading_id, []).append(each.colour)
        return found

    def readings_behind(self, located: Located | None) -> list[Reading]:
        """Return the readings that a colour rests on, through means and targets."""
        for _ in range(4):  # a target of a mean of a reading of a computed colour is the longest way there is
            if located is None:
                return []
            entry = located.entry
            if isinstance(entry, Reading):
                return [entry]
            if isinstance(entry, Mean):
                return self.readings_of(entry)
            if isinstance(entry, ComputedColour):
                located = self.entries.get(entry.reading_id)
            elif isinstance(entry, Target):
                located = self.entries.get(entry.source_id) if entry.source_id else None
            else:
                return []
        return []

    def readings_of(self, mean: Mean) -> list[Reading]:
        """Return the readings that a mean names, as far as they are there."""
        found = (self.find(each, "readings") for each in mean.reading_ids)
        return [each for each in found if each is not None]

    def session_of(self, reading: Reading) -> Session | None:
        """Return the session of a reading, where one is stated."""
        found: Session | None = self.find(reading.session_id, "sessions")
        return found

    def specimen_of(self, reading: Reading) -> Specimen | None:
        """Return what a reading was taken of."""
        found: Specimen | None = self.find(reading.specimen_id, "specimens")
        return found

    def instrument_ids(self, readings: list[Reading]) -> set[str | None]:
        """Return the instruments that readings were taken with; None stands for one not stated."""
        sessions = (self.session_of(each) for each in readings)
        return {session.instrument_id if session else None for session in sessions}

    def reading_kinds(self, readings: list[Reading]) -> set[str]:
        """Return what took the readings: `instrument`, `camera` or `eye`."""
        return {self._kind_of(each) for each in readings}

    def _kind_of(self, reading: Reading) -> str:
        if reading.visual is not None and reading.colours is None and reading.spectrum is None:
            return "eye"
        session = self.session_of(reading)
        instrument = self.find(session.instrument_id, "instruments") if session else None
        return "camera" if instrument is not None and instrument.kind == "camera" else "instrument"

    def bridged(self, instrument_ids: Iterable[str | None]) -> bool:
        """Return whether bridges that count relate all these instruments to one another."""
        wanted = set(instrument_ids)
        reached: set[str | None] = {next(iter(wanted))} if wanted else set()
        links = [
            {each.first_instrument_id, each.second_instrument_id}
            for each in self.case.bridges or ()
            if each.id not in self.withdrawn
        ]
        for _ in links:
            reached |= set().union(*(each for each in links if each & reached))
        return wanted <= reached

    @cached_property
    def sessions_in_verdicts(self) -> frozenset[str | None]:
        """Sessions whose readings a verdict on a number rests on."""
        return frozenset(
            reading.session_id
            for judgement in self.judgements
            if judgement.verdict.decision not in ("cannot-be-compared", "not-judged")
            for side in (judgement.standard, judgement.trial)
            for reading in self.readings_behind(side)
        )

    @cached_property
    def references(self) -> list[Referral]:
        """Every reference that the case makes, in order."""
        return referrals(self.case)

    @cached_property
    def judgements(self) -> list[Judgement]:
        """Every verdict that counts, with what it rests on."""
        return [
            Judgement(
                verdict,
                f"/verdicts/{index}",
                comparison := self.find(verdict.comparison_id, "comparisons"),
                self.find(verdict.tolerance_id, "tolerances"),
                self.entries.get(comparison.standard_id) if comparison else None,
                self.entries.get(comparison.trial_id) if comparison else None,
            )
            for index, verdict in enumerate(self.case.verdicts or ())
            if verdict.id not in self.withdrawn
        ]
