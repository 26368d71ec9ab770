"""Demands on the order and what comes with it: prescriptions, files, documents, age, sender."""

from collections.abc import Callable, Iterator
from typing import Final

from shadefmt.intake.looking import NOT_STATED, TISSUE_ZONES, Look, Unjudged, Unmet, days_between, is_front, same_zone
from shadefmt.model.context import Layer, Prescription, Specimen
from shadefmt.model.demands import (
    AgeDemand,
    AttachmentsDemand,
    DocumentsDemand,
    OrderDemand,
    PrescriptionDemand,
    SenderDemand,
)
from shadefmt.model.judging import Attachment, EmbeddedReferenceSet, EmbeddedTolerance
from shadefmt.vocabulary import PrescriptionItem

SHOWS_A_PERSON: Final = frozenset({"face", "mouth"})


def prescription(look: Look, demand: PrescriptionDemand) -> Iterator[Unmet]:
    """There is an order, and it states what work of its kind needs."""
    if demand.needed and not look.prescriptions:
        yield Unmet("", "the case", "no prescription", "a prescription")
    for pointer, order in look.prescriptions:
        work = look.view.find(order.specimen_id, "specimens")
        asked = [item for each in demand.orders or () if _is_meant(each, order, work) for item in each.items]
        missing = [item for item in dict.fromkeys(asked) if not ITEMS[item](look, order, work)]
        if missing:
            yield Unmet(pointer, order.id, NOT_STATED, ", ".join(missing), order.id)


def _is_meant(demand: OrderDemand, order: Prescription, work: Specimen | None) -> bool:
    thin = demand.thinner_than_mm
    tests = (
        demand.restorations is None or order.restoration in demand.restorations,
        demand.material_classes is None or order.material_class in demand.material_classes,
        demand.supports is None or (work is not None and work.support in demand.supports),
        demand.front is None or (work is not None and is_front(work) == demand.front),
        thin is None or order.thickness_mm is None or order.thickness_mm < thin,
    )
    return all(tests)


Item = Callable[[Look, Prescription, Specimen | None], bool]
"""Whether a prescription states one thing."""


def _layers(order: Prescription) -> list[Layer]:
    return order.layers or []


def _reads(look: Look, specimen_id: str | None, state: str | None = None) -> set[str]:
    """Return the zones in which a specimen was read by instrument or camera, in a state if one is named."""
    return {
        same_zone(each.reading.zone)
        for each in look.numeric()
        if each.reading.specimen_id == specimen_id and (state is None or each.reading.state == state)
    }


def _prescriber(look: Look, order: Prescription, work: Specimen | None) -> bool:
    revisions = look.view.case.revisions or ()
    wanted = order.revision_id or look.view.first_revision_id
    return any(each.id == wanted and each.party_id is not None for each in revisions)


def _measurer(look: Look, order: Prescription, work: Specimen | None) -> bool:
    behind = [each for _, aimed in look.targets_of(order.specimen_id) for each in look.readings_of(aimed)]
    sessions = [look.view.session_of(each) for each in behind]
    return bool(sessions) and all(each is not None and each.party_id is not None for each in sessions)


def _stump_zones(look: Look, order: Prescription, work: Specimen | None) -> bool:
    aimed = {same_zone(each.zone) for _, each in look.targets_of(order.specimen_id)} - TISSUE_ZONES
    read = _reads(look, order.stump_specimen_id)
    return bool(read) and aimed <= read


def _abutment(look: Look, order: Prescription, work: Specimen | None) -> bool:
    stump = look.view.find(order.stump_specimen_id, "specimens")
    return stump is not None and stump.substrate not in (None, "unknown")


def _work_state(look: Look, order: Prescription, work: Specimen | None) -> bool:
    states = [each.reading.state for each in look.readings if each.reading.specimen_id == order.specimen_id]
    return all(each not in (None, "unknown") for each in states)


def _gingiva_target(look: Look, order: Prescription, work: Specimen | None) -> bool:
    for _, aimed in look.targets_of(order.specimen_id):
        part = look.view.find(aimed.specimen_id, "specimens")
        if aimed.zone in TISSUE_ZONES or (part is not None and part.kind in ("gingiva", "denture-base")):
            return True
    return False


def _gingiva_tolerance(look: Look, order: Prescription, work: Specimen | None) -> bool:
    stated = look.view.case.tolerances or ()
    return any(each.tissue in ("gingiva", "denture-base") and look.counts(each.id) for each in stated)


def _pictures(least: int) -> Item:
    def stated(look: Look, order: Prescription, work: Specimen | None) -> bool:
        named = (look.view.find(each, "attachments") for each in order.attachment_ids or ())
        pictures = {each.id for each in named if each is not None and each.media_type.startswith("image/")}
        return len({each for each in pictures if look.counts(each)}) >= least

    return stated


ITEMS: Final[dict[PrescriptionItem, Item]] = {
    "tooth": lambda look, order, work: work is not None and not (work.tooth is None and work.area is None),
    "due": lambda look, order, work: order.due is not None,
    "prescriber": _prescriber,
    "measurer": _measurer,
    "material-class": lambda look, order, work: order.material_class not in (None, "unknown"),
    "thickness": lambda look, order, work: order.thickness_mm is not None,
    "cement": lambda look, order, work: order.cement is not None,
    "layers": lambda look, order, work: bool(order.layers),
    "lots": lambda look, order, work: bool(order.layers) and all(each.lot is not None for each in _layers(order)),
    "stump": lambda look, order, work: look.view.find(order.stump_specimen_id, "specimens") is not None,
    "stump-colour": lambda look, order, work: bool(_reads(look, order.stump_specimen_id)),
    "stump-zones": _stump_zones,
    "abutment": _abutment,
    "try-in-reading": lambda look, order, work: bool(_reads(look, order.specimen_id, "tried-in")),
    "work-state": _work_state,
    "gingiva-target": _gingiva_target,
    "gingiva-tolerance": _gingiva_tolerance,
    "texture": lambda look, order, work: order.texture is not None,
    "picture": _pictures(1),
    "two-pictures": _pictures(2),
}
"""What each item means."""


def attachments(look: Look, demand: AttachmentsDemand) -> Iterator[Unmet | Unjudged]:
    """Files are at hand and as they were sent; pictures are what they are meant for."""
    for index, stated in enumerate(look.view.case.attachments or ()):
        if not look.counts(stated.id):
            continue
        pointer = f"/attachments/{index}"
        if demand.uses is None or set(demand.uses) & set(stated.use or ()):
            yield from _at_hand(look, stated, pointer)
        altered = demand.processing is not None and (stated.processing or "unknown") not in demand.processing
        if altered and "colour" in (stated.use or ()):
            found, wanted = stated.processing or "processing not stated", " or ".join(demand.processing or ())
            yield Unmet(pointer, stated.path, found, wanted, stated.id)
        if demand.consent and SHOWS_A_PERSON & set(stated.shows or ()) and stated.consent != "yes":
            yield Unmet(pointer, stated.path, "no stated consent", "consent", stated.id)


def _at_hand(look: Look, stated: Attachment, pointer: str) -> Iterator[Unmet | Unjudged]:
    if look.files is None:
        yield Unjudged()
        return
    facts = look.files.get(stated.path)
    if facts is None:
        yield Unmet(pointer, stated.path, "not at hand", "the file that was sent", stated.id)
    elif (facts.sha256, facts.size_bytes) != (stated.sha256, stated.size_bytes):
        yield Unmet(pointer, stated.path, "another file", "the file that was sent", stated.id)


def documents(look: Look, demand: DocumentsDemand) -> Iterator[Unmet | Unjudged]:
    """Documents that the case copies from are pinned, at hand, and those that are pinned."""
    case = look.view.case
    asked: list[tuple[str, EmbeddedReferenceSet | EmbeddedTolerance]] = []
    if demand.reference_sets:
        asked += [(f"/reference_sets/{index}", each) for index, each in enumerate(case.reference_sets or ())]
    if demand.tolerances:
        asked += [(f"/tolerances/{index}", each) for index, each in enumerate(case.tolerances or ())]
    for pointer, embedded in asked:
        pin = embedded.document
        if not look.counts(embedded.id):
            continue
        if pin is None:
            yield Unmet(pointer, embedded.id, "no document named", "the document that it was copied from", embedded.id)
        elif pin.id not in look.documents:
            yield Unjudged()
        elif look.documents[pin.id] != pin.sha256:
            yield Unmet(pointer, embedded.id, "another version of the document", "the version named", embedded.id)


def age(look: Look, demand: AgeDemand) -> Iterator[Unmet | Unjudged]:
    """Readings behind targets are recent when work is ordered, or at the check where nobody says when that was."""
    moments = {each.id: each.at for each in look.view.case.revisions or ()}
    wanted = f"at most {demand.days_at_most:g} days before the order"
    for _, order in look.prescriptions:
        ordered = moments.get(order.revision_id or look.view.first_revision_id or "", look.as_of)
        for pointer, aimed in look.targets_of(order.specimen_id):
            moments_read = [look.read_at(each) for each in look.readings_of(aimed)]
            if moments_read and ordered is None:
                yield Unjudged()
                continue
            days = [days_between(each, ordered) if each and ordered else None for each in moments_read]
            if None in days:
                yield Unmet(pointer, aimed.id, "readings whose age is not known", wanted, aimed.id)
                continue
            oldest = max((each for each in days if each is not None), default=0.0)
            if oldest > demand.days_at_most:
                yield Unmet(pointer, aimed.id, f"a reading {oldest:.4g} days before", wanted, aimed.id)


def sender(look: Look, demand: SenderDemand) -> Iterator[Unmet]:
    """A party that takes part says who it is."""
    roles = demand.roles
    parties = [each for each in look.view.case.parties or () if look.counts(each.id)]
    fit = [each for each in parties if roles is None or each.role in roles]
    wanted = " or ".join(roles) if roles is not None else "a party"
    if not fit:
        yield Unmet("", "the case", "no such party", wanted)
    elif demand.code and not any(each.code is not None for each in fit):
        yield Unmet("", "the case", "no party with a code", f"{wanted} with its code")
