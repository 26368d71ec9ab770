"""A case grows and is never rewritten: as it was at a revision, and with entries added."""

from collections.abc import Iterable, Mapping
from typing import Any

from shadefmt.errors import WrongUse
from shadefmt.model.case import Case
from shadefmt.referring import ENTRY_LISTS
from shadefmt.structure import lowest_version
from shadefmt.versions import is_later

Value = dict[str, Any]


def as_it_was(case: Value, revision_id: str) -> Value:
    """Return the case as it was at a revision: its entries and those of its ancestors, nothing later.

    Members of the root that are not lists of entries stay; lists that become empty are left out. `version` is the
    lowest that defines what is left: a later revision may have needed a newer one.
    """
    revisions = case.get("revisions", [])
    kept = ancestry(revisions, revision_id)
    first = revisions[0]["id"] if revisions else None
    was: Value = {}
    for name, item in case.items():
        if name == "revisions":
            item = [each for each in item if each["id"] in kept]
        elif name in ENTRY_LISTS:
            item = [each for each in item if each.get("revision_id", first) in kept]
        if item or name not in (*ENTRY_LISTS, "revisions"):
            was[name] = item
    if "version" in was:
        was["version"] = lowest_version(was, "case")
    return was


def ancestry(revisions: Iterable[Mapping[str, Any]], revision_id: str) -> set[str]:
    """Return a revision and all that it builds on; unknown parents are left out."""
    by_id = {each["id"]: each for each in revisions}
    found: set[str] = set()
    open_ids = [revision_id]
    while open_ids:
        current = open_ids.pop()
        if current in by_id and current not in found:
            found.add(current)
            open_ids += [parent["revision_id"] for parent in by_id[current].get("parents", [])]
    return found


def in_member_order(case: Value) -> Value:
    """Return the case with its root members in the order of the specification, unknown ones last."""
    order = {name: index for index, name in enumerate(Case.model_fields)}
    return dict(sorted(case.items(), key=lambda item: order.get(item[0], len(order))))


def add_entries(case: Value, additions: Mapping[str, list[Value]]) -> Value:
    """Return the case with entries appended to its root lists, in a newer version where they need one.

    Raises:
        WrongUse: an id is taken already, or a list is none of a case.
    """
    taken = {each["id"] for name in ENTRY_LISTS for each in case.get(name, [])}
    taken |= {each["id"] for each in case.get("revisions", [])}
    grown = dict(case)
    for name, entries in additions.items():
        if name not in ENTRY_LISTS:
            raise WrongUse(f"a case has no list of entries called {name!r}")
        for each in entries:
            if each["id"] in taken:
                raise WrongUse(f"the id {each['id']!r} is taken in this case; ids are never used again")
            taken.add(each["id"])
        if entries:
            grown[name] = [*case.get(name, []), *entries]
    if "version" in grown and is_later(needed := lowest_version(grown, "case"), grown["version"]):
        grown["version"] = needed
    return in_member_order(grown)
