"""Rules on revisions and withdrawals: nobody rewrites what another party wrote."""

from collections import Counter
from collections.abc import Iterator
from typing import Any, Final

from shadefmt.history import as_it_was
from shadefmt.jsontext import digest
from shadefmt.referring import ENTRY_LISTS
from shadefmt.rules.base import Hit, Matter, Rule
from shadefmt.timestamps import is_after
from shadefmt.versions import FORMAT_VERSIONS, is_later

MOST_WITHDRAWN: Final = 1 / 3
"""Share of the readings of one zone above which withdrawals are remarked on (proposal, no source)."""


def revision_digest_differs(matter: Matter) -> Iterator[Hit]:
    """What a revision built on is not what the document holds now."""
    view = matter.view
    for index, revision in enumerate(view.case.revisions or ()):
        for place, parent in enumerate(revision.parents or ()):
            if parent.revision_id in view.ancestors and parent.revision_id != revision.id:
                found = digest(as_it_was(matter.value, parent.revision_id))
                if found != parent.sha256:
                    params = {"revision": parent.revision_id, "stated": parent.sha256, "found": found}
                    yield Hit(f"/revisions/{index}/parents/{place}/sha256", params, revision.id)


def revision_parent_later(matter: Matter) -> Iterator[Hit]:
    """A revision builds on itself or on one that is listed after it."""
    revisions = matter.view.case.revisions or []
    places = {each.id: index for index, each in reversed(list(enumerate(revisions)))}
    for index, revision in enumerate(revisions):
        for place, parent in enumerate(revision.parents or ()):
            if places.get(parent.revision_id, -1) >= index:
                pointer = f"/revisions/{index}/parents/{place}/revision_id"
                yield Hit(pointer, {"revision": parent.revision_id}, revision.id)


def revision_without_parent(matter: Matter) -> Iterator[Hit]:
    """A revision after the first names nothing that it builds on."""
    for index, revision in enumerate(matter.view.case.revisions or ()):
        if index and not revision.parents:
            yield Hit(f"/revisions/{index}", {"revision": revision.id}, revision.id)


def revisions_out_of_order(matter: Matter) -> Iterator[Hit]:
    """A revision is dated before one that it builds on."""
    revisions = matter.view.case.revisions or []
    dated = {each.id: each.at for each in revisions}
    for index, revision in enumerate(revisions):
        for parent in revision.parents or ():
            earlier = dated.get(parent.revision_id)
            if earlier is not None and is_after(earlier, revision.at):
                params = {"at": revision.at, "parent": parent.revision_id, "parent_at": earlier}
                yield Hit(f"/revisions/{index}/at", params, revision.id)


def withdrawals_many(matter: Matter) -> Iterator[Hit]:
    """More than a third of the readings of one zone, and at least two, were withdrawn."""
    view = matter.view
    taken: Counter[tuple[str, str, str | None]] = Counter()
    dropped: Counter[tuple[str, str, str | None]] = Counter()
    place: dict[tuple[str, str, str | None], str] = {}
    for index, reading in enumerate(view.case.readings or ()):
        key: tuple[str, str, str | None] = (reading.specimen_id, reading.zone, reading.session_id)
        taken[key] += 1
        if reading.id in view.withdrawn:
            dropped[key] += 1
            place.setdefault(key, f"/readings/{index}")
    for where, count in dropped.items():
        if count >= 2 and count > MOST_WITHDRAWN * taken[where]:
            params = {"withdrawn": count, "readings": taken[where], "specimen": where[0], "zone": where[1]}
            yield Hit(place[where], params)


def previous_entry_changed(matter: Matter) -> Iterator[Hit]:
    """An entry of the earlier version has another content now."""
    now = _entries(matter.value)
    for entry_id, (name, _, entry) in _entries(matter.supplied.previous or {}).items():
        found = now.get(entry_id)
        if found is not None and (found[0] != name or digest(found[2]) != digest(entry)):
            yield Hit(found[1], {"id": entry_id, "list": name}, entry_id)


def previous_entry_vanished(matter: Matter) -> Iterator[Hit]:
    """An entry of the earlier version is no longer there."""
    now = _entries(matter.value)
    for entry_id, (name, _, _) in _entries(matter.supplied.previous or {}).items():
        if entry_id not in now:
            pointer = f"/{name}" if name in matter.value else ""
            yield Hit(pointer, {"id": entry_id, "list": name})


def previous_root_changed(matter: Matter) -> Iterator[Hit]:
    """A member of the root that is no list of entries differs from the earlier version."""
    previous = matter.supplied.previous or {}
    for name in {**previous, **matter.value}:
        if name in (*ENTRY_LISTS, "revisions") or (name == "version" and _raised(previous, matter.value)):
            continue
        if (name in previous) != (name in matter.value) or digest([previous[name]]) != digest([matter.value[name]]):
            yield Hit(f"/{name}" if name in matter.value else "", {"member": name})


def _raised(previous: dict[str, Any], value: dict[str, Any]) -> bool:
    """Whether a case states a later version of the format than before: what was added needed it."""
    return previous.get("version") in FORMAT_VERSIONS and is_later(value["version"], previous["version"])


def _entries(case: dict[str, Any]) -> dict[str, tuple[str, str, dict[str, Any]]]:
    """Return the entries and revisions of a case by id: list, place, content. Takes any value without complaint."""
    found: dict[str, tuple[str, str, dict[str, Any]]] = {}
    for name in (*ENTRY_LISTS, "revisions"):
        entries = case.get(name)
        for index, entry in enumerate(entries if isinstance(entries, list) else ()):
            if isinstance(entry, dict) and isinstance(entry.get("id"), str):
                found.setdefault(entry["id"], (name, f"/{name}/{index}", entry))
    return found


RULES: Final[dict[str, Rule]] = {
    "revision-digest-differs": revision_digest_differs,
    "revision-parent-later": revision_parent_later,
    "revision-without-parent": revision_without_parent,
    "revisions-out-of-order": revisions_out_of_order,
    "withdrawals-many": withdrawals_many,
    "previous-entry-changed": previous_entry_changed,
    "previous-entry-vanished": previous_entry_vanished,
    "previous-root-changed": previous_root_changed,
}
