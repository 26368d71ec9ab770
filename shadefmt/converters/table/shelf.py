"""The entries of one case while its rows are read: equal ones are shared, contradicting ones refused."""

from collections.abc import Iterator
from typing import Any

from shadefmt.converters.base import numbered
from shadefmt.converters.table.parts import Names, Values, assembled
from shadefmt.errors import Refused


class Shelf:
    """The entries of one root list of a case.

    Entries with equal members are one entry. Where a key is stated, entries with the same key are one, and what
    later rows add to it is added; a later row that says otherwise is refused.
    """

    def __init__(self, entity: str) -> None:
        self._entity = entity
        self._ids: Iterator[str] = numbered(entity)
        self._entries: dict[Any, tuple[str, Values, int]] = {}

    def place(self, values: Values, key: tuple[str, ...] | None, line: int) -> str:
        """Return the id of the entry that has these members or this key."""
        mark = tuple(sorted(values.items())) if key is None else key
        entry = self._entries.get(mark)
        if entry is None:
            self._entries[mark] = entry = (next(self._ids), dict(values), line)
        elif key is not None:
            self._merge(entry, values, line)
        return entry[0]

    def _merge(self, entry: tuple[str, Values, int], values: Values, line: int) -> None:
        _, known, first = entry
        for names, value in values.items():
            if known.setdefault(names, value) != value:
                raise Refused(
                    f"{self._path(names)} is {value!r} here and {known[names]!r} in line {first}",
                    where=f"line {line}",
                    remedy="mend the table, or state other key columns in the mapping",
                )

    def _path(self, names: Names) -> str:
        return ".".join((self._entity, *names))

    def entries(self) -> list[dict[str, Any]]:
        """Return the entries in the order of their ids, as values."""
        return [assembled(self._entity, values, {"id": entry}) for entry, values, _ in self._entries.values()]
