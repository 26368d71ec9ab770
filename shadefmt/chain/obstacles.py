"""What keeps two colours from being compared: read off the readings behind them."""

from typing import Any, Final, NamedTuple

from shadefmt.indexing import CaseView, Located
from shadefmt.model.context import Instrument
from shadefmt.model.judging import Comparison
from shadefmt.vocabulary import Obstacle

DRYING_KINDS: Final = ("tooth", "stump")
"""Specimens whose colour changes as they dry."""

SAME_ZONE: Final = {"occlusal": "incisal"}
"""Zones that are one third under two names, by tooth."""


class Sides(NamedTuple):
    """What was found for standard and trial; an empty set is nothing known."""

    standard: frozenset[str]
    trial: frozenset[str]

    @property
    def known(self) -> bool:
        """Whether something is known of both."""
        return bool(self.standard and self.trial)

    @property
    def differ(self) -> bool:
        """Whether both are known and not the same."""
        return self.known and self.standard != self.trial


def hydration(view: CaseView, comparison: Comparison) -> Sides:
    """Return the stated hydration of the teeth and stumps behind both sides."""

    def of(located: Located | None) -> frozenset[str]:
        return frozenset(
            str(reading.hydration)
            for reading in view.readings_behind(located)
            if reading.hydration not in (None, "unknown", "not-applicable")
            and (specimen := view.specimen_of(reading)) is not None
            and specimen.kind in DRYING_KINDS
        )

    return _both(view, comparison, of)


def geometry(view: CaseView, comparison: Comparison, member: str) -> Sides:
    """Return the stated `geometry` or `specular` of the instruments behind both sides."""

    def of(located: Located | None) -> frozenset[str]:
        stated = (getattr(each, member) for each in instruments(view, located))
        return frozenset(str(each) for each in stated if each not in (None, "unknown"))

    return _both(view, comparison, of)


def zones(view: CaseView, comparison: Comparison) -> Sides:
    """Return the zones of both sides; that of a target is its own."""

    def of(located: Located | None) -> frozenset[str]:
        if located is not None and located.list_name == "targets":
            stated = {located.entry.zone}
        else:
            stated = {each.zone for each in view.readings_behind(located)}
        return frozenset(SAME_ZONE.get(each, each) for each in stated - {"unknown"})

    return _both(view, comparison, of)


def kinds(view: CaseView, comparison: Comparison) -> Sides:
    """Return what took the readings of both sides: instrument, camera or eye."""
    return _both(view, comparison, lambda located: frozenset(view.reading_kinds(view.readings_behind(located))))


def instrument_ids(view: CaseView, comparison: Comparison) -> Sides:
    """Return the stated instruments of both sides."""

    def of(located: Located | None) -> frozenset[str]:
        found = view.instrument_ids(view.readings_behind(located))
        return frozenset(each for each in found if each is not None)

    return _both(view, comparison, of)


def instruments(view: CaseView, located: Located | None) -> list[Instrument]:
    """Return the instruments behind a colour."""
    found: list[Any] = [view.find(each, "instruments") for each in view.instrument_ids(view.readings_behind(located))]
    return [each for each in found if each is not None]


def names_instruments(comparison: Comparison) -> bool:
    """Return whether the uncertainty of a comparison allows for two instruments."""
    components = comparison.uncertainty.components if comparison.uncertainty else None
    return any(each.source == "inter-instrument" for each in components or ())


def hydration_differs(view: CaseView, comparison: Comparison) -> Sides | None:
    """Return the hydration of both sides where a dry tooth stands beside a moist one."""
    if comparison.question == "handover":
        return None
    found = hydration(view, comparison)
    return found if found.known and not found.standard & found.trial else None


def instruments_unbridged(view: CaseView, comparison: Comparison) -> Sides | None:
    """Return the instruments of both sides where they differ and nothing allows for that."""
    found = instrument_ids(view, comparison)
    allowed_for = names_instruments(comparison) or view.bridged(found.standard | found.trial)
    return found if found.differ and not allowed_for else None


def obstacles(view: CaseView, comparison: Comparison) -> list[Obstacle]:
    """Return everything that keeps a comparison from being judged, in the order of the vocabulary."""
    found: list[Obstacle] = []
    if "unknown" in (comparison.illuminant, comparison.observer):
        found.append("basis-unknown")
    if hydration_differs(view, comparison):
        found.append("hydration-differs")
    if any(geometry(view, comparison, member).differ for member in ("geometry", "specular")):
        found.append("geometry-differs")
    if zones(view, comparison).differ:
        found.append("zones-differ")
    sides = kinds(view, comparison)
    if sides.known and len(sides.standard | sides.trial) > 1:
        found.append("kinds-mixed")
    if instruments_unbridged(view, comparison):
        found.append("instruments-unbridged")
    return found


def _both(view: CaseView, comparison: Comparison, of: Any) -> Sides:
    return Sides(of(view.entries.get(comparison.standard_id)), of(view.entries.get(comparison.trial_id)))
