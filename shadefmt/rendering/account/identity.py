"""Which case it is and what is asked: the head of every way of showing a case."""

from typing import NamedTuple

from shadefmt.indexing import CaseView
from shadefmt.model.context import Layer, Prescription, Specimen
from shadefmt.rendering.account.choices import label
from shadefmt.rendering.account.names import case_name, party_name, read_on, specimen_name, tooth_name
from shadefmt.rendering.dates import date_words
from shadefmt.rendering.figures import as_given, counted, listed, sentence
from shadefmt.rendering.visible import flowing, visible
from shadefmt.rendering.words import RELATIONS
from shadefmt.rendering.work_words import GROUPS, MATERIALS, RESTORATIONS, SUPPORTS


class Identity(NamedTuple):
    """A case in a line: whose, from whom, which teeth, which work, when read, when due. Absent is None."""

    name: str
    sender: str | None
    teeth: list[str]
    tooth_words: str | None
    work: list[str]
    read_on: str | None
    due: str | None


class Order(NamedTuple):
    """A prescription in sentences."""

    heading: str
    sentences: list[str]


def identity(view: CaseView) -> Identity:
    """Return what tells a case from others."""
    specimens = _about(view)
    teeth = sorted({each.tooth for each in specimens if each.tooth is not None})
    orders = orders_that_count(view)
    due = sorted({each.due for each in orders if each.due is not None})
    readings = [each for each in view.case.readings or () if each.id not in view.withdrawn]
    return Identity(
        name=case_name(view),
        sender=sender(view),
        teeth=teeth,
        tooth_words=tooth_name(teeth[0]) if len(teeth) == 1 else None,
        work=list(dict.fromkeys(RESTORATIONS[each.restoration] for each in orders)),
        read_on=read_on(view, readings) or None,
        due=date_words(due[0]) if due else None,
    )


def orders_that_count(view: CaseView) -> list[Prescription]:
    """Return the prescriptions that were not withdrawn."""
    return [each for each in view.case.prescriptions or () if each.id not in view.withdrawn]


def sender(view: CaseView) -> str | None:
    """Return who began the case: the party of the first revision, else the first clinic, else the first party."""
    revisions, parties = view.case.revisions or (), view.case.parties or ()
    if revisions and revisions[0].party_id is not None:
        return party_name(view, revisions[0].party_id)
    clinics = [each for each in parties if each.role == "clinic"] or list(parties)
    return party_name(view, clinics[0].id) if clinics else None


def _about(view: CaseView) -> list[Specimen]:
    """Return what the case is about: the work ordered, else what has a target, else restorations, else all."""
    specimens = [each for each in view.case.specimens if each.id not in view.withdrawn]
    ordered = {each.specimen_id for each in orders_that_count(view)}
    aimed = {each.specimen_id for each in view.case.targets or () if each.id not in view.withdrawn}
    for chosen in (
        [each for each in specimens if each.id in ordered],
        [each for each in specimens if each.id in aimed],
        [each for each in specimens if each.kind == "restoration"],
    ):
        if any(each.tooth is not None for each in chosen):
            return chosen
    return specimens


def orders(view: CaseView) -> list[Order]:
    """Return every prescription in two or three sentences."""
    return [_order(view, each) for each in orders_that_count(view)]


def _order(view: CaseView, order: Prescription) -> Order:
    work: Specimen | None = view.find(order.specimen_id, "specimens")
    tooth = work.tooth if work is not None else None
    what = RESTORATIONS[order.restoration]
    where = f" for tooth {tooth} ({tooth_name(tooth)})" if tooth is not None else ""
    if work is not None and work.support is not None:
        where += f", {SUPPORTS[work.support]}"
    of = f" of {MATERIALS[order.material_class]}" if order.material_class is not None else ""
    sentences = [f"A {what}{of}{where}." if what[0] not in "aeiou" else f"An {what}{of}{where}."]
    if order.material_class is None:
        sentences.append("The material is not stated.")
    if order.thickness_mm is not None:
        sentences.append(f"At its thinnest {as_given(order.thickness_mm)} mm.")
    if order.layers is not None:
        sentences.append(sentence(f"from the inside out {listed([_layer(view, each) for each in order.layers])}"))
    sentences.append(f"Needed on {date_words(order.due)}." if order.due else "When it is needed is not stated.")
    if order.texture is not None:
        sentences.append(sentence(f"Surface, in the sender's words: {flowing(order.texture)}"))
    if order.attachment_ids is not None:
        sentences.append(f"{counted(len(order.attachment_ids), 'file belongs', 'files belong')} to it.")
    return Order(specimen_name(view, order.specimen_id), sentences)


def _layer(view: CaseView, layer: Layer) -> str:
    words = flowing(layer.material) if layer.material is not None else ""
    if layer.reference_id is not None:
        words = f"{words} ({label(view, layer.reference_id)})" if words else label(view, layer.reference_id)
    words = words or "a material not named"
    if layer.thickness_mm is not None:
        words += f" {as_given(layer.thickness_mm)} mm"
    return f"{words}, lot {flowing(layer.lot)}" if layer.lot is not None else words


def relations(view: CaseView) -> list[str]:
    """Return how the case stands to others, in sentences."""
    found = []
    for each in view.case.relations or ():
        if each.id in view.withdrawn:
            continue
        other = visible(each.other.id) if each.other.id is not None else "another case"
        if each.other.id is None and each.other.sha256 is not None:
            other = f"the case with the digest {each.other.sha256[:12]}"
        paper = " on paper" if each.other.on_paper else ""
        note = f": {flowing(each.note)}" if each.note is not None else ""
        found.append(sentence(f"this case is {RELATIONS[each.relation]} {other}{paper}{note}"))
    return found


def groups(view: CaseView) -> list[str]:
    """Return which specimens belong together, in sentences."""
    found = []
    for each in view.case.groups or ():
        if each.id not in view.withdrawn:
            names = listed([specimen_name(view, one) for one in each.specimen_ids])
            called = f", called {flowing(each.label)}" if each.label is not None else ""
            found.append(sentence(f"{names} belong together as {GROUPS[each.kind]}{called}"))
    return found
