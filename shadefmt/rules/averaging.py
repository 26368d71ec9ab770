"""Rules on what a mean may be taken of, and on its spread."""

from collections.abc import Iterator
from typing import Final

from shadefmt.chain.means import COVARIANCES, colour_to_average, inputs
from shadefmt.chain.rounding import half_unit
from shadefmt.colour.difference_single import ciede2000
from shadefmt.colour.repeats import mcdm_corrected
from shadefmt.colour.repeats import mean as mean_colour
from shadefmt.rules.base import Hit, Matter, Rule

LARGE_SPREAD: Final = 1.0
"""MCDM (CIEDE2000, corrected for the number of readings) that is remarked on (proposal, no source)."""

FAR_READING: Final = 1.2
"""CIEDE2000 of a reading from the mean of the others that is remarked on: 0.004 % false alarms at three
readings of an ordinary instrument (computed by simulation)."""


def mean_input_missing(matter: Matter) -> Iterator[Hit]:
    """A reading of a mean has no colour of the origin, illuminant and observer that the mean is taken of."""
    view = matter.view
    for index, mean in enumerate(view.case.means or ()):
        wanted = f"{mean.of_origin}, {mean.colour.illuminant}, {mean.colour.observer}"
        for place, reading_id in enumerate(mean.reading_ids):
            reading = view.find(reading_id, "readings")
            if reading is not None and colour_to_average(view, reading, mean) is None:
                params = {"reading": reading_id, "wanted": wanted}
                yield Hit(f"/means/{index}/reading_ids/{place}", params, mean.id)


def mean_includes_withdrawn(matter: Matter) -> Iterator[Hit]:
    """A mean that counts includes a reading that no longer does."""
    view = matter.view
    for index, mean in enumerate(view.case.means or ()):
        if mean.id in view.withdrawn:
            continue
        for place, reading_id in enumerate(mean.reading_ids):
            if reading_id in view.withdrawn:
                yield Hit(f"/means/{index}/reading_ids/{place}", {"reading": reading_id}, mean.id)


def mean_repeats_reading(matter: Matter) -> Iterator[Hit]:
    """A mean names the same reading twice."""
    for index, mean in enumerate(matter.view.case.means or ()):
        for place, reading_id in enumerate(mean.reading_ids):
            if reading_id in mean.reading_ids[:place]:
                yield Hit(f"/means/{index}/reading_ids/{place}", {"reading": reading_id}, mean.id)


def mean_mixes_specimens(matter: Matter) -> Iterator[Hit]:
    """A mean is taken over readings of several specimens."""
    yield from _mixed(matter, "specimen_id")


def mean_mixes_zones(matter: Matter) -> Iterator[Hit]:
    """A mean is taken over several zones."""
    yield from _mixed(matter, "zone")


def mean_mixes_sessions(matter: Matter) -> Iterator[Hit]:
    """A mean is taken over several sessions, and so over several calibrations."""
    yield from _mixed(matter, "session_id")


def mean_mixes_states(matter: Matter) -> Iterator[Hit]:
    """A mean is taken over several states of the work, or backings."""
    yield from _mixed(matter, "state")
    yield from _mixed(matter, "backing")


def _mixed(matter: Matter, member: str) -> Iterator[Hit]:
    view = matter.view
    for index, mean in enumerate(view.case.means or ()):
        readings = view.readings_of(mean)
        found = list(dict.fromkeys(getattr(each, member) or "not stated" for each in readings))
        if len(found) > 1:
            yield Hit(f"/means/{index}/reading_ids", {"member": member, "found": found}, mean.id)


def mean_mixes_kinds(matter: Matter) -> Iterator[Hit]:
    """A mean is taken over instrument and camera readings, which are not interchangeable."""
    view = matter.view
    for index, mean in enumerate(view.case.means or ()):
        readings = view.readings_of(mean)
        kinds = view.reading_kinds(readings)
        if len(kinds) > 1:
            yield Hit(f"/means/{index}/reading_ids", {"found": sorted(kinds)}, mean.id)


def mean_of_single_reading(matter: Matter) -> Iterator[Hit]:
    """A mean is taken of one reading."""
    for index, mean in enumerate(matter.view.case.means or ()):
        if len(mean.reading_ids) == 1:
            yield Hit(f"/means/{index}/reading_ids", {"reading": mean.reading_ids[0]}, mean.id)


def spread_of_single_reading(matter: Matter) -> Iterator[Hit]:
    """A spread is stated for one reading, where it is always 0 and looks perfect."""
    for index, mean in enumerate(matter.view.case.means or ()):
        if mean.spread is not None and len(mean.reading_ids) == 1:
            yield Hit(f"/means/{index}/spread", {"reading": mean.reading_ids[0]}, mean.id)


def covariance_impossible(matter: Matter) -> Iterator[Hit]:
    """Covariances are larger than the variances allow."""
    for index, mean in enumerate(matter.view.case.means or ()):
        spread = mean.spread
        if spread is None or None in (values := [getattr(spread, each) for each in COVARIANCES]):
            continue
        for pair, place in (("La", (0, 1, 3)), ("Lb", (0, 2, 4)), ("ab", (1, 2, 5))):
            one, other, shared = (values[each] for each in place)
            edge = half_unit(spread.decimals)
            if abs(shared) - edge > ((one + edge) * (other + edge)) ** 0.5 + 1e-12:
                params = {"covariance": shared, "variances": [one, other]}
                yield Hit(f"/means/{index}/spread/cov_{pair}", params, mean.id)


def covariance_incomplete(matter: Matter) -> Iterator[Hit]:
    """Some variances and covariances are stated without the others, or without saying what they are of."""
    for index, mean in enumerate(matter.view.case.means or ()):
        spread = mean.spread
        if spread is None:
            continue
        missing = [each for each in ("covariance_of", *COVARIANCES) if getattr(spread, each) is None]
        if missing and len(missing) <= len(COVARIANCES):
            yield Hit(f"/means/{index}/spread", {"missing": missing}, mean.id)


def spread_large(matter: Matter) -> Iterator[Hit]:
    """Repeats of one zone lie far apart."""
    view = matter.view
    for index, mean in enumerate(view.case.means or ()):
        spread, count = mean.spread, len(mean.reading_ids)
        if spread is None or spread.mcdm is None or count < 2 or spread.formula != "CIEDE2000":
            continue
        zones = {each.zone for each in view.readings_of(mean)}
        corrected = mcdm_corrected(spread.mcdm, count)
        if corrected > LARGE_SPREAD and zones != {"whole"}:
            params = {"spread": round(corrected, 2), "limit": LARGE_SPREAD, "readings": count}
            yield Hit(f"/means/{index}/spread/mcdm", params, mean.id)


def repeat_far_from_others(matter: Matter) -> Iterator[Hit]:
    """One reading lies far from the mean of the others."""
    view = matter.view
    for mean in view.case.means or ():
        found = [each for each in inputs(view, mean) if each.lab is not None]
        if len(found) < 3:
            continue
        for one in found:
            others = [each.lab for each in found if each is not one and each.lab is not None]
            assert one.lab is not None
            size = ciede2000(one.lab, mean_colour(others))
            if size > FAR_READING:
                params = {"difference": round(size, 2), "limit": FAR_READING, "mean": mean.id}
                yield Hit(view.pointer(one.reading), params, one.reading.id)


RULES: Final[dict[str, Rule]] = {
    "mean-input-missing": mean_input_missing,
    "mean-includes-withdrawn": mean_includes_withdrawn,
    "mean-repeats-reading": mean_repeats_reading,
    "mean-mixes-specimens": mean_mixes_specimens,
    "mean-mixes-zones": mean_mixes_zones,
    "mean-mixes-sessions": mean_mixes_sessions,
    "mean-mixes-states": mean_mixes_states,
    "mean-mixes-kinds": mean_mixes_kinds,
    "mean-of-single-reading": mean_of_single_reading,
    "spread-of-single-reading": spread_of_single_reading,
    "covariance-impossible": covariance_impossible,
    "covariance-incomplete": covariance_incomplete,
    "spread-large": spread_large,
    "repeat-far-from-others": repeat_far_from_others,
}
