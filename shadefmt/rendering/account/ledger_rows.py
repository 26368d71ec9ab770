"""Where a difference arose: from the tooth as it is now to the work as it is now, step by step; never who.

Worked out for works that somebody objected to. The stations are the tooth now, the tooth when the shade was taken,
the target, the work as it was first read, and the work now. A step between two instruments that nothing relates
cannot be told apart from the instruments.
"""

from typing import Final, NamedTuple

from shadefmt.chain.colours import Triple, lab_of
from shadefmt.chain.means import inputs
from shadefmt.colour.covariances import Covariance
from shadefmt.colour.ledger import Ledger, Line, Station, ledger
from shadefmt.colour.repeats import covariance
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView, Located
from shadefmt.model.judging import Target
from shadefmt.model.measuring import Mean, Reading
from shadefmt.rendering.account.colours import targets_that_count
from shadefmt.rendering.account.names import moment_of, specimen_name, zone_name
from shadefmt.rendering.figures import rounded_to, with_sign
from shadefmt.timestamps import is_after

DECIMALS: Final = 2
"""Decimals to which the steps close."""

FEWEST: Final = 3
"""Readings from which a covariance is taken."""

STEPS: Final = (
    ("the tooth then, against the tooth now", "when the shade was taken"),
    ("the target, against the tooth then", "when the target was set"),
    ("the work as first read, against the target", "when the work was made"),
    ("the work now, against the work as first read", "after the work was made"),
)
"""Each step in words, and where a difference that lies in it arose."""

APART: Final = "cannot be told apart from the instruments"


class LedgerRow(NamedTuple):
    """One step: what against what, its parts in L*, a*, b*, its size, and how sure it is."""

    words: str
    parts: tuple[str, str, str]
    difference: str
    sure: str


class LedgerTable(NamedTuple):
    """The steps of one work and zone with their total, and where most of the difference arose."""

    heading: str
    rows: list[LedgerRow]
    reading: str


class _Read(NamedTuple):
    located: Located
    lab: Triple
    moment: str
    readings: list[Reading]


def ledgers(view: CaseView) -> list[LedgerTable]:
    """Return a table for every target of a work that was objected to, where all stations were read."""
    works = objected(view)
    found = []
    for target in targets_that_count(view):
        if target.specimen_id in works:
            stations = _stations(view, target)
            table = _table(view, target, stations) if stations is not None else None
            if table is not None:
                found.append(table)
    return found


def objected(view: CaseView) -> set[str]:
    """Return the specimens that somebody objected to."""
    found: set[str] = set()
    for event in view.case.events or ():
        if event.kind == "objection" and event.id not in view.withdrawn:
            found |= set(event.specimen_ids or (each.id for each in view.case.specimens))
    return found


def _stations(view: CaseView, target: Target) -> list[Station] | None:
    """Return the colours on the way, None where one of them was not read."""
    source = view.entries.get(target.source_id) if target.source_id is not None else None
    basis = (target.colour.illuminant, target.colour.observer)
    behind = view.readings_behind(source)
    if source is None or target.colour.lab is None or not behind or "unknown" in basis:
        return None
    tooth = _read_of(view, behind[0].specimen_id, target.zone, basis)
    work = _read_of(view, target.specimen_id, target.zone, basis)
    then = next((each for each in tooth if each.located.entry.id == source.entry.id), None)
    later = [each for each in tooth if then is not None and is_after(each.moment, then.moment) and not _dry(each)]
    before = [each for each in work if not _seated(each) and is_after(work[-1].moment, each.moment)]
    if then is None or not later or not before:
        return None
    first = _station(view, then, "tooth then")
    return [
        _station(view, later[-1], "tooth now"),
        first,
        Station("target", lab_of(target.colour.lab), None, first.instrument),
        _station(view, before[0], "work as first read"),
        _station(view, work[-1], "work now"),
    ]


def _read_of(view: CaseView, specimen_id: str, zone: str, basis: tuple[str, str]) -> list[_Read]:
    """Return the dated means of one zone of one specimen, the earliest first."""
    found = []
    for mean in view.case.means or ():
        located = view.entries[mean.id]
        readings = view.readings_behind(located)
        colour = view.colour(located, *basis)
        moments = [each for each in (moment_of(view, one) for one in readings) if each is not None]
        fits = bool(readings) and {(each.specimen_id, each.zone) for each in readings} == {(specimen_id, zone)}
        if mean.id not in view.withdrawn and fits and moments and colour is not None and colour.lab is not None:
            found.append(_Read(located, lab_of(colour.lab), max(moments), readings))
    return sorted(found, key=lambda each: each.moment)


def _seated(read: _Read) -> bool:
    return any(each.state == "seated" for each in read.readings)


def _dry(read: _Read) -> bool:
    return any(each.hydration in ("dry", "rehydrating") for each in read.readings)


def _station(view: CaseView, read: _Read, name: str) -> Station:
    ids = view.instrument_ids(read.readings)
    known = next(iter(ids)) if len(ids) == 1 else None
    return Station(name, read.lab, _covariance(view, read.located.entry), known or f"not stated: {name}")


def _covariance(view: CaseView, mean: Mean) -> Covariance | None:
    labs = [each.lab for each in inputs(view, mean) if each.lab is not None]
    return covariance(labs, "mean") if len(labs) >= FEWEST else None


def _table(view: CaseView, target: Target, stations: list[Station]) -> LedgerTable | None:
    bridged = [
        frozenset({each.first_instrument_id, each.second_instrument_id})
        for each in view.case.bridges or ()
        if each.id not in view.withdrawn
    ]
    bare = [each._replace(covariance=None) for each in stations]
    found = _ledger(stations, bridged) or _ledger(bare, bridged)
    if found is None:
        return None
    rows = [_row(words, line) for (words, _), line in zip(STEPS, found.lines, strict=True)]
    rows.append(_row("in all: the work now, against the tooth now", found.total))
    heading = f"{specimen_name(view, target.specimen_id)}, {zone_name(target.zone)}"
    return LedgerTable(heading, rows, _reading(found))


def _ledger(stations: list[Station], bridged: list[frozenset[str]]) -> Ledger | None:
    """Return the ledger; None where a colour or a covariance is beyond what the formulas hold for."""
    try:
        return ledger(stations, DECIMALS, bridged)
    except (WrongUse, ArithmeticError, ValueError):
        return None


def _row(words: str, line: Line) -> LedgerRow:
    parts = [with_sign(each, DECIMALS) for each in line.step]
    sure = ""
    if line.across_instruments:
        sure = APART
    elif line.uncertainty is not None:
        sure = f"give or take {rounded_to(line.uncertainty.expanded, DECIMALS)} from the repeats alone"
    return LedgerRow(words, (parts[0], parts[1], parts[2]), rounded_to(line.difference, DECIMALS), sure)


def _reading(found: Ledger) -> str:
    """Return where most of the difference arose, if one step holds more than half of it."""
    shares = [(each.share or 0.0, place) for place, each in enumerate(found.lines)]
    share, place = max(shares)
    if share <= 0.5:
        return "No single step holds most of the difference."
    if found.lines[place].across_instruments:
        return f"Most of the difference lies between two instruments and {APART}."
    return f"Most of the difference arose {STEPS[place][1]}."
