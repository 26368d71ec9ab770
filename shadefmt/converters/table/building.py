"""One case at a time: rows in, a case document value out."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.base import Account
from shadefmt.converters.table.fields import Cells
from shadefmt.converters.table.parts import Outcome
from shadefmt.converters.table.plan import Group, Plan
from shadefmt.converters.table.shelf import Shelves
from shadefmt.errors import Refused
from shadefmt.model.measuring import Reading
from shadefmt.versions import FORMAT_NAME, FORMAT_VERSION

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
    outcomes: Sequence[Outcome]
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
    _shelves: Shelves = field(init=False)
    _contexts: list[dict[tuple[str, ...], Context]] = field(init=False)

    def __post_init__(self) -> None:
        self._shelves = Shelves(self.plan)
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
        for held in self.plan.held:
            if held.counted != line:
                held.lose(self.account, line, row)

    def _measured(self, group: Group, line: int, row: Cells) -> Measured | None:
        spectrum = group.spectrum.read(line, row, self.account) if group.spectrum else None
        colours = []
        for each in group.colours:
            colour = each.read(line, row, self.account)
            if colour is not None:
                colours.append(colour)
        return (spectrum, colours) if spectrum or colours else None

    def _unmeasured(self, group: Group, line: int, row: Cells) -> None:
        """Take from a row without a measurement what it says of things, and account for the rest."""
        if group.named:
            for own in (*group.common, *group.loose):
                if not own.shared:
                    own.lose(self.account, line, row)
            return
        outcomes: list[Outcome] = []
        self._shelves.place(group, line, row, outcomes)
        for part in group.parts.values():
            for column in part.fields:
                column.seen += 1
        self._settle(outcomes, line, 1, 1)
        for column in (*group.words.fields, *group.loose):
            column.lose(self.account, line, row)

    def _context(self, group: Group, line: int, row: Cells) -> Context:
        outcomes: list[Outcome] = []
        session_id, specimen_id = self._shelves.place(group, line, row, outcomes)
        words = group.words.read(line, row)
        outcomes += words.outcomes
        known = {
            **group.places,
            **{names[0]: value for names, value in words.values.items()},
            **({"session_id": session_id} if session_id else {}),
            "specimen_id": specimen_id,
        }
        return Context({name: known[name] for name in _ORDER if name in known}, outcomes, line)

    def _read(self, group: Group, context: Context, measured: Measured, line: int, row: Cells, first: bool) -> None:
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
        spectrum, colours = measured
        if spectrum:
            reading["spectrum"] = spectrum
        elif group.spectrum:
            del reading["spectrum"]
        if colours:
            reading["colours"] = colours
        elif group.colours:
            del reading["colours"]
        self.readings.append(reading)

    def _settle(self, outcomes: Sequence[Outcome], line: int, uses: int, first_uses: int) -> None:
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
                    self.account.lost_more(column.label, "defaulted", column.default_reason(value), count - 1)

    def finished(self) -> dict[str, Any]:
        """Return the case as a document value.

        Raises:
            Refused: no row of the case had anything to say.
        """
        for contexts in self._contexts:
            for context in contexts.values():
                if context.outcomes:
                    self._settle(context.outcomes, context.line, context.uses, context.first_uses)
        lists = self._shelves.lists()
        if "specimens" not in lists:
            raise Refused(
                "the case has no measurement",
                where=f"line {self.line}",
                remedy="leave its rows out, or mend the mapping's columns",
            )
        return {
            "format": FORMAT_NAME,
            "version": FORMAT_VERSION,
            "kind": "case",
            "id": self.case_id,
            **self._shelves.one("privacy"),
            **self._shelves.one("subject"),
            **lists,
            **({"readings": self.readings} if self.readings else {}),
        }
