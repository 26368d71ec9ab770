"""Which waivers count for a case, and what each of them lets stand."""

from collections.abc import Iterator
from typing import Final, NamedTuple

from shadefmt.intake.desk import Desk
from shadefmt.model.intake import Waiver, WaiverTerms
from shadefmt.model.report import DemandNotMet, Finding
from shadefmt.timestamps import moment

ENTRY_DEPTHS: Final = (2, 4)
"""Steps of a pointer to an entry: of a root list, or of a reference inside a reference set."""


class Placed(NamedTuple):
    """A waiver and its place in the list."""

    place: int
    waiver: Waiver


class Waivers:
    """The waivers that are about one case, and which of them were used."""

    def __init__(self, desk: Desk, document: str | None) -> None:
        self.refused: list[tuple[Placed, str]] = []
        self.counting: list[Placed] = []
        self.used: set[str] = set()
        listed = desk.waivers.waivers if desk.waivers is not None else []
        for place, waiver in enumerate(listed):
            if waiver.document not in (None, document) or waiver.id in desk.expired:
                continue
            fault = _outside(waiver, desk.profile.waivers)
            if fault is None:
                self.counting.append(Placed(place, waiver))
            else:
                self.refused.append((Placed(place, waiver), fault))

    def of_finding(self, finding: Finding) -> Waiver | None:
        """Return the first waiver that lets a finding stand; its id is then among the used ones."""
        return self._first(each for each in self._about(finding) if each.code == finding.code)

    def of_demand(self, unmet: DemandNotMet) -> Waiver | None:
        """Return the first waiver that lets a demand go unmet; its id is then among the used ones."""
        return self._first(each for each in self._about(unmet) if each.demand == unmet.demand)

    def _about(self, said: Finding | DemandNotMet) -> Iterator[Waiver]:
        return (each.waiver for each in self.counting if _covers(each.waiver, said.pointer, said.entry_id))

    def _first(self, found: Iterator[Waiver]) -> Waiver | None:
        waiver = next(found, None)
        if waiver is not None:
            self.used.add(waiver.id)
        return waiver


def _covers(waiver: Waiver, pointer: str, entry_id: str | None) -> bool:
    """Return whether a place in a case is one that a waiver names."""
    if waiver.pointer is not None:
        return waiver.pointer == pointer
    if waiver.entry_id is None:
        return True
    if waiver.entry_id != entry_id:
        return False
    steps = pointer.split("/")[1:]
    return waiver.member is None or any(waiver.member == "/".join(steps[depth:]) for depth in ENTRY_DEPTHS)


def _outside(waiver: Waiver, terms: WaiverTerms | None) -> str | None:
    """Return why a waiver does not count under a profile's terms, None where it does."""
    if terms is None:
        return None
    if not terms.accepted:
        return "no waiver does"
    if terms.author and waiver.by_role is None and waiver.by_code is None:
        return "it does not say who gave it"
    if waiver.code in (terms.never_for or ()) or waiver.demand in (terms.never_for_demands or ()):
        return "what it waives is never waived"
    if terms.days_at_most is None:
        return None
    first, last = (moment(each) if each is not None else None for each in (waiver.at, waiver.valid_until))
    if first is None or last is None:
        return "it does not say from when until when it holds"
    if last.day - first.day > terms.days_at_most:
        return f"it holds for more than {terms.days_at_most:g} days"
    return None
