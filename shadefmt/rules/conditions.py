"""Rules on how and of what the readings were taken."""

from collections.abc import Iterator
from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.measuring import Reading
from shadefmt.rules.base import Hit, Matter, Rule

ISOLATION_MINUTES: Final = {"dam": 1.0, "cotton-air": 1.0, "lips-retracted": 5.0}
"""Minutes after which a tooth has visibly dried. Dam, cotton and air: Suliman et al. 2019 (J Esthet Restor Dent
31:118-123) found 72 % of teeth beyond acceptability within one minute. Lips only: a proposal, no source."""

ZONES: Final = {
    "tooth": {"whole", "cervical", "middle", "incisal", "occlusal", "region", "unknown"},
    "stump": {"whole", "cervical", "middle", "incisal", "occlusal", "region", "unknown"},
    "restoration": {"whole", "cervical", "middle", "incisal", "occlusal", "region", "unknown"},
    "gingiva": {"whole", "free-gingiva", "attached-gingiva", "papilla", "region", "unknown"},
    "denture-base": {"whole", "free-gingiva", "attached-gingiva", "papilla", "region", "unknown"},
    "guide-tab": {"whole", "cervical", "middle", "incisal", "region", "unknown"},
    "material-disc": {"whole", "middle", "region", "unknown"},
    "check-patch": {"whole", "middle", "region", "unknown"},
}
"""Zones that each kind of specimen has (common practice, no source)."""


def calibration_failed(matter: Matter) -> Iterator[Hit]:
    """A session's calibration failed, and no verdict rests on its readings."""
    yield from _failed(matter.view, in_verdict=False)


def calibration_failed_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict rests on readings of a session whose calibration failed."""
    yield from _failed(matter.view, in_verdict=True)


def _failed(view: CaseView, *, in_verdict: bool) -> Iterator[Hit]:
    used = view.sessions_in_verdicts
    for index, session in enumerate(view.case.sessions or ()):
        failed = session.calibration is not None and session.calibration.result == "failed"
        if failed and (session.id in used) == in_verdict:
            yield Hit(f"/sessions/{index}/calibration/result", {"session": session.id}, session.id)


def calibration_missing(matter: Matter) -> Iterator[Hit]:
    """A session with an instrument states no calibration."""
    for index, session in enumerate(matter.view.case.sessions or ()):
        if session.instrument_id is not None and session.calibration is None:
            yield Hit(f"/sessions/{index}", {"session": session.id}, session.id)


def barrier_differs_from_calibration(matter: Matter) -> Iterator[Hit]:
    """The barrier sheath was on for the calibration and off for the readings, or the other way round."""
    for index, session in enumerate(matter.view.case.sessions or ()):
        calibration = session.calibration
        if calibration is None or session.barrier_per_instructions:
            continue
        states = (calibration.barrier_fitted, session.barrier_fitted)
        if None not in states and states[0] != states[1]:
            params = {"calibration": _fitted(states[0]), "readings": _fitted(states[1])}
            yield Hit(f"/sessions/{index}/barrier_fitted", params, session.id)


def _fitted(state: bool | None) -> str:
    return "fitted" if state else "not fitted"


def barrier_unstated(matter: Matter) -> Iterator[Hit]:
    """Teeth were read in the mouth, and nothing says whether a barrier sheath was on."""
    view = matter.view
    mouth = {
        reading.session_id
        for reading in view.case.readings or ()
        if (specimen := view.specimen_of(reading)) is not None and specimen.kind in ("tooth", "stump", "gingiva")
    }
    for index, session in enumerate(view.case.sessions or ()):
        if session.id in mouth and session.instrument_id is not None and session.barrier_fitted is None:
            yield Hit(f"/sessions/{index}", {"session": session.id}, session.id)


def isolation_too_long(matter: Matter) -> Iterator[Hit]:
    """A tooth was read longer after isolation than it takes to dry visibly."""
    for index, reading in enumerate(matter.view.case.readings or ()):
        limit = ISOLATION_MINUTES.get(reading.isolation or "")
        minutes = reading.minutes_since_isolation
        if limit is not None and minutes is not None and minutes > limit:
            params = {"minutes": minutes, "isolation": reading.isolation, "limit": limit}
            yield Hit(f"/readings/{index}/minutes_since_isolation", params, reading.id)


def zone_unsuited_to_specimen(matter: Matter) -> Iterator[Hit]:
    """A reading names a zone that its specimen does not have."""
    view = matter.view
    for index, reading in enumerate(view.case.readings or ()):
        specimen = view.specimen_of(reading)
        if specimen is None:
            continue
        back = specimen.tooth is not None and specimen.tooth[1] in ("45678" if specimen.tooth[0] < "5" else "45")
        wrong_edge = {"incisal"} if back else {"occlusal"} if specimen.tooth is not None else set()
        if reading.zone in wrong_edge or reading.zone not in ZONES[specimen.kind]:
            params = {"zone": reading.zone, "specimen_kind": specimen.kind, "tooth": specimen.tooth or "none"}
            yield Hit(f"/readings/{index}/zone", params, reading.id)


def surface_uncleaned(matter: Matter) -> Iterator[Hit]:
    """Teeth were read with plaque or stain on them."""
    for index, session in enumerate(matter.view.case.sessions or ()):
        if session.surface_cleaned is False:
            yield Hit(f"/sessions/{index}/surface_cleaned", {"session": session.id}, session.id)


def model_tooth_restored(matter: Matter) -> Iterator[Hit]:
    """The tooth that a target was taken from carries a restoration where it was read."""
    view = matter.view
    for index, target in enumerate(view.case.targets or ()):
        if target.source_kind != "measured-tooth" or target.source_id is None:
            continue
        for reading in view.readings_behind(view.entries.get(target.source_id)):
            specimen = view.specimen_of(reading)
            if specimen is not None and specimen.restored:
                yield Hit(f"/targets/{index}/source_id", {"specimen": specimen.id}, target.id)
                break


def reading_of_unsintered_ceramic(matter: Matter) -> Iterator[Hit]:
    """A ceramic was read before sintering, when its colour is not there yet."""
    for index, reading in enumerate(matter.view.case.readings or ()):
        if reading.state == "unsintered":
            yield Hit(f"/readings/{index}/state", {}, reading.id)


def stump_read_dry(matter: Matter) -> Iterator[Hit]:
    """A stump was read dry, when it looks lighter."""
    view = matter.view
    for index, reading in enumerate(view.case.readings or ()):
        specimen = view.specimen_of(reading)
        if specimen is not None and specimen.kind == "stump" and reading.hydration == "dry":
            yield Hit(f"/readings/{index}/hydration", {}, reading.id)


def repeats_not_repositioned(matter: Matter) -> Iterator[Hit]:
    """Repeats behind a mean were taken without lifting the instrument."""
    view = matter.view
    for index, mean in enumerate(view.case.means or ()):
        readings: list[Reading] = view.readings_of(mean)
        if len(readings) > 1 and all(each.repositioned is False for each in readings):
            yield Hit(f"/means/{index}/reading_ids", {"readings": len(readings)}, mean.id)


RULES: Final[dict[str, Rule]] = {
    "calibration-failed": calibration_failed,
    "calibration-failed-in-verdict": calibration_failed_in_verdict,
    "calibration-missing": calibration_missing,
    "barrier-differs-from-calibration": barrier_differs_from_calibration,
    "barrier-unstated": barrier_unstated,
    "isolation-too-long": isolation_too_long,
    "zone-unsuited-to-specimen": zone_unsuited_to_specimen,
    "surface-uncleaned": surface_uncleaned,
    "model-tooth-restored": model_tooth_restored,
    "reading-of-unsintered-ceramic": reading_of_unsintered_ceramic,
    "stump-read-dry": stump_read_dry,
    "repeats-not-repositioned": repeats_not_repositioned,
}
