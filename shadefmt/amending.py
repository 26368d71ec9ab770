"""The life of a case: adding a revision, renaming before a union."""

from collections.abc import Mapping
from typing import Any

from shadefmt.errors import WrongUse
from shadefmt.history import Value, add_entries, as_it_was
from shadefmt.jsontext import digest
from shadefmt.limits import MAX_ID_CHARACTERS
from shadefmt.referring import ENTRY_LISTS


def add_revision(case: Value, revision: Value, additions: Mapping[str, list[Value]]) -> Value:
    """Return the case with one more revision and its entries.

    The newest revisions that nothing builds on yet become the parents, each with the digest of the case as it
    was; entries get the new `revision_id` unless it is the first revision.

    Raises:
        WrongUse: an id is taken already, or a list is none of a case.
    """
    revisions = case.get("revisions", [])
    taken = {each["id"] for name in (*ENTRY_LISTS, "revisions") for each in case.get(name, [])}
    if revision["id"] in taken:
        raise WrongUse(f"the id {revision['id']!r} is taken in this case; ids are never used again")
    built_on = {parent["revision_id"] for each in revisions for parent in each.get("parents", [])}
    heads = [each["id"] for each in revisions if each["id"] not in built_on]
    parents = [{"revision_id": head, "sha256": digest(as_it_was(case, head))} for head in heads]
    marked = additions
    if heads:
        marked = {
            name: [_with_revision(entry, revision["id"]) for entry in entries] for name, entries in additions.items()
        }
    written = {**revision, **({"parents": parents} if parents else {})}
    order = ("id", "party_id", "at", "parents", "producer", "note")
    written = {name: written[name] for name in order if name in written}
    return add_entries({**case, "revisions": [*revisions, written]}, marked)


def _with_revision(entry: Value, revision_id: str) -> Value:
    rest = {name: item for name, item in entry.items() if name not in ("id", "revision_id")}
    return {"id": entry["id"], "revision_id": revision_id, **rest}


def renamed(case: Value, prefix: str) -> Value:
    """Return the entry lists of a case with a prefix before every id and before every reference to one.

    For bringing entries of two sources together, whose ids were given by position.

    Raises:
        WrongUse: an id would become longer than an id may be.
    """
    return {name: [_renamed(each, prefix) for each in case[name]] for name in ENTRY_LISTS if name in case}


def _renamed(item: Any, prefix: str) -> Any:
    if isinstance(item, list):
        return [_renamed(each, prefix) for each in item]
    if not isinstance(item, dict):
        return item
    made: Value = {}
    for name, inner in item.items():
        if name == "id" or name.endswith("_id"):
            made[name] = _prefixed(prefix, inner)
        elif name.endswith("_ids"):
            made[name] = [_prefixed(prefix, each) for each in inner]
        elif name in ("document", "other"):  # other documents keep their own ids
            made[name] = inner
        else:
            made[name] = _renamed(inner, prefix)
    return made


def _prefixed(prefix: str, entry_id: str) -> str:
    if len(prefix + entry_id) > MAX_ID_CHARACTERS:
        raise WrongUse(f"{prefix + entry_id!r} is longer than {MAX_ID_CHARACTERS} characters. Use a shorter prefix")
    return prefix + entry_id
