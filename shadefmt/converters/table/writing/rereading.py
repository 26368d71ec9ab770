"""A row that was written, seen with the reader's eyes: what it says, and of which entries."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from shadefmt.converters.base import Account
from shadefmt.converters.leaving import Reason
from shadefmt.converters.table.fields import Field
from shadefmt.converters.table.parts import Names
from shadefmt.converters.table.plan import Plan
from shadefmt.converters.table.shelf import Shelves
from shadefmt.converters.table.writing.placing import Placed
from shadefmt.converters.table.writing.sources import ABSENT, Found
from shadefmt.errors import Refused

Row = list[str]
_MERGED = Reason("entries-not-told-apart", "the table says the same of another entry")
_SPLIT = Reason("entry-split", "rows of the table that belong to it do not say so")
CONTRADICTS = "mapping-contradicts"


class Said(NamedTuple):
    """What the case and the row say of one member; `field` is its column, None where the mapping states it."""

    entity: str
    found: Found
    names: Names
    read: Any
    field: Field | None
    restated: bool

    @property
    def stated(self) -> Any:
        """What the case says."""
        return self.found.member(self.names)

    @property
    def shortened(self) -> bool:
        """Whether the row says the day of a moment."""
        both = isinstance(self.stated, str) and isinstance(self.read, str)
        return both and self.stated.startswith(f"{self.read}T")


@dataclass
class Reread:
    """One reading of a row as the reader finds it."""

    placed: Placed
    members: list[Said]
    spectrum: dict[str, Any] | None
    colours: dict[int, dict[str, Any]]
    session_id: str | None
    specimen_id: str


@dataclass
class Rereader:
    """Reads the rows of one case again, and tells which entries of the case become one, and which several.

    `merged` names entities of the case, by kind and id, that are not told apart from another or fall apart.
    """

    plan: Plan
    merged: dict[tuple[str, str], Reason] = field(default_factory=dict)
    _accepted: list[tuple[int, Row, list[Placed]]] = field(default_factory=list)
    _claims: dict[tuple[str, str], tuple[str | None, Any]] = field(default_factory=dict)
    _became: dict[tuple[str, str], str] = field(default_factory=dict)
    _shelves: Shelves = field(init=False)

    def __post_init__(self) -> None:
        self._shelves = Shelves(self.plan)

    def read(self, line: int, row: Row, placed: Sequence[Placed]) -> list[Reread]:
        """Return the readings of a row.

        Raises:
            Refused: the reader could not read it, or would find something else than the case says.
        """
        try:
            made = [self._reading(line, row, each) for each in placed]
            self._demand_blank(line, row, placed)
            claims = [claim for each in made for claim in self._claimed(line, row, each)]
            self._demand_claims(claims)
        except Refused:
            self._shelves = Shelves(self.plan)
            for earlier, cells, readings in self._accepted:
                for each in readings:
                    self._shelve(earlier, cells, each)
            raise
        self._accepted.append((line, row, list(placed)))
        for kind, became, name, mark in claims:
            self._claim(kind, became, name, mark)
        return made

    def _reading(self, line: int, row: Row, placed: Placed) -> Reread:
        members = list(self._members(line, row, placed))
        for each in members:
            if each.stated is not ABSENT and each.read not in (ABSENT, each.stated) and not each.shortened:
                path = ".".join((each.entity, *each.names))
                raise Refused(f"{path} is {each.stated!r} in the case, the mapping or the row would say {each.read!r}")
        group, scratch = placed.group.group, Account()
        colours = {place: columns.read(line, row, scratch) for place, columns in enumerate(group.colours)}
        spectrum = group.spectrum.read(line, row, scratch) if group.spectrum else None
        session_id, specimen_id = self._shelve(line, row, placed)
        kept = {place: colour for place, colour in colours.items() if colour is not None}
        return Reread(placed, members, spectrum, kept, session_id, specimen_id)

    def _members(self, line: int, row: Row, placed: Placed) -> Iterator[Said]:
        group = placed.group.group
        for entity, part in (*group.parts.items(), ("reading", group.words)):
            found, read = placed.source.entities[entity], part.read(line, row)
            fields = {each.member.names: each for each in part.fields}
            restated = {each.member.names for each, kind, _ in read.outcomes if kind == "restated"}
            for names in dict.fromkeys((*fields, *part.constants)):
                value = read.values.get(names, ABSENT)
                yield Said(entity, found, names, value, fields.get(names), names in restated)
        own = placed.source.entities["reading"]
        for each in group.loose:
            cell = each.value(line, row)
            default = group.words.constants.get(each.member.names, ABSENT)
            value = default if cell is None else cell[0]
            yield Said("reading", own, each.member.names, value, each, cell is not None and cell[1])

    def _demand_blank(self, line: int, row: Row, placed: Sequence[Placed]) -> None:
        """Raise Refused where a group that has no reading in the row may not be blank."""
        there = {id(each.group.group) for each in placed}
        for group in self.plan.groups:
            if id(group) not in there:
                for columns in (*group.colours, *((group.spectrum,) if group.spectrum else ())):
                    columns.read(line, row, Account())

    def _shelve(self, line: int, row: Row, placed: Placed) -> tuple[str | None, str]:
        group = placed.group.group
        session_id = self._shelves.setting(group, line, row)[0]
        specimen = group.parts["specimen"].read(line, row)
        return session_id, self._shelves.specimen(group, specimen, line, row)

    def _claimed(self, line: int, row: Row, made: Reread) -> Iterator[tuple[str, str, str | None, Any]]:
        """Yield kind, id in the table, id in the case and content of what a reading belongs to."""
        parts, source = made.placed.group.group.parts, made.placed.source
        marks = {entity: part.read(line, row).mark for entity, part in parts.items()}
        yield "specimen", made.specimen_id, source.name_of("specimen"), marks["specimen"]
        if made.session_id is not None:
            content = tuple(marks.get(entity) for entity in ("session", "instrument", "party"))
            yield "session", made.session_id, source.name_of("session"), content
            for kind in ("instrument", "party"):
                if marks.get(kind):
                    became = self._shelves.entry_of_session(made.session_id).get(f"{kind}_id")
                    if became is not None:
                        yield kind, became, source.name_of(kind), marks[kind]

    def _demand_claims(self, claims: Sequence[tuple[str, str, str | None, Any]]) -> None:
        for kind, became, name, mark in claims:
            other, content = self._claims.get((kind, became), (name, mark))
            if other != name and content != mark:
                raise Refused(f"{kind} {name} would become one with {kind} {other}, of which the table says otherwise")

    def _claim(self, kind: str, became: str, name: str | None, mark: Any) -> None:
        first, _ = self._claims.setdefault((kind, became), (name, mark))
        if name is None:
            return
        if first != name:
            self.merged.setdefault((kind, name), _MERGED)
        if self._became.setdefault((kind, name), became) != became:
            self.merged[kind, name] = _SPLIT

    def became(self, kind: str, name: str | None) -> bool:
        """Whether an entity of the case is an entry of the table."""
        return name is not None and (kind, name) in self._became
