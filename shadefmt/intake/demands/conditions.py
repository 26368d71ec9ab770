"""Demands on the conditions of reading: barrier, isolation, surface, time after whitening."""

from collections.abc import Iterator

from shadefmt.chain.colours import lab_of
from shadefmt.colour.difference_single import ciede2000
from shadefmt.intake.looking import Look, Unmet, days_between
from shadefmt.model.context import Session
from shadefmt.model.judging import Target
from shadefmt.model.measuring import Reading
from shadefmt.model.reading_demands import BarrierDemand, IsolationDemand, SettlingDemand, SurfaceDemand
from shadefmt.model.relating import Event

IN_THE_MOUTH = frozenset({"tooth", "stump", "gingiva"})
"""Kinds of specimen that are read in the mouth."""

TREATMENTS = frozenset({"treatment-started", "treatment-visit", "treatment-ended"})


def barrier(look: Look, demand: BarrierDemand) -> Iterator[Unmet]:
    """It is known for calibration and readings in the mouth whether a barrier sheath was on."""
    for pointer, session, taken in look.sessions:
        if not any(each.specimen.kind in IN_THE_MOUTH for each in taken):
            continue
        at_calibration = session.calibration.barrier_fitted if session.calibration is not None else None
        if session.barrier_fitted is None or at_calibration is None:
            yield Unmet(pointer, session.id, _unstated(session), "stated for calibration and readings", session.id)
        elif demand.alike and session.barrier_fitted != at_calibration and not session.barrier_per_instructions:
            found = "on for one of calibration and readings only"
            yield Unmet(pointer, session.id, found, "alike for both, or by the maker's instructions", session.id)


def _unstated(session: Session) -> str:
    return "barrier not stated for " + ("the readings" if session.barrier_fitted is None else "the calibration")


def isolation(look: Look, demand: IsolationDemand) -> Iterator[Unmet]:
    """Teeth were kept dry only in ways and for times that are accepted."""
    limits = {each.isolation: each.minutes_at_most for each in demand.allowed}
    wanted = ", or ".join(
        each.isolation + (f" up to {each.minutes_at_most:g} minutes" if each.minutes_at_most is not None else "")
        for each in demand.allowed
    )
    for taken in look.readings:
        reading = taken.reading
        if taken.specimen.kind != "tooth":
            continue
        limit, minutes = limits.get(reading.isolation or "unknown"), reading.minutes_since_isolation
        found: str
        if (reading.isolation or "unknown") not in limits:
            found = "isolation not stated" if reading.isolation in (None, "unknown") else str(reading.isolation)
        elif limit is None or reading.isolation == "none" or (minutes is not None and minutes <= limit):
            continue
        else:
            found = f"{reading.isolation}, " + (f"{minutes:g} minutes" if minutes is not None else "minutes not stated")
        yield Unmet(taken.pointer, reading.id, found, wanted, reading.id)


def surface(look: Look, demand: SurfaceDemand) -> Iterator[Unmet]:
    """Teeth were cleaned before the session and moist when they were read."""
    teeth = [each for each in look.numeric() if each.specimen.kind == "tooth"]
    if demand.cleaned:
        used = {each.reading.session_id for each in teeth}
        for index, session in enumerate(look.view.case.sessions or ()):
            if session.id in used and session.surface_cleaned is not True:
                found = "not cleaned" if session.surface_cleaned is False else "cleaning not stated"
                yield Unmet(f"/sessions/{index}", session.id, found, "a cleaned surface", session.id)
        for taken in teeth:
            if look.view.session_of(taken.reading) is None:
                found = "no session that states cleaning"
                yield Unmet(taken.pointer, taken.reading.id, found, "a cleaned surface", taken.reading.id)
    for taken in teeth if demand.moist else ():
        if taken.reading.hydration != "moist":
            found = taken.reading.hydration or "hydration not stated"
            yield Unmet(taken.pointer, taken.reading.id, found, "moist", taken.reading.id)


def settling(look: Look, demand: SettlingDemand) -> Iterator[Unmet]:
    """Targets were read long enough after whitening, or two visits show that the colour stands."""
    for pointer, target in look.targets:
        days = _days_since_treatment(look, look.readings_of(target)) if target.source_kind == "measured-tooth" else []
        if not days:
            continue
        fewest = None if None in days else min(each for each in days if each is not None)
        waited = fewest is not None and fewest >= demand.days_at_least
        stands = demand.stability is not None and _stands(look, target, demand)
        if waited and (stands or demand.stability != "as-well"):
            continue
        if stands and demand.stability == "instead":
            continue
        found = "treatment and reading at times not known" if fewest is None else f"{fewest:g} days after treatment"
        yield Unmet(pointer, target.id, found + (", two like visits" if stands else ""), _settled(demand), target.id)


def _settled(demand: SettlingDemand) -> str:
    wanted = f"at least {demand.days_at_least:g} days"
    if demand.stability is None:
        return wanted
    joined = "or" if demand.stability == "instead" else "and"
    apart, within = demand.visit_days_apart, demand.visits_within
    return f"{wanted}, {joined} two visits at least {apart:g} days apart and within {within:g}"


def _days_since_treatment(look: Look, readings: list[Reading]) -> list[float | None]:
    """Return the days from each treatment of a tooth to each later reading of it; None for moments not known."""
    found = []
    for reading in readings:
        at = look.read_at(reading)
        for event in _treatments(look, reading.specimen_id):
            days = days_between(event.at, at) if at is not None else None
            if days is None or days >= 0:
                found.append(days)
    return found


def _treatments(look: Look, specimen_id: str) -> Iterator[Event]:
    """Yield the treatments of a specimen; an event that names none is of those that a course names."""
    in_course = any(specimen_id in each.specimen_ids for each in look.view.case.courses or ())
    for event in look.view.case.events or ():
        concerned = in_course if event.specimen_ids is None else specimen_id in event.specimen_ids
        if event.kind in TREATMENTS and concerned and look.counts(event.id):
            yield event


def _stands(look: Look, target: Target, demand: SettlingDemand) -> bool:
    """Return whether an earlier mean of the same place, also read after treatment, lies close to the target."""
    behind = look.readings_of(target)
    last = [look.read_at(each) for each in behind]
    if target.colour.lab is None or not last:
        return False
    for mean in look.view.case.means or ():
        readings = look.view.readings_of(mean)
        same = (mean.colour.illuminant, mean.colour.observer) == (target.colour.illuminant, target.colour.observer)
        if not (look.counts(mean.id) and same and mean.colour.lab is not None and _places(readings) == _places(behind)):
            continue
        first = [look.read_at(each) for each in readings]
        apart = all(_apart(one, other) >= (demand.visit_days_apart or 0) for one in first for other in last)
        treated = [each.at for reading in behind for each in _treatments(look, reading.specimen_id)]
        so_far = [each for each in treated if any(_apart(each, at) >= 0 for at in last)]
        after = all(_apart(each, at) >= 0 for each in so_far for at in first)
        near = ciede2000(lab_of(mean.colour.lab), lab_of(target.colour.lab)) <= (demand.visits_within or 0)
        if apart and after and near:
            return True
    return False


def _places(readings: list[Reading]) -> set[tuple[str, str]]:
    return {(each.specimen_id, each.zone) for each in readings}


def _apart(earlier: str | None, later: str | None) -> float:
    """Return the days between two moments, less than any number where they are not known."""
    days = days_between(earlier, later) if earlier is not None and later is not None else None
    return float("-inf") if days is None else days
