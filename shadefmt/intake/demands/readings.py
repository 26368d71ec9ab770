"""Demands on what was read: with what, where, how often, how closely."""

from collections.abc import Iterator

from shadefmt.chain.means import inputs
from shadefmt.colour.repeats import mcdm, mcdm_corrected, propose_slips
from shadefmt.intake.looking import TISSUE_ZONES, USUAL_KINDS, Look, Taken, Unmet, is_front, same_zone
from shadefmt.model.context import Specimen
from shadefmt.model.measuring import Reading
from shadefmt.model.reading_demands import RepeatsDemand, SourcesDemand, SpreadDemand, ZonesDemand
from shadefmt.timestamps import moment
from shadefmt.vocabulary import SourceUse


def sources(look: Look, demand: SourcesDemand) -> Iterator[Unmet]:
    """Colours are read by instrument, or as the profile allows by eye and with a camera."""
    measured = {_place(each) for each in look.numeric() if look.taken_with(each.reading) == "instrument"}
    uses: dict[str, tuple[SourceUse, str]] = {
        "eye": (demand.eye, "chosen by eye"),
        "camera": (demand.camera, "read with a camera"),
    }
    for taken in look.readings:
        kind = look.taken_with(taken.reading)
        use, found = uses.get(kind, ("accepted", ""))
        beside = use == "in-addition" and _place(taken) in measured
        own_copy = kind == "eye" and demand.own_copy_suffices and _from_own_copy(look, taken.reading)
        if use == "accepted" or beside or own_copy:
            continue
        wanted = "a reading by instrument" + (" beside it" if use == "in-addition" else "")
        yield Unmet(taken.pointer, _named(taken), found, wanted, taken.reading.id)
    if demand.camera_grey_reference:
        yield from _without_grey(look)


def _without_grey(look: Look) -> Iterator[Unmet]:
    used = {each.reading.session_id for each in look.numeric() if look.taken_with(each.reading) == "camera"}
    for index, session in enumerate(look.view.case.sessions or ()):
        if session.id in used and session.grey_reference is not True:
            found, wanted = "pictures without a stated grey reference", "a grey reference in the pictures"
            yield Unmet(f"/sessions/{index}", session.id, found, wanted, session.id)


def _from_own_copy(look: Look, reading: Reading) -> bool:
    chosen = look.view.find(reading.visual.chosen_id, "references") if reading.visual is not None else None
    return chosen is not None and chosen.copy_label is not None and chosen.measured_on is not None


def zones(look: Look, demand: ZonesDemand) -> Iterator[Unmet]:
    """Every work, or where nothing is aimed at every tooth, has a colour in each zone asked for."""
    aimed: dict[str, set[str]] = {}
    for _, target in look.targets:
        aimed.setdefault(target.specimen_id, set()).add(target.zone)
    read: dict[str, set[str]] = {}
    for taken in look.readings:
        read.setdefault(taken.reading.specimen_id, set()).add(taken.reading.zone)
    for index, specimen in enumerate(look.view.case.specimens):
        wanted = (demand.front if is_front(specimen) else demand.back) if specimen.tooth is not None else None
        if wanted is None or specimen.kind not in USUAL_KINDS:
            continue
        asked = [("targets", aimed.get(specimen.id))]
        if not aimed and specimen.kind == "tooth":
            asked = [("readings", read.get(specimen.id))]
        if demand.work_too and specimen.kind == "restoration":
            asked.append(("readings", read.get(specimen.id)))
        for what, found in asked:
            if found is not None and not found <= TISSUE_ZONES:
                yield from _zones(f"/specimens/{index}", specimen, what, found, list(wanted), demand.whole_suffices)


def _zones(
    pointer: str, specimen: Specimen, what: str, found: set[str], wanted: list[str], whole: bool
) -> Iterator[Unmet]:
    missing = {same_zone(each) for each in wanted} - {same_zone(each) for each in found}
    if missing and not (whole and "whole" in found):
        has = f"{what} in {', '.join(sorted(found))}"
        yield Unmet(pointer, specimen.id, has, f"{what} in {', '.join(wanted)}", specimen.id)


def repeats(look: Look, demand: RepeatsDemand) -> Iterator[Unmet]:
    """Each zone is read often enough in one session, the instrument placed anew, and within the time allowed."""
    groups: dict[tuple[str | None, ...], dict[str | None, list[Taken]]] = {}
    visits: dict[tuple[str, str | None], list[Taken]] = {}
    for taken in look.numeric(demand.specimen_kinds or USUAL_KINDS):
        each = taken.reading
        key = (each.specimen_id, each.zone, each.column, each.region, each.state, each.backing)
        groups.setdefault(key, {}).setdefault(each.session_id, []).append(taken)
        visits.setdefault((each.specimen_id, each.session_id), []).append(taken)
    for sessions in groups.values():
        yield from _often(list(sessions.values()), demand)
    for visit in visits.values():
        yield from _quickly(visit, demand.minutes_at_most)


def _often(sessions: list[list[Taken]], demand: RepeatsDemand) -> Iterator[Unmet]:
    """Yield what a zone lacks, told of the session that comes nearest."""
    anew = {id(group): sum(each.reading.repositioned is True for each in group) for group in sessions}
    most = max(sessions, key=lambda group: (len(group), anew[id(group)]))
    first = most[0]
    if len(most) < demand.least:
        found, wanted = f"readings: {len(most)}", f"at least {demand.least}"
    elif demand.repositioned and all(
        len(group) < demand.least or anew[id(group)] < demand.least - 1 for group in sessions
    ):
        found = f"readings after placing the instrument anew: {anew[id(most)]}"
        wanted = f"at least {demand.least - 1}"
    else:
        return
    yield Unmet(first.pointer, _named(first), found, wanted, first.reading.id)


def _quickly(visit: list[Taken], minutes_at_most: float | None) -> Iterator[Unmet]:
    if minutes_at_most is None or len(visit) < 2:
        return
    minutes, first = _minutes(visit), visit[0]
    if minutes is None or minutes > minutes_at_most:
        found = "times not stated, or not comparable" if minutes is None else f"{minutes:g} minutes from first to last"
        wanted = f"at most {minutes_at_most:g} minutes from first to last reading"
        yield Unmet(first.pointer, first.specimen.id, found, wanted, first.reading.id)


def _minutes(visit: list[Taken]) -> float | None:
    """Return the minutes from first to last reading, None where they cannot be known."""
    moments = [moment(each.reading.at) if each.reading.at is not None else None for each in visit]
    known = [each for each in moments if each is not None]
    by_utc = [each.seconds for each in known if each.seconds is not None]
    by_clock = [each.local for each in known if each.seconds is None and each.local is not None]
    for found in (by_utc, by_clock):
        if len(found) == len(visit):
            return (max(found) - min(found)) / 60
    return None


def spread(look: Look, demand: SpreadDemand) -> Iterator[Unmet]:
    """Repeats lie close to their mean, and each close to the mean of the others."""
    asked = {each.reading.id for each in look.readings}
    for index, mean in enumerate(look.view.case.means or ()):
        found = inputs(look.view, mean)
        labs = [each.lab for each in found if each.lab is not None]
        usable = 2 <= len(labs) == len(mean.reading_ids) and look.counts(mean.id)
        if not usable or not any(each.reading.id in asked for each in found):
            continue
        corrected = mcdm_corrected(mcdm(labs), len(labs))
        if corrected > demand.mcdm_at_most:
            wanted = f"at most {demand.mcdm_at_most:g}"
            yield Unmet(f"/means/{index}", mean.id, f"a spread of {corrected:.2f}", wanted, mean.id)
        limit = demand.from_others_at_most
        if limit is not None and len(labs) > 2:
            farthest = max(propose_slips(labs, 0.0, floor=limit).distances)
            if farthest > limit:
                found_words = f"a reading {farthest:.2f} from the mean of the others"
                yield Unmet(f"/means/{index}", mean.id, found_words, f"at most {limit:g}", mean.id)


def _place(taken: Taken) -> tuple[str, str]:
    return taken.reading.specimen_id, same_zone(taken.reading.zone)


def _named(taken: Taken) -> str:
    return f"{taken.specimen.id}, {taken.reading.zone}"
