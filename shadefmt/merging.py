"""Two versions of one case become one: the union of their entries, or findings; never a choice made in silence."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from shadefmt.history import Value, in_member_order
from shadefmt.jsontext import digest, pointer_of
from shadefmt.referring import ENTRY_LISTS
from shadefmt.versions import FORMAT_VERSIONS, is_later

UNITED: Final = (*ENTRY_LISTS, "revisions")
"""Root lists that are united by id; every other root member but `version` has to be the same in both."""


@dataclass(frozen=True)
class Conflict:
    """A place where two versions say different things."""

    code: str
    pointer: str
    message: str


@dataclass(frozen=True)
class Merged:
    """The union, absent where the versions contradict each other, and the contradictions."""

    case: Value | None
    conflicts: list[Conflict]


def merge(one: Value, other: Value) -> Merged:
    """Unite two versions of one case.

    Entries are united by id and ordered by their revisions: parents before children, then by time, then by id; within a
    revision in the order they had. Of two known versions of the format the union states the newer. Both orders of
    the arguments give the same case. No revision is added; a party that goes on from here adds one, which then builds
    on the ends of both.
    """
    conflicts = [*_root(one, other), *_entries(one, other)]
    if conflicts:
        return Merged(None, conflicts)
    order = _order({each["id"]: each for case in (one, other) for each in case.get("revisions", [])})
    return Merged(in_member_order(_united(one, other, order)), [])


def _root(one: Value, other: Value) -> Iterator[Conflict]:
    if one.get("id") != other.get("id"):
        yield Conflict("merge-other-case", "/id", f"{one.get('id')} and {other.get('id')} are two cases")
        return
    for name in {**one, **other}:
        if name == "version" and all(case.get(name) in FORMAT_VERSIONS for case in (one, other)):
            continue
        if name not in UNITED and (name in one) != (name in other):
            where = "second" if name in one else "first"
            yield Conflict("merge-root-differs", pointer_of([name]), f"the member {name} is missing in the {where}")
        elif name not in UNITED and digest({name: one[name]}) != digest({name: other[name]}):
            yield Conflict("merge-root-differs", pointer_of([name]), f"the member {name} differs")
    roots = [_first(case) for case in (one, other)]
    if roots[0] != roots[1]:
        text = f"one begins with {roots[0] or 'no revision'}, the other with {roots[1] or 'no revision'}"
        yield Conflict("merge-begins-differently", "/revisions/0", text)


def _first(case: Value) -> str | None:
    return case["revisions"][0]["id"] if case.get("revisions") else None


def _entries(one: Value, other: Value) -> Iterator[Conflict]:
    """Yield every id that names different things in the two versions."""
    known = dict(_by_id(one))
    for entry_id, (name, pointer, entry) in _by_id(other):
        if entry_id not in known:
            continue
        first_name, first_pointer, first = known[entry_id]
        if name != first_name:
            text = f"{entry_id} is in {first_name} of the first and in {name} of the second"
            yield Conflict("merge-entry-differs", first_pointer, text)
        elif digest(entry) != digest(first):
            yield Conflict("merge-entry-differs", first_pointer, f"{entry_id} of {name} differs (second: {pointer})")


def _by_id(case: Value) -> Iterator[tuple[str, tuple[str, str, Value]]]:
    for name in UNITED:
        for index, entry in enumerate(case.get(name, [])):
            yield entry["id"], (name, f"/{name}/{index}", entry)


def _order(revisions: dict[str, Value]) -> list[str]:
    """Return revision ids so that parents come first; among those that are free, the earlier, then the smaller id."""
    waiting = dict(revisions)
    found: list[str] = []
    while waiting:
        free = [
            each
            for each in waiting.values()
            if all(parent["revision_id"] not in waiting for parent in each.get("parents", []))
        ]
        chosen = min(free or waiting.values(), key=lambda each: (each["at"], each["id"]))
        found.append(chosen["id"])
        del waiting[chosen["id"]]
    return found


def _united(one: Value, other: Value, order: list[str]) -> Value:
    first = _first(one)
    rank = {revision_id: place for place, revision_id in enumerate(order)}
    united: dict[str, Any] = {}
    for name in {**one, **other}:
        if name not in UNITED:
            raised = name == "version" and one[name] != other[name] and is_later(other[name], one[name])
            united[name] = (other if raised else one)[name]
            continue
        entries = {each["id"]: each for case in (one, other) for each in case.get(name, [])}
        if name == "revisions":
            united[name] = [entries[each] for each in order]
        else:
            united[name] = sorted(entries.values(), key=lambda each: _place(each, rank, first))
    return united


def _place(entry: Value, rank: dict[str, int], first: str | None) -> int:
    return rank.get(entry.get("revision_id") or first or "", -1)
