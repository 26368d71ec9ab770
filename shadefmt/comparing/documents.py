"""Two documents compared value by value: entries of root lists by id, else by order or likeness; the rest by place."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any, Literal, NamedTuple, TypeGuard

from shadefmt.jsontext import pointer_of

Path = tuple[str | int, ...]


class Difference(NamedTuple):
    """One place where two documents differ. `path` is that of the first; of what was added, that of the second.

    `renamed`: the second has other ids, and refers by them to the same entries.
    """

    path: Path
    kind: Literal["missing", "changed", "added", "renamed"]
    before: Any = None
    after: Any = None


class _Comparison:
    """What two documents have in common: which entries of the second are those of the first, under which id."""

    def __init__(self, first: Mapping[str, Any], second: Mapping[str, Any], dropped: Collection[str]) -> None:
        self._pairs: dict[str, list[tuple[Any, Any]]] = {}
        self._ids: dict[str, str] = {}
        for name, entries in first.items():
            others = second.get(name)
            if _is_entries(entries) and _is_entries(others):
                gone = [pointer_of((name, place)) in dropped for place in range(len(entries))]
                self._pairs[name] = _paired(entries, others, gone)
                self._ids |= {one["id"]: its["id"] for one, its in self._pairs[name] if its is not None}

    def differences(self, first: Mapping[str, Any], second: Mapping[str, Any]) -> Iterator[Difference]:
        for name in (*first, *(each for each in second if each not in first)):
            pairs = self._pairs.get(name)
            if pairs is None:
                yield from self._of_values((name,), first.get(name), second.get(name))
                continue
            for place, (one, its) in enumerate(pairs):
                yield from self._of_values((name, place), one, its)
            met = [id(its) for _, its in pairs]
            for place, entry in enumerate(second[name]):
                if id(entry) not in met:
                    yield Difference((name, place), "added", after=entry)

    def _of_values(self, path: Path, one: Any, other: Any) -> Iterator[Difference]:
        if isinstance(one, Mapping) and isinstance(other, Mapping):
            for name in (*one, *(each for each in other if each not in one)):
                yield from self._of_values((*path, name), one.get(name), other.get(name))
        elif _is_objects(one) and _is_objects(other):
            yield from self._of_objects(path, one, other)
        elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
            for place, (each, its) in enumerate(zip(one, other, strict=True)):
                yield from self._of_values((*path, place), each, its)
        elif one is None and other is not None:
            yield Difference(path, "added", after=other)
        elif other is None and one is not None:
            yield Difference(path, "missing", before=one)
        elif one != other:
            renamed = isinstance(one, str) and self._ids.get(one) == other and _refers(path)
            yield Difference(path, "renamed" if renamed else "changed", one, other)

    def _of_objects(self, path: Path, one: Sequence[Any], other: Sequence[Any]) -> Iterator[Difference]:
        left = dict(enumerate(other))
        for place, each in enumerate(one):
            its = left.pop(place, None) if len(one) == len(other) else _likest(each, left)
            yield from self._of_values((*path, place), each, its)
        for place, added in left.items():
            yield Difference((*path, place), "added", after=added)


def document_differences(
    first: Mapping[str, Any], second: Mapping[str, Any], dropped: Collection[str] = ()
) -> Iterator[Difference]:
    """Yield every difference of two documents, in the order of the first, then what only the second has.

    `dropped` are pointers of entries that are known not to be in the second. Where the others have other ids there,
    they are met in their order if as many are left, else by likeness.
    """
    return _Comparison(first, second, dropped).differences(first, second)


def _is_entries(value: Any) -> TypeGuard[list[Any]]:
    return isinstance(value, list) and all(isinstance(each, Mapping) and "id" in each for each in value)


def _is_objects(value: Any) -> TypeGuard[list[Any]]:
    return isinstance(value, list) and all(isinstance(each, Mapping) for each in value)


def _refers(path: Path) -> bool:
    names = [each for each in path if isinstance(each, str)]
    return names[-1].endswith("_id") or names[-1].endswith("_ids")


def _paired(entries: Sequence[Any], others: Sequence[Any], gone: Sequence[bool]) -> list[tuple[Any, Any]]:
    """Pair entries with those of the same id; then the rest, but for what is gone, in order or by likeness."""
    by_id = {each["id"]: each for each in others}
    found = [None if away else by_id.pop(entry["id"], None) for entry, away in zip(entries, gone, strict=True)]
    open_places = [place for place, its in enumerate(found) if its is None and not gone[place]]
    left = dict(enumerate(by_id.values()))
    in_order = len(open_places) == len(left)
    for number, place in enumerate(open_places):
        found[place] = left.pop(number) if in_order else _likest(entries[place], left)
    return list(zip(entries, found, strict=True))


def _likest(entry: Any, left: dict[int, Any]) -> Any:
    """Take the object that shares the most members with one; None if none shares any."""
    shared = {place: sum(each.get(name) == value for name, value in entry.items()) for place, each in left.items()}
    best = max(shared, key=shared.__getitem__, default=None)
    return left.pop(best) if best is not None and shared[best] else None
