"""One case at a time: rows in, a case document value out."""

from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.base import Account
from shadefmt.converters.table.fields import Cells
from shadefmt.converters.table.parts import Outcome, Values
from shadefmt.converters.table.plan import ENTITIES, KEYED, Group, Plan
from shadefmt.converters.table.shelf import Shelf
from shadefmt.errors import Refused
from shadefmt.model.measuring import Reading
from shadefmt.versions import FORMAT_NAME, FORMAT_VERSION

_LISTS: Final = {
    "party": "parties",
    "instrument": "instruments",
    "specimen": "specimens",
    "session": "sessions",
}
_ORDER: Final = tuple(Reading.model_fields)

Measured = tuple[dict[str, Any] | None, list[dict[str, Any]]]
"""Spectrum and colours of a reading."""


@dataclass(slots=True)
class Context:
    """What follows from the cells that many rows have in common.

    `template` is a reading with a place for all that it may hold, in the order of the specification; what is
    not known yet is None. `line` is where it was met first; `uses` and `first_uses` count as those of a group.
    """

    template: dict[str, Any]
    outcomes: list[Outcome]
    line: int
    uses: int = 0
    first_uses: int = 0


@dataclass(slots=True)
class CaseBuilder:
    """Collects the rows of one case, which begins at `line`."""

    plan: Plan
    account: Account
    case_id: str
    line: int
    readings: list[dict[str, Any]] = field(default_factory=list)
    _shelves: dict[str, Shelf] = field(init=False)
    _contexts: list[dict[tuple[str, ...], Context]] = field(init=False)

    def __post_init__(self) -> None:
        self._shelves = {entity: Shelf(entity) for entity in ENTITIES}
        self._contexts = [{} for _ in self.plan.groups]

    def add(self, line: int, row: Cells) -> None:
        """Add the readings of one row.

        Raises:
            Refused: a cell cannot be read, or the row contradicts an earlier one of the case.
        """
        first = True
        for group, contexts in zip(self.plan.groups, self._contexts, strict=True):
            measured = self._measured(group, line, row)
            if measured is None:
                self._unmeasured(group, line, row)
                continue
            raw = group.pick(row)
            context = contexts.get(raw)
            if context is None:
                context = self._context(group, line, row)
                contexts[raw if not self.account.full else (*raw, str(line))] = context
            context.uses += 1
            context.first_uses += first
            self._read(group, context, measured, line, row, first)
            first = False
        if first and self.plan.groups[0].named:
            for shared in self.plan.fields:
                if shared.shared:
                    shared.lose(self.account, line, row)

    def _measured(self, group: Group, line: int, row: Cells) -> Measured | None:
        spectrum = group.spectrum and group.spectrum.read(line, row, self.account)
        found = [colour.read(line, row, self.account) for colour in group.colours]
        colours = [colour for colour in found if colour is not None]
        return (spectrum, colours) if spectrum or colours else None

    def _unmeasured(self, group: Group, line: int, row: Cells) -> None:
        """Take from a row without a measurement what it says of things, and account for the rest."""
        if group.named:
            for own in (*group.common, *group.of_reading):
                if not own.shared:
                    own.lose(self.account, line, row)
            return
        outcomes: list[Outcome] = []
        self._place(group, line, row, outcomes)
        for part in group.parts.values():
            for column in part.fields:
                column.seen += 1
        self._settle(outcomes, line, 1, 1)
        for column in group.of_reading:
            column.lose(self.account, line, row)

    def _context(self, group: Group, line: int, row: Cells) -> Context:
        outcomes: list[Outcome] = []
        session_id, specimen_id = self._place(group, line, row, outcomes)
        words = group.words.read(line, row, outcomes)
        known: dict[str, Any] = {column.member.names[0]: None for column in group.loose}
        known |= {"spectrum": None} if group.spectrum else {}
        known |= {"colours": None} if group.colours else {}
        known |= {names[0]: value for names, value in words.items()}
        known |= {"id": "", "specimen_id": specimen_id, **({"session_id": session_id} if session_id else {})}
        return Context({name: known[name] for name in _ORDER if name in known}, outcomes, line)

    def _place(
        self, group: Group, line: int, row: Cells, outcomes: list[Outcome]
    ) -> tuple[str | None, str]:
        """Put what a row says of things on the shelves; return the ids of session and specimen."""
        values = {entity: part.read(line, row, outcomes) for entity, part in group.parts.items()}
        for entity in ("privacy", "subject"):
            if values[entity]:
                self._shelves[entity].place(values[entity], (), line)
        ids: dict[str, str] = {}
        for entity in ("party", "instrument"):
            if values[entity]:
                ids[entity] = self._shelve(entity, group, values[entity], line, row)
        session = {(f"{entity}_id",): entry for entity, entry in ids.items()} | values["session"]
        session_id = None
        if session or self._key("session", group, row):
            session_id = self._shelve("session", group, session, line, row)
        return session_id, self._shelve("specimen", group, values["specimen"], line, row)

    def _shelve(self, entity: str, group: Group, values: Values, line: int, row: Cells) -> str:
        return self._shelves[entity].place(values, self._key(entity, group, row), line)

    def _key(self, entity: str, group: Group, row: Cells) -> tuple[Any, ...] | None:
        """The texts that tell an entity from others, with what the group says of it; None without any."""
        pick = self.plan.keys.get(entity) if entity in KEYED else None
        texts = tuple(text.strip() for text in pick(row)) if pick else ()
        return (texts, *group.parts[entity].constants.items()) if any(texts) else None

    def _read(
        self, group: Group, context: Context, measured: Measured, line: int, row: Cells, first: bool
    ) -> None:
        reading = context.template.copy()
        reading["id"] = f"reading-{len(self.readings) + 1}"
        group.uses += 1
        group.first_uses += first
        for column in group.loose:
            name = column.member.names[0]
            found = column.value(line, row)
            counts = first or not column.shared
            column.seen += counts
            if found is not None:
                reading[name] = found[0]
                column.restated += counts and found[1]
                continue
            column.blank += counts
            if reading[name] is None:
                del reading[name]
            elif counts:
                column.account_default(self.account, line, reading[name])
        for name, value in zip(("spectrum", "colours"), measured, strict=True):
            if value:
                reading[name] = value
            else:
                reading.pop(name, None)
        self.readings.append(reading)

    def _settle(self, outcomes: list[Outcome], line: int, uses: int, first_uses: int) -> None:
        """Count what became of cells that were not simply copied."""
        for column, kind, value in outcomes:
            count = first_uses if column.shared else uses
            if not count:
                continue
            if kind == "restated":
                column.restated += count
                continue
            column.blank += count
            if kind == "defaulted":
                column.account_default(self.account, line, value)
                if count > 1:
                    self.account.lost_more(
                        column.label, "defaulted", column.default_reason(value), count - 1
                    )

    def finished(self) -> dict[str, Any]:
        """Return the case as a document value.

        Raises:
            Refused: no row of the case had anything to say.
        """
        for contexts in self._contexts:
            for context in contexts.values():
                self._settle(context.outcomes, context.line, context.uses, context.first_uses)
        lists = {root: self._shelves[entity].entries() for entity, root in _LISTS.items()}
        if not lists["specimens"]:
            raise Refused(
                "the case has no measurement",
                where=f"line {self.line}",
                remedy="leave its rows out, or mend the mapping's columns",
            )
        single = {entity: self._shelves[entity].entries() for entity in ("privacy", "subject")}
        head = {"format": FORMAT_NAME, "version": FORMAT_VERSION, "kind": "case", "id": self.case_id}
        return {
            **head,
            **{entity: entries[0] for entity, entries in single.items() if entries},
            **{root: entries for root, entries in lists.items() if entries},
            **({"readings": self.readings} if self.readings else {}),
        }
