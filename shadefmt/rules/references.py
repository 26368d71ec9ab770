"""Rules on ids and on members that refer to them."""

from collections.abc import Iterator
from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.intake import WaiverList
from shadefmt.model.reference_set import ReferenceSet
from shadefmt.referring import COLOURED, ENTRY_LISTS, WITHDRAWABLE, referring_members
from shadefmt.rules.base import Hit, Matter, Rule


def id_reused(matter: Matter) -> Iterator[Hit]:
    """Two entries, or two revisions, have the same id."""
    if isinstance(matter.root, ReferenceSet):
        yield from _reused("references", [each.id for each in matter.root.references])
        return
    if isinstance(matter.root, WaiverList):
        yield from _reused("waivers", [each.id for each in matter.root.waivers])
        return
    view = matter.view
    for entry_id, first, again in view.repeated:
        yield Hit(f"{again}/id", {"id": entry_id, "first": first}, entry_id)
    places: dict[str, str] = {}
    for index, revision in enumerate(view.case.revisions or ()):
        pointer = f"/revisions/{index}"
        taken = view.entries.get(revision.id)
        first = places.setdefault(revision.id, taken.pointer if taken else pointer)
        if first != pointer:
            yield Hit(f"{pointer}/id", {"id": revision.id, "first": first}, revision.id)


def _reused(list_name: str, ids: list[str]) -> Iterator[Hit]:
    seen: dict[str, str] = {}
    for index, name in enumerate(ids):
        first = seen.setdefault(name, f"/{list_name}/{index}")
        if first != f"/{list_name}/{index}":
            yield Hit(f"/{list_name}/{index}/id", {"id": name, "first": first}, name)


def reference_dangling(matter: Matter) -> Iterator[Hit]:
    """A member names an entry that does not exist."""
    view = matter.view
    revisions = {each.id for each in view.case.revisions or ()}
    for pointer, entry_id, member, named, _ in view.references:
        if named not in view.entries and named not in revisions:
            yield Hit(f"{pointer}/{member}", {"id": named, "member": member}, entry_id)


def reference_of_other_kind(matter: Matter) -> Iterator[Hit]:
    """A member names an entry of a list that it must not point into."""
    view = matter.view
    revisions = {each.id for each in view.case.revisions or ()}
    for pointer, entry_id, member, named, allowed in view.references:
        located = view.entries.get(named)
        found = [located.list_name] if located is not None else []
        found += ["revisions"] if named in revisions else []
        if found and not set(found) & set(allowed):
            meant = ["any list but withdrawals"] if allowed is WITHDRAWABLE else list(allowed)
            params = {"id": named, "member": member, "found": found[0], "allowed": meant}
            yield Hit(f"{pointer}/{member}", params, entry_id)


def reference_to_later_revision(matter: Matter) -> Iterator[Hit]:
    """An entry refers to one that its own revision cannot have known."""
    view = matter.view
    if len(view.case.revisions or ()) < 2:
        return
    for pointer, entry_id, member, named, allowed in view.references:
        located, own = view.entries.get(named), _entry_at(view, pointer)
        if located is None or own is None or allowed == ("revisions",):
            continue
        named_in, own_in = _revision_of(view, located.entry), _revision_of(view, own)
        if own_in in view.ancestors and named_in in view.ancestors and named_in not in view.ancestors[own_in]:
            params = {"id": named, "revision": own_in, "later_revision": named_in}
            yield Hit(f"{pointer}/{member}", params, entry_id)


def reference_to_itself(matter: Matter) -> Iterator[Hit]:
    """An entry names itself."""
    for pointer, entry_id, member, named, _ in matter.view.references:
        if named == entry_id:
            yield Hit(f"{pointer}/{member}", {"id": named, "member": member}, entry_id)


def withdrawn_in_use(matter: Matter) -> Iterator[Hit]:
    """A target, match, comparison or verdict that counts rests on an entry that was withdrawn."""
    view = matter.view
    for name in ("targets", "matches", "comparisons", "verdicts"):
        for index, entry in enumerate(getattr(view.case, name) or ()):
            if entry.id in view.withdrawn:
                continue
            for member, named, allowed in referring_members(entry, name):
                if named in view.withdrawn and member != "supersedes_id" and set(allowed) <= _JUDGED:
                    yield Hit(f"/{name}/{index}/{member}", {"id": named}, entry.id)


def specimen_never_read(matter: Matter) -> Iterator[Hit]:
    """A specimen is listed but nobody read it; restorations may not be made yet."""
    view = matter.view
    read = {each.specimen_id for each in view.case.readings or ()}
    wholes = {each.part_of_id for each in view.case.specimens if each.part_of_id}
    for index, specimen in enumerate(view.case.specimens):
        if specimen.kind != "restoration" and specimen.id not in read | wholes:
            yield Hit(f"/specimens/{index}", {"id": specimen.id, "specimen_kind": specimen.kind}, specimen.id)


_JUDGED: Final = frozenset({*COLOURED, "comparisons", "tolerances", "reference_sets"})


def _entry_at(view: CaseView, pointer: str) -> object | None:
    """Return the entry that stands at a place or around it; ids do not tell two of one id apart."""
    _, name, *inner = pointer.split("/")
    return getattr(view.case, name)[int(inner[0])] if name in ENTRY_LISTS else None


def _revision_of(view: CaseView, entry: object) -> str | None:
    stated: str | None = getattr(entry, "revision_id", None)
    return stated or view.first_revision_id


RULES: Final[dict[str, Rule]] = {
    "id-reused": id_reused,
    "reference-dangling": reference_dangling,
    "reference-of-other-kind": reference_of_other_kind,
    "reference-to-later-revision": reference_to_later_revision,
    "reference-to-itself": reference_to_itself,
    "withdrawn-in-use": withdrawn_in_use,
    "specimen-never-read": specimen_never_read,
}
