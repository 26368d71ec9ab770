"""The entities of one case while its rows are read: equal ones are shared, contradicting ones refused."""

from collections.abc import Hashable, Mapping, Sequence
from itertools import islice
from typing import Any, Final

from shadefmt.converters.table.fields import Cells
from shadefmt.converters.table.parts import Outcome, Part, PartRead, Values, assembled
from shadefmt.converters.table.plan import Group, Plan
from shadefmt.errors import Refused

ROOTS: Final = {
    "party": "parties",
    "instrument": "instruments",
    "specimen": "specimens",
    "session": "sessions",
}
"""Root lists of a case, in its order."""


Setting = tuple[str | None, Sequence[Outcome]]
"""Session of a reading, and what became of the cells that it and what it refers to were made of."""


class Shelf:
    """The entries of one root list of a case.

    Entries with equal members are one entry. Where a key is stated, entries with the same key are one, and what
    later rows add to it is added; a later row that says otherwise is refused.
    """

    def __init__(self, entity: str) -> None:
        self._entity = entity
        self._entries: dict[Hashable, dict[str, Any]] = {}
        self._known: dict[Hashable, tuple[Values, int]] = {}

    def place(self, found: PartRead, links: Mapping[str, str], mark: Hashable) -> str:
        """Return the id of the entry with these members, which `mark` stands for."""
        entry = self._entries.get(mark)
        if entry is None:
            entry = {"id": f"{self._entity}-{len(self._entries) + 1}", **links, **_copied(found.entry)}
            self._entries[mark] = entry
        return str(entry["id"])

    def place_keyed(self, found: PartRead, links: Mapping[str, str], key: Hashable, line: int) -> str:
        """Return the id of the entry with this key; what a row adds to it is added.

        Raises:
            Refused: a row says otherwise than an earlier one.
        """
        values = {(name,): entry for name, entry in links.items()} | found.values
        known, first = self._known.setdefault(key, (dict(values), line))
        for names, value in values.items():
            if known.setdefault(names, value) != value:
                path = ".".join((self._entity, *names))
                raise Refused(
                    f"{path} is {value!r} here and {known[names]!r} in line {first}",
                    where=f"line {line}",
                    remedy="mend the table, or state other key columns in the mapping",
                )
        name = self.place(found, links, key)
        self._entries[key] = {"id": name, **assembled(self._entity, known)}
        return name

    def entry(self, name: str) -> Mapping[str, Any]:
        """Return the entry with an id; ids count from 1."""
        return next(islice(self._entries.values(), int(name.rpartition("-")[2]) - 1, None))

    def entries(self) -> list[dict[str, Any]]:
        """Return the entries in the order of their ids, as values."""
        return list(self._entries.values())


class Shelves:
    """All entities of one case."""

    def __init__(self, plan: Plan) -> None:
        self._keys = plan.keys
        self._shelves = {entity: Shelf(entity) for group in plan.groups for entity in group.parts}
        self._settings: dict[tuple[str | None, tuple[str, ...]], Setting] = {}

    def setting(self, group: Group, line: int, row: Cells) -> Setting:
        """Take up everything that a row says but of the specimen; return the session and what became of cells."""
        texts = group.name, group.pick_setting(row)
        found = self._settings.get(texts)
        if found is None:
            found = self._settings[texts] = self._setting(group, line, row)
        return found

    def specimen(self, group: Group, found: PartRead, line: int, row: Cells) -> str:
        """Take up what a row says of its specimen; return the id."""
        specimen_id = self._shelve("specimen", group.parts["specimen"], found, {}, line, row)
        if specimen_id is None:
            raise AssertionError("every specimen has a kind")
        return specimen_id

    def _setting(self, group: Group, line: int, row: Cells) -> Setting:
        outcomes: list[Outcome] = []
        links: dict[str, str] = {}
        for entity, part in group.parts.items():
            if entity == "specimen":
                continue
            found = part.read(line, row)
            outcomes += found.outcomes
            name = self._shelve(entity, part, found, links if entity == "session" else {}, line, row)
            if entity == "session":
                return name, outcomes
            if name and entity in ("instrument", "party"):
                links[f"{entity}_id"] = name
        return None, outcomes

    def _shelve(
        self, entity: str, part: Part, found: PartRead, links: Mapping[str, str], line: int, row: Cells
    ) -> str | None:
        """Put what a row says of an entity on its shelf and return its id; None where it says nothing.

        A case has one privacy block and one subject; what contradicts them is refused.
        """
        shelf = self._shelves[entity]
        if entity in self._keys:
            texts = tuple(text.strip() for text in self._keys[entity](row))
            if any(texts):
                return shelf.place_keyed(found, links, (texts, *part.constants.items()), line)
        if not found.values and not links:
            return None
        if entity in ("privacy", "subject"):
            return shelf.place_keyed(found, links, "", line)
        return shelf.place(found, links, (found.mark, *links.values()))

    def entry_of_session(self, name: str) -> Mapping[str, Any]:
        """Return the session with an id."""
        return self._shelves["session"].entry(name)

    def one(self, entity: str) -> dict[str, dict[str, Any]]:
        """Return an entity that a case has once, under its name, or nothing."""
        entries = self._shelves[entity].entries() if entity in self._shelves else []
        return {entity: {name: value for name, value in entries[0].items() if name != "id"}} if entries else {}

    def lists(self) -> dict[str, list[dict[str, Any]]]:
        """Return the root lists that have entries."""
        made = {root: self._shelves[entity].entries() for entity, root in ROOTS.items() if entity in self._shelves}
        return {root: entries for root, entries in made.items() if entries}


def _copied(entry: Mapping[str, Any]) -> dict[str, Any]:
    return {name: dict(value) if type(value) is dict else value for name, value in entry.items()}
