"""Rules on choices by eye and on pictures."""

from collections.abc import Iterator
from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.judging import Target
from shadefmt.model.measuring import Reading
from shadefmt.rules.base import Hit, Matter, Rule
from shadefmt.timestamps import moment

VIEWING: Final = {
    "colour_temperature_K": (5500, 6500),
    "rendering_index": (90, 100),
    "illuminance_lx": (1000, 2000),
}
"""Light in which shades are matched (from memory, middle confidence; common in teaching texts)."""

FLATTENED_MARKS: Final = ("/", " - ", " or ", " and ", "+", " bis ", " und ", " oder ", " entre ", " et ")


def light_outside_viewing_range(matter: Matter) -> Iterator[Hit]:
    """Colours were chosen by eye in light that hinders matching."""
    for index, session in enumerate(matter.view.case.sessions or ()):
        for member, (low, high) in VIEWING.items():
            stated = getattr(session.light, member) if session.light is not None else None
            if stated is not None and not low <= stated <= high:
                params = {"member": member, "stated": stated, "low": low, "high": high}
                yield Hit(f"/sessions/{index}/light/{member}", params, session.id)


def choice_under_operating_light(matter: Matter) -> Iterator[Hit]:
    """Colours were chosen by eye under the operating light."""
    for index, session in enumerate(matter.view.case.sessions or ()):
        if session.light is not None and session.light.kind == "operating-light":
            yield Hit(f"/sessions/{index}/light/kind", {"session": session.id}, session.id)


def choice_during_isolation(matter: Matter) -> Iterator[Hit]:
    """A colour was chosen by eye while the tooth was isolated and drying."""
    for index, reading in enumerate(matter.view.case.readings or ()):
        if reading.visual is not None and reading.isolation in ("dam", "cotton-air"):
            yield Hit(f"/readings/{index}/isolation", {"isolation": reading.isolation}, reading.id)


def choice_by_single_observer(matter: Matter) -> Iterator[Hit]:
    """A colour was chosen by one person alone."""
    view = matter.view
    for index, reading in enumerate(view.case.readings or ()):
        session = view.session_of(reading) if reading.visual is not None else None
        if session is not None and session.observer_count == 1:
            yield Hit(f"/readings/{index}/visual", {"session": session.id}, reading.id)


def choice_between_flattened(matter: Matter) -> Iterator[Hit]:
    """A label looks like two, as if a choice between them had been made one on the way."""
    view = matter.view
    for index, reading in enumerate(view.case.readings or ()):
        chosen = view.find(reading.visual.chosen_id, "references") if reading.visual is not None else None
        if chosen is None or reading.visual is None or reading.visual.between:
            continue
        if any(mark in chosen.label for mark in FLATTENED_MARKS):
            yield Hit(f"/readings/{index}/visual/chosen_id", {"label": chosen.label}, reading.id)


def none_close_overridden(matter: Matter) -> Iterator[Hit]:
    """No reference came close, and the target was taken from that set all the same."""
    view = matter.view
    choices = [each for each in view.case.readings or () if each.visual is not None and each.id not in view.withdrawn]
    for index, target in enumerate(view.case.targets or ()):
        if target.source_kind != "chosen-reference" or target.source_id is None or target.id in view.withdrawn:
            continue
        concerning = [each.visual for each in choices if each.visual and _concerns(view, each, target)]
        declined = {each.reference_set_id for each in concerning if each.none_close}
        chosen = any(target.source_id in (each.chosen_id, each.second_id) for each in concerning)
        for embedded in view.case.reference_sets or ():
            taken = any(each.id == target.source_id for each in embedded.references)
            if taken and embedded.id in declined and not chosen:
                yield Hit(f"/targets/{index}/source_id", {"set": embedded.id, "zone": target.zone}, target.id)


def _concerns(view: CaseView, choice: Reading, target: Target) -> bool:
    """Return whether a choice was made in the zone of a target; one of a stump says nothing of what covers it."""
    specimen = view.specimen_of(choice)
    stump = specimen is not None and specimen.kind == "stump"
    return choice.zone == target.zone and (not stump or choice.specimen_id == target.specimen_id)


def camera_without_grey(matter: Matter) -> Iterator[Hit]:
    """Colours were taken from pictures without a grey reference, and no verdict rests on them."""
    yield from _camera(matter, in_verdict=False)


def camera_without_grey_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict rests on colours from pictures without a grey reference."""
    yield from _camera(matter, in_verdict=True)


def _camera(matter: Matter, *, in_verdict: bool) -> Iterator[Hit]:
    view = matter.view
    judged = view.sessions_in_verdicts
    for index, session in enumerate(view.case.sessions or ()):
        instrument = view.find(session.instrument_id, "instruments")
        camera = instrument is not None and instrument.kind == "camera"
        if camera and session.grey_reference is not True and (session.id in judged) == in_verdict:
            yield Hit(f"/sessions/{index}", {"session": session.id}, session.id)


def picture_recompressed(matter: Matter) -> Iterator[Hit]:
    """A picture is meant for colour and was altered on the way, or nobody knows."""
    for index, attachment in enumerate(matter.view.case.attachments or ()):
        altered = attachment.processing in ("recompressed", "unknown")
        if altered and "colour" in (attachment.use or ()):
            params = {"path": attachment.path, "processing": attachment.processing}
            yield Hit(f"/attachments/{index}/processing", params, attachment.id)


def picture_shows_identity(matter: Matter) -> Iterator[Hit]:
    """A picture is declared to show a face or a document."""
    for index, attachment in enumerate(matter.view.case.attachments or ()):
        shown = [each for each in attachment.shows or () if each in ("face", "document")]
        if shown and attachment.consent != "yes":
            yield Hit(f"/attachments/{index}/shows", {"path": attachment.path, "shows": shown}, attachment.id)


def colour_vision_unchecked(matter: Matter) -> Iterator[Hit]:
    """Colours were chosen by eye and nothing says that colour vision was checked."""
    view = matter.view
    visual = {each.session_id for each in view.case.readings or () if each.visual is not None}
    for index, session in enumerate(view.case.sessions or ()):
        checked = session.colour_vision_checked
        if session.id in visual and (checked is None or moment(checked) is None):
            yield Hit(f"/sessions/{index}", {"session": session.id}, session.id)


RULES: Final[dict[str, Rule]] = {
    "light-outside-viewing-range": light_outside_viewing_range,
    "choice-under-operating-light": choice_under_operating_light,
    "choice-during-isolation": choice_during_isolation,
    "choice-by-single-observer": choice_by_single_observer,
    "choice-between-flattened": choice_between_flattened,
    "none-close-overridden": none_close_overridden,
    "camera-without-grey": camera_without_grey,
    "camera-without-grey-in-verdict": camera_without_grey_in_verdict,
    "picture-recompressed": picture_recompressed,
    "picture-shows-identity": picture_shows_identity,
    "colour-vision-unchecked": colour_vision_unchecked,
}
