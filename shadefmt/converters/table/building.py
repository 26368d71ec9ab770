"""One case at a time: rows in, a case document value out."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from shadefmt.converters.base import Account
from shadefmt.converters.table.fields import Cells, Field, missing, placed
from shadefmt.converters.table.parts import Outcome
from shadefmt.converters.table.plan import Group, Plan
from shadefmt.converters.table.shelf import Shelves
from shadefmt.errors import Refused
from shadefmt.versions import FIRST_VERSION, FORMAT_NAME


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
    _groups: list[tuple[Group, dict[tuple[str, ...], Context]]] = field(init=False)

    def __post_init__(self) -> None:
        self._shelves = Shelves(self.plan)
        self._groups = [(group, {}) for group in self.plan.groups]

    def add(self, line: int, row: Cells) -> None:
        """Add the readings of one row.

        Raises:
            Refused: a cell cannot be read, or the row contradicts an earlier one of the case.
        """
        first = True
        for group, contexts in self._groups:
            spectrum = group.spectrum.read(line, row, self.account) if group.spectrum else None
            colours = []
            for columns in group.colours:
                colour = columns.read(line, row, self.account)
                if colour is not None:
                    colours.append(colour)
            if not colours and spectrum is None:
                self._unmeasured(group, line, row)
                continue
            texts = group.pick(row)
            context = contexts.get(texts)
            if context is None:
                context = self._context(group, line, row)
                contexts[(*texts, str(line)) if self.account.full else texts] = context
            context.uses += 1
            context.first_uses += first
            reading = context.template.copy()
            reading["id"] = f"reading-{len(self.readings) + 1}"
            if group.loose:
                self._fill(group.loose, reading, line, row, first)
            if group.spectrum:
                _put(reading, "spectrum", spectrum)
            if group.colours:
                _put(reading, "colours", colours)
            self.readings.append(reading)
            first = False
        if first or self.plan.held:
            self._left_over(line, row, read=not first)

    def _left_over(self, line: int, row: Cells, *, read: bool) -> None:
        """Account for cells of the whole row that no reading of it took up."""
        if not read and self.plan.groups[0].name:
            for shared in self.plan.fields:
                if shared.shared:
                    shared.lose(self.account, line, row)
        for held in self.plan.held:
            if held.counted != line:
                held.lose(self.account, line, row)

    def _unmeasured(self, group: Group, line: int, row: Cells) -> None:
        """Take from a row without a measurement what it says of things, and account for the rest."""
        if group.name:
            for own in (*group.common, *group.loose):
                if not own.shared:
                    own.lose(self.account, line, row)
            return
        specimen = group.parts["specimen"].read(line, row)
        outcomes = [*self._shelves.setting(group, line, row)[1], *specimen.outcomes]
        self._shelves.specimen(group, specimen, line, row)
        for part in group.parts.values():
            for column in part.fields:
                column.seen += 1
        self._settle(outcomes, line, 1, 1)
        for column in (*group.words.fields, *group.loose):
            column.lose(self.account, line, row)

    def _context(self, group: Group, line: int, row: Cells) -> Context:
        session_id, outcomes = self._shelves.setting(group, line, row)
        model = group.model_reading(line, row)
        template = model.template.copy()
        template["specimen_id"] = self._shelves.specimen(group, model.specimen, line, row)
        _put(template, "session_id", session_id)
        return Context(template, (*outcomes, *model.outcomes), line)

    def _fill(self, columns: Sequence[Field], reading: dict[str, Any], line: int, row: Cells, first: bool) -> None:
        """Put the cells of columns that vary from row to row into a reading."""
        for column in columns:
            try:
                found = column.read(row)
            except Refused as fault:
                raise placed(fault, line, column.label) from None
            if found is None:
                self._leave_blank(column, reading, line, counts=first or not column.shared)
                continue
            reading[column.name], restated = found
            if restated:
                column.restated += first or not column.shared

    def _leave_blank(self, column: Field, reading: dict[str, Any], line: int, *, counts: bool) -> None:
        """Take a member out of a reading whose cell is blank, unless the mapping states what that means."""
        if column.required:
            raise missing(line, column.label)
        column.blank += counts
        if reading[column.name] is None:
            del reading[column.name]
        elif counts:
            column.account_default(self.account, line, reading[column.name])

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
        for group, contexts in self._groups:
            for context in contexts.values():
                group.uses += context.uses
                group.first_uses += context.first_uses
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
            "version": FIRST_VERSION,
            "kind": "case",
            "id": self.case_id,
            **self._shelves.one("privacy"),
            **self._shelves.one("subject"),
            **lists,
            **({"readings": self.readings} if self.readings else {}),
        }


def _put(reading: dict[str, Any], name: str, value: Any) -> None:
    """Fill a place of a reading, or take it out where there is nothing for it."""
    if value:
        reading[name] = value
    else:
        del reading[name]
