"""Rules on groups, conclusions, relations between cases, and events."""

from collections.abc import Iterator
from typing import Final

from shadefmt.chain.colours import lab_of
from shadefmt.chain.verdicts import WORST_FIRST
from shadefmt.colour.difference_single import ciede2000
from shadefmt.rules.base import Hit, Matter, Rule
from shadefmt.timestamps import is_after, seconds_between

PATCH_LIMIT: Final = 0.5
"""CIEDE2000 by which a check patch may move (proposal, no source)."""


def conclusion_hides_worst(matter: Matter) -> Iterator[Hit]:
    """A conclusion is better than the worst verdict that it rests on."""
    view = matter.view
    for index, conclusion in enumerate(view.case.conclusions or ()):
        found = [view.find(each, "verdicts") for each in conclusion.verdict_ids]
        decisions = [each.decision for each in found if each is not None and each.id not in view.withdrawn]
        worst = min(decisions, key=WORST_FIRST.index, default=None)
        if worst is not None and conclusion.decision != worst:
            params = {"stated": conclusion.decision, "worst": worst}
            yield Hit(f"/conclusions/{index}/decision", params, conclusion.id)


def conclusion_leaves_out(matter: Matter) -> Iterator[Hit]:
    """A conclusion about a group leaves out a member of it that was judged."""
    view = matter.view
    for index, conclusion in enumerate(view.case.conclusions or ()):
        group = view.find(conclusion.group_id, "groups")
        if group is None:
            continue
        for judgement in view.judgements:
            read = {each.specimen_id for each in view.readings_behind(judgement.trial)}
            if read & set(group.specimen_ids) and judgement.verdict.id not in conclusion.verdict_ids:
                params = {"verdict": judgement.verdict.id, "specimens": sorted(read)}
                yield Hit(f"/conclusions/{index}/verdict_ids", params, conclusion.id)


def relation_empty(matter: Matter) -> Iterator[Hit]:
    """A relation to another case does not say to which."""
    for index, relation in enumerate(matter.view.case.relations or ()):
        other = relation.other
        if other.id is None and other.sha256 is None and not other.on_paper:
            yield Hit(f"/relations/{index}/other", {"relation": relation.relation}, relation.id)


def layer_empty(matter: Matter) -> Iterator[Hit]:
    """A layer of a work names neither a reference nor a material."""
    for index, order in enumerate(matter.view.case.prescriptions or ()):
        for place, layer in enumerate(order.layers or ()):
            if layer.reference_id is None and layer.material is None:
                yield Hit(f"/prescriptions/{index}/layers/{place}", {}, order.id)


def acceptance_missing_at_closing(matter: Matter) -> Iterator[Hit]:
    """A case was closed and nobody said yes."""
    events = matter.view.counting("events")
    if any(each.kind == "acceptance" for _, each in events):
        return
    for index, event in events:
        if event.kind == "closed":
            yield Hit(f"/events/{index}", {"at": event.at}, event.id)


def target_changed_after_dispatch(matter: Matter) -> Iterator[Hit]:
    """A target was set anew after the work had gone out."""
    view = matter.view
    for index, target in enumerate(view.case.targets or ()):
        for _, event in view.counting("events"):
            concerned = event.specimen_ids is None or target.specimen_id in event.specimen_ids
            if event.kind == "dispatched" and concerned and target.set_at and is_after(target.set_at, event.at):
                params = {"set_at": target.set_at, "dispatched": event.at}
                yield Hit(f"/targets/{index}/set_at", params, target.id)
                break


def reading_after_preparation(matter: Matter) -> Iterator[Hit]:
    """A tooth was read after preparation on the same day, when it had been dried."""
    view = matter.view
    for index, reading in enumerate(view.case.readings or ()):
        specimen, session = view.specimen_of(reading), view.session_of(reading)
        at = reading.at or (session.started if session else None)
        if at is None or specimen is None or specimen.kind != "tooth":
            continue
        for _, event in view.counting("events"):
            gap = seconds_between(event.at, at) if event.kind == "preparation" else None
            if gap is not None and 0 < gap < 12 * 3600:
                yield Hit(f"/readings/{index}", {"hours": round(gap / 3600, 1)}, reading.id)
                break


def check_patch_moved(matter: Matter) -> Iterator[Hit]:
    """A check patch reads differently than before with the same instrument."""
    view = matter.view
    first: dict[tuple[str, str | None, str, str], tuple[float, float, float]] = {}
    for index, reading in enumerate(view.case.readings or ()):
        specimen, session = view.specimen_of(reading), view.session_of(reading)
        is_patch = reading.role == "check-patch" or (specimen is not None and specimen.kind == "check-patch")
        if not is_patch or reading.id in view.withdrawn:
            continue
        for colour in reading.colours or ():
            if colour.lab is None or colour.origin != "instrument" or session is None or session.instrument_id is None:
                continue
            key = (reading.specimen_id, session.instrument_id, colour.illuminant, colour.observer)
            size = ciede2000(first.setdefault(key, lab_of(colour.lab)), lab_of(colour.lab))
            if size > PATCH_LIMIT:
                params = {"difference": round(size, 2), "limit": PATCH_LIMIT}
                yield Hit(f"/readings/{index}", params, reading.id)


RULES: Final[dict[str, Rule]] = {
    "conclusion-hides-worst": conclusion_hides_worst,
    "conclusion-leaves-out": conclusion_leaves_out,
    "relation-empty": relation_empty,
    "layer-empty": layer_empty,
    "acceptance-missing-at-closing": acceptance_missing_at_closing,
    "target-changed-after-dispatch": target_changed_after_dispatch,
    "reading-after-preparation": reading_after_preparation,
    "check-patch-moved": check_patch_moved,
}
