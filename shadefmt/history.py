"""The document as it was at one of its revisions."""

from collections.abc import Iterable, Mapping
from typing import Any

from shadefmt.indexing import ENTRY_LISTS

Value = dict[str, Any]


def as_it_was(case: Value, revision_id: str) -> Value:
    """Return the case as it was at a revision: its entries and those of its ancestors, nothing later.

    Members of the root that are not lists of entries stay; lists that become empty are left out.
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
