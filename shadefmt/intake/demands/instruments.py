"""Demands on instruments: what is known of them, how they relate, how they were calibrated."""

from collections.abc import Iterator

from shadefmt.chain.colours import lab_of
from shadefmt.colour.difference_single import ciede2000
from shadefmt.intake.looking import NOT_STATED, Look, Taken, Unmet, days_between
from shadefmt.model.context import Calibration, Instrument, Session
from shadefmt.model.measuring import Reading
from shadefmt.model.reading_demands import (
    BridgeDemand,
    CalibrationDemand,
    CheckPatchDemand,
    GeometryDemand,
    InstrumentDemand,
)
from shadefmt.model.relating import Bridge
from shadefmt.timestamps import seconds_between

NO_INSTRUMENT = "no instrument"


def geometry(look: Look, demand: GeometryDemand) -> Iterator[Unmet]:
    """It is known how every instrument lights and sees, and all do it alike."""
    for each in look.read_with:
        if each.instrument is None:
            yield Unmet(each.pointer, each.name, NO_INSTRUMENT, "an instrument with its geometry", each.name)
    asked = ["geometry", *(["specular"] if demand.specular else []), *(["aperture_mm"] if demand.aperture else [])]
    used = _instruments(look)
    for pointer, instrument in used:
        missing = [name for name in asked if getattr(instrument, name) in (None, "unknown")]
        if missing:
            yield Unmet(pointer, instrument.id, NOT_STATED, ", ".join(missing), instrument.id)
    for pointer, instrument in used if demand.alike else ():
        first = used[0][1]
        if _seen(instrument) != _seen(first):
            wanted = f"as {first.id}: {_seen(first)}"
            yield Unmet(pointer, instrument.id, _seen(instrument), wanted, instrument.id)


def _seen(instrument: Instrument) -> str:
    return f"{instrument.geometry or 'unknown'}, gloss {instrument.specular or 'unknown'}"


def instrument(look: Look, demand: InstrumentDemand) -> Iterator[Unmet]:
    """It is known with which instrument every reading was taken."""
    for each in look.read_with:
        if each.instrument is None:
            yield Unmet(each.pointer, each.name, NO_INSTRUMENT, "an instrument by its id", each.name)
    for pointer, used in _instruments(look) if demand.software_version else ():
        if used.software_version is None:
            yield Unmet(pointer, used.id, "no version of its software", "the version of its software", used.id)


def _instruments(look: Look) -> list[tuple[str, Instrument]]:
    """Return the instruments that readings which count were taken with."""
    used = {each.instrument.id for each in look.read_with if each.instrument is not None}
    listed = enumerate(look.view.case.instruments or ())
    return [(f"/instruments/{index}", each) for index, each in listed if each.id in used]


def bridge(look: Look, demand: BridgeDemand) -> Iterator[Unmet]:
    """All instruments are one, or bridges that are fit and recent relate them."""
    used = _instruments(look)
    if len(used) < 2:
        return
    fit = [
        {each.first_instrument_id, each.second_instrument_id}
        for each in look.view.case.bridges or ()
        if look.counts(each.id) and _is_fit(look, each, demand)
    ]
    reached = {used[0][1].id}
    for _ in fit:
        reached |= {name for link in fit if link & reached for name in link}
    wanted = "a bridge" + (" on tooth-like patches" if demand.tooth_like else "")
    if demand.days_at_most is not None:
        wanted += f", at most {demand.days_at_most:g} days from the readings"
    for pointer, each in used[1:]:
        if each.id not in reached:
            yield Unmet(pointer, each.id, f"nothing of this kind relates it to {used[0][1].id}", wanted, each.id)


def _is_fit(look: Look, made: Bridge, demand: BridgeDemand) -> bool:
    if demand.tooth_like and not made.tooth_like:
        return False
    if demand.days_at_most is None:
        return True
    ends = (made.first_instrument_id, made.second_instrument_id)
    readings = [each.reading for each in look.numeric() if look.view.instrument_ids([each.reading]) & set(ends)]
    days = [days_between(made.made_at, at) if (at := look.read_at(each)) else None for each in readings]
    return all(each is not None and abs(each) <= demand.days_at_most for each in days)


def calibration(look: Look, demand: CalibrationDemand) -> Iterator[Unmet]:
    """Every session with an instrument rests on a calibration that is fresh enough."""
    for pointer, session, taken in look.sessions:
        found = _not_fresh(look, session, taken, demand)
        if found is not None:
            yield Unmet(pointer, session.id, found, _fresh(demand), session.id)


def _fresh(demand: CalibrationDemand) -> str:
    wanted = "a calibration that succeeded"
    if demand.minutes_at_first is not None:
        wanted += f", at most {demand.minutes_at_first:g} minutes before the first reading"
    if demand.hours_at_last is not None:
        wanted += f", at most {demand.hours_at_last:g} hours before the last"
    return wanted


def _not_fresh(look: Look, session: Session, taken: list[Taken], demand: CalibrationDemand) -> str | None:
    done = session.calibration
    if done is None:
        return "no calibration"
    if done.result != "passed":
        return "a calibration that did not succeed, or nobody knows"
    if demand.minutes_at_first is None and demand.hours_at_last is None:
        return None
    ages = _ages(look, done, taken)
    if not ages:
        return "a calibration whose age is not known"
    first, last = min(ages) / 60, max(ages) / 3600
    if demand.minutes_at_first is not None and not 0 <= first <= demand.minutes_at_first:
        return f"a calibration {first:g} minutes before the first reading"
    if demand.hours_at_last is not None and last > demand.hours_at_last:
        return f"a calibration {last:.3g} hours before the last reading"
    return None


def _ages(look: Look, done: Calibration, taken: list[Taken]) -> list[float]:
    """Return the seconds from a calibration to each reading; empty where one of them is not known."""
    moments = [look.read_at(each.reading) for each in taken]
    ages = [seconds_between(done.at, at) if at is not None else None for at in moments]
    return [] if None in ages else [each for each in ages if each is not None]


def check_patch(look: Look, demand: CheckPatchDemand) -> Iterator[Unmet]:
    """In every session with an instrument a check patch is read first and last, and stays where it was."""
    wanted = f"a check patch before and after the other readings, at most {demand.difference_at_most:g} apart"
    for pointer, session, taken in look.sessions:
        apart = _patch_moved(look, session, taken)
        if apart is None or apart > demand.difference_at_most:
            found = "no such pair of readings" if apart is None else f"{apart:.2f} apart"
            yield Unmet(pointer, session.id, found, wanted, session.id)


def _patch_moved(look: Look, session: Session, taken: list[Taken]) -> float | None:
    """Return how far the check patch moved from before all other readings to after them, None without such a pair."""
    case = look.view.case
    everything = [each for each in case.readings or () if each.session_id == session.id and look.counts(each.id)]
    if all(each.order is not None for each in everything):
        everything.sort(key=lambda each: each.order or 0)
    places = {each.id: index for index, each in enumerate(everything)}
    others = [places[each.reading.id] for each in taken]
    before = {(each.specimen_id, each.zone): each for each in everything[: min(others)]}
    for late in everything[max(others) + 1 :]:
        early = before.get((late.specimen_id, late.zone))
        if early is not None and _is_patch(look, late):
            return _apart(look, early, late)
    return None


def _is_patch(look: Look, reading: Reading) -> bool:
    specimen = look.view.specimen_of(reading)
    return reading.role == "check-patch" or (specimen is not None and specimen.kind == "check-patch")


def _apart(look: Look, early: Reading, late: Reading) -> float | None:
    """Return the CIEDE2000 of two readings in the first basis that both state."""
    located = look.view.entries.get(late.id)
    for colour in early.colours or ():
        other = look.view.colour(located, colour.illuminant, colour.observer)
        if other is not None and colour.lab is not None and other.lab is not None and colour.illuminant != "unknown":
            return ciede2000(lab_of(colour.lab), lab_of(other.lab))
    return None
