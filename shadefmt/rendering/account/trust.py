"""How far each series of readings can be trusted: six lines that begin with stated, not stated or contradicts.

A series is what was read of one specimen in one session. A line contradicts where the check found that the file
says two things about it; the code of the finding stands beside it.
"""

from typing import Final, NamedTuple

from shadefmt.indexing import CaseView
from shadefmt.model.measuring import Mean, Reading
from shadefmt.model.report import Finding, Report
from shadefmt.rendering.account.conditions import (
    Fact,
    barrier,
    calibration,
    instrument,
    light_and_geometry,
    wet_or_dry,
)
from shadefmt.rendering.account.foundations import Foundations
from shadefmt.rendering.account.names import read_on, reading_places, specimen_name
from shadefmt.rendering.figures import counted, listed, rounded_to
from shadefmt.rendering.work_words import WITHDRAWALS

STATED: Final = "stated"
NOT_STATED: Final = "not stated"
CONTRADICTS: Final = "contradicts"

CONTRADICTING: Final[dict[str, frozenset[str]]] = {
    "wet or dry": frozenset({"hydration-differs-in-verdict", "hydration-differs-in-comparison", "isolation-too-long"}),
    "calibration": frozenset(
        {"calibration-after-reading", "calibration-failed", "calibration-failed-in-verdict", "calibration-stale"}
    ),
    "barrier": frozenset({"barrier-differs-from-calibration"}),
    "repeats": frozenset(
        {
            "check-patch-moved",
            "mean-disagrees-with-readings",
            "mean-includes-withdrawn",
            "mean-input-missing",
            "mean-mixes-kinds",
            "mean-mixes-specimens",
            "mean-repeats-reading",
            "spread-disagrees-with-readings",
            "spread-of-single-reading",
            "covariance-impossible",
            "uncertainty-below-spread",
            "repeats-not-repositioned",
        }
    ),
    "light and geometry": frozenset(
        {
            "colour-disagrees-with-spectrum",
            "instrument-colour-differs-from-spectrum",
            "xyz-disagrees-with-lab",
            "comparison-basis-differs",
            "geometry-differs-in-verdict",
            "geometry-differs-in-comparison",
            "spectrum-grid-contradicts",
            "spectrum-scale-suspect",
        }
    ),
    "instrument": frozenset(
        {
            "instruments-unbridged-in-verdict",
            "kinds-mixed-in-verdict",
            "effect-across-instruments",
            "camera-without-grey-in-verdict",
        }
    ),
}
"""Findings that mean that the file says two things about a subject."""


class TrustLine(NamedTuple):
    """One line: its subject, whether it is stated, what is stated, and the codes that contradict it."""

    subject: str
    standing: str
    words: str
    codes: tuple[str, ...] = ()


class Series(NamedTuple):
    """What was read of one specimen in one session and state, with its lines.

    `carries` says that a target or an outcome rests on it.
    """

    heading: str
    lines: list[TrustLine]
    carries: bool


def trust(view: CaseView, report: Report) -> list[Series]:
    """Return every series of readings that count, in the order of the file."""
    grouped: dict[tuple[str | None, ...], list[Reading]] = {}
    for reading in view.case.readings or ():
        if reading.id not in view.withdrawn:
            key = (reading.specimen_id, reading.session_id, reading.state, reading.hydration)
            grouped.setdefault(key, []).append(reading)
    below = Foundations(view, report)
    return [_series(view, report, below, readings) for readings in grouped.values()]


def _series(view: CaseView, report: Report, below: Foundations, readings: list[Reading]) -> Series:
    when = read_on(view, readings)
    places = listed(reading_places(readings))
    by = _by(view, readings)
    heading = f"{specimen_name(view, readings[0].specimen_id)}, {places}: {counted(len(readings), 'reading')}{by}"
    sessions = {each.session_id for each in readings}
    about = below.findings_about({each.id for each in readings})
    about += [each for each in report.findings or () if each.entry_id is not None and each.entry_id in sessions]
    facts = (
        wet_or_dry(view, readings),
        calibration(view, readings),
        barrier(view, readings),
        _repeats(view, readings),
        light_and_geometry(view, readings),
        instrument(view, readings),
    )
    lines = [_line(each, about) for each in facts if each is not None]
    above = [*(view.case.targets or ()), *(view.case.verdicts or ())]
    carries = any(below.of(each.id) & {one.id for one in readings} for each in above)
    return Series(heading + (f", {when}" if when else ""), lines, carries)


def _line(fact: Fact, about: list[Finding]) -> TrustLine:
    codes = tuple(dict.fromkeys(each.code for each in about if each.code in CONTRADICTING.get(fact.subject, ())))
    standing = CONTRADICTS if codes else STATED if fact.stated else NOT_STATED
    return TrustLine(fact.subject, standing, fact.words, codes)


def _by(view: CaseView, readings: list[Reading]) -> str:
    kinds = view.reading_kinds(readings)
    return f" by {listed(sorted(kinds))}" if kinds != {"instrument"} else ""


def _repeats(view: CaseView, readings: list[Reading]) -> Fact:
    """Return how many readings lie behind each mean, how far apart, whether placed anew, and what was withdrawn."""
    ids = {each.id for each in readings}
    means = [each for each in view.case.means or () if ids & set(each.reading_ids) and each.id not in view.withdrawn]
    parts = [_mean_words(each) for each in means] or [f"{counted(len(readings), 'reading')}, no mean of them"]
    parts = list(dict.fromkeys(parts))
    placed = {each.repositioned for each in readings}
    if placed == {True}:
        parts.append("placed anew each time")
    elif False in placed:
        parts.append("not placed anew each time")
    parts += _placed(readings) + _withdrawn(view, readings)
    return Fact("repeats", bool(means), "; ".join(parts))


def _mean_words(mean: Mean) -> str:
    words = f"mean of {len(mean.reading_ids)}"
    if mean.spread is None or mean.spread.mcdm is None:
        return f"{words}, spread not stated" if len(mean.reading_ids) > 1 else words
    return f"{words}, on average {rounded_to(mean.spread.mcdm, min(mean.spread.decimals, 2))} from it"


def _placed(readings: list[Reading]) -> list[str]:
    """Return what held the place and whether the window stayed within the zone, as far as it is stated."""
    found = []
    if any(each.guided for each in readings):
        found.append("place held by a jig or mask")
    elif any(each.guided is False for each in readings):
        found.append("placed by hand")
    beyond = sum(each.window_fits is False for each in readings)
    if beyond:
        which = "each" if beyond == len(readings) else f"{beyond} of {len(readings)}"
        found.append(f"in {which} the window reached beyond the zone")
    elif any(each.window_fits for each in readings):
        found.append("window within the zone")
    return found


def _withdrawn(view: CaseView, readings: list[Reading]) -> list[str]:
    """Return how many readings of the same series were withdrawn, and why."""
    series = (readings[0].specimen_id, readings[0].session_id)
    reasons = []
    for withdrawal in view.case.withdrawals or ():
        reading = view.find(withdrawal.entry_id, "readings")
        if reading is not None and (reading.specimen_id, reading.session_id) == series:
            reasons.append(WITHDRAWALS[withdrawal.reason])
    if not reasons:
        return []
    return [f"{counted(len(reasons), 'reading')} withdrawn ({listed(list(dict.fromkeys(reasons)))})"]
