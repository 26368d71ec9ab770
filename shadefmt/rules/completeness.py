"""Rules on what a receiver has to ask for before work starts, and on pinned documents."""

from collections.abc import Iterator
from typing import Final

from shadefmt.model.judging import EmbeddedReferenceSet, EmbeddedTolerance
from shadefmt.rules.base import Hit, Matter, Rule

TRANSLUCENT: Final = frozenset({"glass-ceramic", "feldspathic-ceramic", "hybrid-ceramic", "composite"})
"""Classes of material through which the stump shows (common practice, no source)."""

SHOWS_THROUGH_MM: Final = 2.0
"""Thickness below which a translucent material shows what is beneath (proposal; computed for one slab)."""

THIN_MM: Final = 1.0
"""Thickness up to which cement moves the colour of translucent work (J Prosthodont Res studies, secondary)."""


def prescription_target_missing(matter: Matter) -> Iterator[Hit]:
    """Work is ordered and no colour to reach is stated for it."""
    view = matter.view
    aimed = {each.specimen_id for each in view.case.targets or () if each.id not in view.withdrawn}
    wholes = {part.part_of_id for each in aimed if (part := view.find(each, "specimens")) is not None}
    for index, order in enumerate(view.case.prescriptions or ()):
        if order.specimen_id not in aimed | wholes:
            yield Hit(f"/prescriptions/{index}", {"specimen": order.specimen_id}, order.id)


def stump_colour_missing(matter: Matter) -> Iterator[Hit]:
    """Translucent work is ordered and the colour beneath it is not known."""
    view = matter.view
    read = {each.specimen_id for each in view.case.readings or () if each.id not in view.withdrawn}
    for index, order in enumerate(view.case.prescriptions or ()):
        shows = order.thickness_mm is None or order.thickness_mm < SHOWS_THROUGH_MM
        if order.material_class in TRANSLUCENT and shows and order.stump_specimen_id not in read:
            params = {"specimen": order.specimen_id, "material_class": order.material_class}
            yield Hit(f"/prescriptions/{index}", params, order.id)


def cement_unstated_for_thin_work(matter: Matter) -> Iterator[Hit]:
    """Thin translucent work is ordered and the cement is not stated."""
    for index, order in enumerate(matter.view.case.prescriptions or ()):
        thin = order.thickness_mm is not None and order.thickness_mm <= THIN_MM
        if order.material_class in TRANSLUCENT and thin and order.cement is None:
            yield Hit(f"/prescriptions/{index}", {"thickness_mm": order.thickness_mm}, order.id)


def thickness_unstated_for_translucent(matter: Matter) -> Iterator[Hit]:
    """Translucent work is ordered without a thickness."""
    for index, order in enumerate(matter.view.case.prescriptions or ()):
        if order.material_class in TRANSLUCENT and order.thickness_mm is None:
            yield Hit(f"/prescriptions/{index}", {"material_class": order.material_class}, order.id)


def abutment_unstated(matter: Matter) -> Iterator[Hit]:
    """Work on an implant does not say what the abutment is made of."""
    view = matter.view
    for index, order in enumerate(view.case.prescriptions or ()):
        work = view.find(order.specimen_id, "specimens")
        if work is None or work.support != "implant":
            continue
        stump = view.find(order.stump_specimen_id, "specimens")
        if stump is None or stump.substrate in (None, "unknown"):
            yield Hit(f"/prescriptions/{index}", {"specimen": work.id}, order.id)


def stump_of_other_tooth(matter: Matter) -> Iterator[Hit]:
    """Work for one tooth is ordered on the stump of another."""
    view = matter.view
    for index, order in enumerate(view.case.prescriptions or ()):
        work = view.find(order.specimen_id, "specimens")
        stump = view.find(order.stump_specimen_id, "specimens")
        teeth = [each.tooth for each in (work, stump) if each is not None and each.tooth is not None]
        if len(teeth) == 2 and teeth[0] != teeth[1] and order.restoration not in ("bridge", "denture"):
            params = {"work": teeth[0], "stump": teeth[1]}
            yield Hit(f"/prescriptions/{index}/stump_specimen_id", params, order.id)


def finish_state_unstated(matter: Matter) -> Iterator[Hit]:
    """Finished work was read and nothing says in which state."""
    view = matter.view
    for index, reading in enumerate(view.case.readings or ()):
        specimen = view.specimen_of(reading)
        if specimen is not None and specimen.kind == "restoration" and reading.state in (None, "unknown"):
            yield Hit(f"/readings/{index}", {"reading": reading.id}, reading.id)


def verdict_zones_partial(matter: Matter) -> Iterator[Hit]:
    """Some zones of a work were judged and others with a target were not."""
    view = matter.view
    judged = {each.standard.entry.id for each in view.judgements if each.standard is not None}
    targets = [each for each in view.case.targets or () if each.id not in view.withdrawn]
    replaced = {each.supersedes_id for each in targets}
    begun = {each.specimen_id for each in targets if each.id in judged}
    for target in targets:
        if target.specimen_id in begun and target.id not in judged | replaced:
            params = {"specimen": target.specimen_id, "zone": target.zone}
            yield Hit(view.pointer(target), params, target.id)


def document_digest_differs(matter: Matter) -> Iterator[Hit]:
    """A supplied document is not the one that the case pins."""
    for pointer, entry in _pinned(matter):
        pin = entry.document
        found = matter.supplied.documents.get(pin.id) if pin else None
        if pin is not None and found is not None and found != pin.sha256:
            params = {"document": pin.id, "stated": pin.sha256, "found": found}
            yield Hit(f"{pointer}/document/sha256", params, entry.id)


def document_unpinned(matter: Matter) -> Iterator[Hit]:
    """A reference set is embedded without saying which document it was copied from."""
    for pointer, entry in _pinned(matter):
        if entry.document is None and isinstance(entry, EmbeddedReferenceSet):
            yield Hit(pointer, {"title": entry.title}, entry.id)


def _pinned(matter: Matter) -> Iterator[tuple[str, EmbeddedReferenceSet | EmbeddedTolerance]]:
    case = matter.view.case
    for index, embedded in enumerate(case.reference_sets or ()):
        yield f"/reference_sets/{index}", embedded
    for index, tolerance in enumerate(case.tolerances or ()):
        yield f"/tolerances/{index}", tolerance


RULES: Final[dict[str, Rule]] = {
    "prescription-target-missing": prescription_target_missing,
    "stump-colour-missing": stump_colour_missing,
    "cement-unstated-for-thin-work": cement_unstated_for_thin_work,
    "thickness-unstated-for-translucent": thickness_unstated_for_translucent,
    "abutment-unstated": abutment_unstated,
    "stump-of-other-tooth": stump_of_other_tooth,
    "finish-state-unstated": finish_state_unstated,
    "verdict-zones-partial": verdict_zones_partial,
    "document-digest-differs": document_digest_differs,
    "document-unpinned": document_unpinned,
}
