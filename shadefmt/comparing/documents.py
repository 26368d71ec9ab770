"""Two documents compared value by value: entries of root lists by id, else by likeness; everything else by place."""

from collections.abc import Iterator, Mapping
from typing import Any, Literal, NamedTuple

Path = tuple[str | int, ...]


class Difference(NamedTuple):
    """One place where two documents differ. `path` is that of the first; of what was added, that of the second."""

    path: Path
    kind: Literal["missing", "changed", "added"]
    before: Any = None
    after: Any = None


def document_differences(first: Mapping[str, Any], second: Mapping[str, Any]) -> Iterator[Difference]:
    """Yield every difference of two documents, in the order of the first, then what only the second has."""
    for name in (*first, *(each for each in second if each not in first)):
        one, other = first.get(name), second.get(name)
        if _is_entries(one) and _is_entries(other):
            yield from _of_entries((name,), one, other)
        else:
            yield from _of_values((name,), one, other)


def _is_entries(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(each, Mapping) and "id" in each for each in value)


def _of_entries(path: Path, one: Any, other: Any) -> Iterator[Difference]:
    left = {each["id"]: each for each in other}
    pairs = [(entry, left.pop(entry["id"], None)) for entry in one]
    for place, (entry, its) in enumerate(pairs):
        yield from _of_values((*path, place), entry, its if its is not None else _likest(entry, left))
    for place, entry in enumerate(other):
        if entry["id"] in left:
            yield Difference((*path, place), "added", after=entry)


def _likest(entry: Any, left: dict[str, Any]) -> Any:
    """Take the entry that shares the most members with one whose id is not there any more; None if none shares any."""
    shared = {name: sum(each.get(member) == value for member, value in entry.items()) for name, each in left.items()}
    best = max(shared, key=shared.__getitem__, default=None)
    return left.pop(best) if best is not None and shared[best] else None


def _of_values(path: Path, one: Any, other: Any) -> Iterator[Difference]:
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        for name in (*one, *(each for each in other if each not in one)):
            yield from _of_values((*path, name), one.get(name), other.get(name))
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for place, (each, its) in enumerate(zip(one, other, strict=True)):
            yield from _of_values((*path, place), each, its)
    elif one is None and other is not None:
        yield Difference(path, "added", after=other)
    elif other is None and one is not None:
        yield Difference(path, "missing", before=one)
    elif one != other:
        yield Difference(path, "changed", one, other)
