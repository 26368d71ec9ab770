"""Rules on courses of treatment and their effects."""

from collections.abc import Iterator
from typing import Any, Final

from shadefmt.chain.colours import lab_of
from shadefmt.chain.obstacles import Sides, instruments_unbridged, zones
from shadefmt.colour.difference_single import ciede2000
from shadefmt.indexing import CaseView
from shadefmt.model.relating import Effect
from shadefmt.rules.base import Hit, Matter, Rule
from shadefmt.timestamps import seconds_between

DAY_SECONDS: Final = 86_400
SETTLING_DAYS: Final = 14
"""Days after whitening in which colour still moves (common practice, no source)."""

CONTROL_LIMIT: Final = 0.8
"""CIEDE2000 by which an untreated tooth may move (perceptibility, Paravina et al. 2015)."""


def course_control_missing(matter: Matter) -> Iterator[Hit]:
    """A course has no untreated control, so that drift cannot be told from effect."""
    for index, course in matter.view.counting("courses"):
        if course.control_specimen_ids is None:
            yield Hit(f"/courses/{index}", {"course": course.id}, course.id)


def course_control_moved(matter: Matter) -> Iterator[Hit]:
    """The untreated control changed as well."""
    view = matter.view
    for index, course in view.counting("courses"):
        for specimen_id in course.control_specimen_ids or ():
            size = _moved(view, specimen_id)
            if size is not None and size > CONTROL_LIMIT:
                params = {"specimen": specimen_id, "difference": round(size, 2), "limit": CONTROL_LIMIT}
                yield Hit(f"/courses/{index}/control_specimen_ids", params, course.id)


def _moved(view: CaseView, specimen_id: str) -> float | None:
    """Return how far the means of one zone of a specimen lie apart at most, with one instrument."""
    labs: dict[tuple[Any, ...], list[tuple[float, float, float]]] = {}
    for mean in view.case.means or ():
        readings = view.readings_of(mean)
        places = {(each.specimen_id, each.zone) for each in readings}
        instruments = view.instrument_ids(readings)
        if len(places) == 1 and len(instruments) == 1 and mean.colour.lab is not None and mean.id not in view.withdrawn:
            (place,), (instrument,) = places, instruments
            if place[0] == specimen_id and instrument is not None:
                key = (place[1], instrument, mean.colour.illuminant, mean.colour.observer)
                labs.setdefault(key, []).append(lab_of(mean.colour.lab))
    apart = [ciede2000(one, other) for group in labs.values() for one in group for other in group]
    return max(apart, default=None)


def effect_of_other_question(matter: Matter) -> Iterator[Hit]:
    """An effect rests on a comparison that does not ask for a change."""
    for index, effect, comparison in _effects(matter.view):
        if comparison.question != "change":
            params = {"question": comparison.question}
            yield Hit(f"/effects/{index}/comparison_id", params, effect.id)


def effect_without_direction(matter: Matter) -> Iterator[Hit]:
    """An effect is stated as a difference alone, which is positive for a darkening too."""
    for index, effect, comparison in _effects(matter.view):
        if comparison.direction is None and effect.change is None:
            yield Hit(f"/effects/{index}", {"effect": effect.id}, effect.id)


def effect_of_other_zone(matter: Matter) -> Iterator[Hit]:
    """An effect compares different zones."""
    for index, effect, comparison in _effects(matter.view):
        found = zones(matter.view, comparison)
        if found.differ:
            yield Hit(f"/effects/{index}/comparison_id", _before_and_after(found), effect.id)


def effect_across_instruments(matter: Matter) -> Iterator[Hit]:
    """An effect compares two instruments, and nothing allows for that."""
    for index, effect, comparison in _effects(matter.view):
        found = instruments_unbridged(matter.view, comparison)
        if found is not None:
            yield Hit(f"/effects/{index}/comparison_id", _before_and_after(found), effect.id)


def _before_and_after(found: Sides) -> dict[str, list[str]]:
    return {"before": sorted(found.standard), "after": sorted(found.trial)}


def effect_at_peak_only(matter: Matter) -> Iterator[Hit]:
    """The effect at the end of treatment is stated, and none after settling."""
    view = matter.view
    moments: dict[str, set[str]] = {}
    for effect in view.case.effects or ():
        if effect.id not in view.withdrawn:
            moments.setdefault(effect.course_id, set()).add(effect.moment)
    for index, course in view.counting("courses"):
        found = moments.get(course.id, set())
        if "end-of-treatment" in found and "after-settling" not in found:
            yield Hit(f"/courses/{index}", {"course": course.id}, course.id)


def course_follow_up_too_early(matter: Matter) -> Iterator[Hit]:
    """A colour was read less than a day after treatment, when the tooth was still dry."""
    yield from _soon(matter.view, 1, inside_course=True)


def reading_soon_after_whitening(matter: Matter) -> Iterator[Hit]:
    """A target was read within two weeks of whitening, while colour still moves."""
    yield from _soon(matter.view, SETTLING_DAYS, inside_course=False)


def _soon(view: CaseView, days: int, *, inside_course: bool) -> Iterator[Hit]:
    """Yield effects, or targets, whose readings follow a treatment of their specimen within some days."""
    entries: list[tuple[str, str, str]] = []
    if inside_course:
        entries = [(f"/effects/{at}", each.id, comparison.trial_id) for at, each, comparison in _effects(view)]
    else:
        for at, target in enumerate(view.case.targets or ()):
            if target.source_kind == "measured-tooth" and target.source_id is not None:
                entries.append((f"/targets/{at}", target.id, target.source_id))
    for pointer, entry_id, named in entries:
        gaps = [gap for gap in _gaps(view, named) if 0 < gap < days * DAY_SECONDS]
        if gaps:
            params = {"hours": round(min(gaps) / 3600, 1), "days": days}
            yield Hit(pointer, params, entry_id)


def _gaps(view: CaseView, named: str) -> Iterator[float]:
    """Yield the seconds from each treatment of a specimen to each reading of it behind an entry."""
    treated = {specimen for _, course in view.counting("courses") for specimen in course.specimen_ids}
    treatments = ("treatment-visit", "treatment-ended", "treatment-started")
    for reading in view.readings_behind(view.entries.get(named)):
        session = view.session_of(reading)
        at = reading.at or (session.started if session else None)
        if at is None or reading.specimen_id not in treated:
            continue
        for _, event in view.counting("events"):
            concerned = event.specimen_ids is None or reading.specimen_id in event.specimen_ids
            gap = seconds_between(event.at, at) if event.kind in treatments and concerned else None
            if gap is not None:
                yield gap


def _effects(view: CaseView) -> Iterator[tuple[int, Effect, Any]]:
    for index, effect in enumerate(view.case.effects or ()):
        comparison = view.find(effect.comparison_id, "comparisons")
        if comparison is not None and effect.id not in view.withdrawn:
            yield index, effect, comparison


RULES: Final[dict[str, Rule]] = {
    "course-control-missing": course_control_missing,
    "course-control-moved": course_control_moved,
    "course-follow-up-too-early": course_follow_up_too_early,
    "reading-soon-after-whitening": reading_soon_after_whitening,
    "effect-of-other-question": effect_of_other_question,
    "effect-without-direction": effect_without_direction,
    "effect-of-other-zone": effect_of_other_zone,
    "effect-across-instruments": effect_across_instruments,
    "effect-at-peak-only": effect_at_peak_only,
}
