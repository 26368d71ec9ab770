"""The entities of one case while its rows are read: equal ones are shared, contradicting ones refused."""

from collections.abc import Hashable
from typing import Any, Final

from shadefmt.converters.table.fields import Cells
from shadefmt.converters.table.parts import Names, Outcome, Part, Values, assembled
from shadefmt.converters.table.plan import Group, Plan
from shadefmt.errors import Refused

ROOTS: Final = {
    "party": "parties",
    "instrument": "instruments",
    "specimen": "specimens",
    "session": "sessions",
}
"""Root lists of a case, in its order."""


class Shelf:
    """The entries of one root list of a case.

    Entries with equal members are one entry. Where a key is stated, entries with the same key are one, and what
    later rows add to it is added; a later row that says otherwise is refused.
    """

    def __init__(self, entity: str) -> None:
        self._entity = entity
        self._entries: dict[Hashable, tuple[Values, int]] = {}

    def place(self, values: Values, mark: Hashable, line: int, *, keyed: bool) -> str:
        """Return the id of the entry with this mark, which is a key or stands for equal members."""
        entry = self._entries.get(mark)
        if entry is None:
            name = f"{self._entity}-{len(self._entries) + 1}"
            self._entries[mark] = entry = ({("id",): name, **values}, line)
        elif keyed:
            self._merge(entry, values, line)
        return str(entry[0]["id",])

    def _merge(self, entry: tuple[Values, int], values: Values, line: int) -> None:
        known, first = entry
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
        return [assembled(self._entity, values) for values, _ in self._entries.values()]


class Shelves:
    """All entities of one case."""

    def __init__(self, plan: Plan) -> None:
        self._keys = plan.keys
        self._shelves = {entity: Shelf(entity) for group in plan.groups for entity in group.parts}

    def place(self, group: Group, line: int, row: Cells, outcomes: list[Outcome]) -> tuple[str | None, str]:
        """Take up what a row says of things; return the ids of session and specimen."""
        ids: dict[str, str] = {}
        links: Values = {}
        for entity, part in group.parts.items():
            found = part.read(line, row)
            outcomes += found.outcomes
            values = found.values
            key = self._key(entity, part, row)
            if entity == "session" and links:
                values = links | values
            if values or key is not None:
                mark = (found.mark, *links.values()) if key is None else key
                ids[entity] = self._shelves[entity].place(values, mark, line, keyed=key is not None)
                if entity in ("party", "instrument"):
                    links[f"{entity}_id",] = ids[entity]
        return ids.get("session"), ids["specimen"]

    def _key(self, entity: str, part: Part, row: Cells) -> tuple[Hashable, ...] | None:
        """The texts of stated columns that tell an entity from others; None where its members do.

        A case has one privacy block and one subject; what contradicts them is refused.
        """
        if entity in ("privacy", "subject"):
            return ()
        if entity not in self._keys:
            return None
        texts = tuple(text.strip() for text in self._keys[entity](row))
        return (texts, *part.constants.items()) if any(texts) else None

    def one(self, entity: str) -> dict[str, dict[str, Any]]:
        """Return an entity that a case has once, under its name, or nothing."""
        entries = self._shelves[entity].entries() if entity in self._shelves else []
        return {entity: entries[0]} if entries and entries[0] else {}

    def lists(self) -> dict[str, list[dict[str, Any]]]:
        """Return the root lists that have entries."""
        made = {root: self._shelves[entity].entries() for entity, root in ROOTS.items() if entity in self._shelves}
        return {root: entries for root, entries in made.items() if entries}
