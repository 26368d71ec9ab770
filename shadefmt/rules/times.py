"""Rules on the order of events."""

from collections.abc import Iterator
from typing import Final

from shadefmt.indexing import CaseView, Judgement
from shadefmt.model.context import Session
from shadefmt.rules.base import TIMESTAMP_MEMBERS, Hit, Matter, Rule
from shadefmt.timestamps import is_after, moment, seconds_between

CLOCK_SLACK_SECONDS: Final = 60
"""How far two clocks may disagree before order is doubted (proposal, no source)."""

CALIBRATION_HOURS: Final = 4
"""Age of a calibration that is remarked on (proposal; calibrating for each session is common practice)."""


def date_impossible(matter: Matter) -> Iterator[Hit]:
    """A date or time has the right shape but is in no calendar."""
    for place in matter.texts:
        if place.member in TIMESTAMP_MEMBERS and moment(place.text) is None:
            yield Hit(place.pointer, {"stated": place.text})


def dated_after_check(matter: Matter) -> Iterator[Hit]:
    """A revision is dated after the moment that the check is made for."""
    as_of = matter.supplied.as_of or ""
    for index, revision in enumerate(matter.view.case.revisions or ()):
        if is_after(revision.at, as_of):
            yield Hit(f"/revisions/{index}/at", {"at": revision.at, "as_of": as_of}, revision.id)


def calibration_after_reading(matter: Matter) -> Iterator[Hit]:
    """A calibration is later than a reading of its session."""
    for index, session, at, moments in _calibrated(matter.view):
        first = moments[0]
        gap = seconds_between(first, at)
        late = gap > CLOCK_SLACK_SECONDS if gap is not None else is_after(at, first)
        if late:
            yield Hit(f"/sessions/{index}/calibration/at", {"at": at, "reading_at": first}, session.id)


def calibration_stale(matter: Matter) -> Iterator[Hit]:
    """A calibration is hours older than the readings that rest on it, or of another day."""
    for index, session, at, moments in _calibrated(matter.view):
        last = moments[-1]
        gap = seconds_between(at, last)
        one, other = moment(at), moment(last)
        if gap is not None:
            old = gap > CALIBRATION_HOURS * 3600
        else:
            old = one is not None and other is not None and other.day - one.day > 1
        if old:
            params = {"at": at, "reading_at": last, "hours": CALIBRATION_HOURS}
            yield Hit(f"/sessions/{index}/calibration/at", params, session.id)


def tolerance_agreed_after_reading(matter: Matter) -> Iterator[Hit]:
    """The limit was agreed after the work had been read that it judges."""
    for judgement in matter.view.judgements:
        tolerance = judgement.tolerance
        read = _read_at(matter.view, judgement)
        if tolerance is None or tolerance.agreed_at is None or not read:
            continue
        if all(is_after(tolerance.agreed_at, each) for each in read):
            params = {"agreed_at": tolerance.agreed_at, "reading_at": read[0], "tolerance_id": tolerance.id}
            yield Hit(f"{judgement.pointer}/tolerance_id", params, judgement.verdict.id)


def target_set_after_reading(matter: Matter) -> Iterator[Hit]:
    """A target was set after the work had been read that is judged against it."""
    for judgement in matter.view.judgements:
        if judgement.standard is None or judgement.standard.list_name != "targets":
            continue
        target = judgement.standard.entry
        read = _read_at(matter.view, judgement)
        if target.set_at and read and all(is_after(target.set_at, each) for each in read):
            params = {"set_at": target.set_at, "reading_at": read[0], "target_id": target.id}
            yield Hit(judgement.pointer, params, judgement.verdict.id)


def _read_at(view: CaseView, judgement: Judgement) -> list[str]:
    """Return when the readings behind the trial were taken, or when their sessions began."""
    moments = []
    for reading in view.readings_behind(judgement.trial):
        session = view.session_of(reading)
        at = reading.at or (session.started if session else None)
        if at is not None:
            moments.append(at)
    return moments


def _calibrated(view: CaseView) -> Iterator[tuple[int, Session, str, list[str]]]:
    """Yield each calibrated session, its calibration's moment, and when it was used, earliest first."""
    readings = view.case.readings or []
    for index, session in enumerate(view.case.sessions or ()):
        if session.calibration is None or moment(session.calibration.at) is None:
            continue
        used = [each.at for each in readings if each.session_id == session.id and each.at]
        if session.started:
            used.append(session.started)
        used = [each for each in used if moment(each) is not None]
        if used:
            yield index, session, session.calibration.at, sorted(used, key=_rank)


def _rank(text: str) -> tuple[int, float]:
    found = moment(text)
    assert found is not None
    return found.day, found.seconds or found.local or 0.0


RULES: Final[dict[str, Rule]] = {
    "date-impossible": date_impossible,
    "dated-after-check": dated_after_check,
    "calibration-after-reading": calibration_after_reading,
    "calibration-stale": calibration_stale,
    "tolerance-agreed-after-reading": tolerance_agreed_after_reading,
    "target-set-after-reading": target_set_after_reading,
}
