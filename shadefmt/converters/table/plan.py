"""A mapping made ready for one table: every column found, every cell reader chosen, once."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.base import Account
from shadefmt.converters.table.colours import ColourColumns
from shadefmt.converters.table.columns import Columns, stated
from shadefmt.converters.table.fields import Cells, Field, picker
from shadefmt.converters.table.header import Header
from shadefmt.converters.table.measured import SpectrumColumns
from shadefmt.converters.table.measuring import Measures
from shadefmt.converters.table.members import member_of
from shadefmt.converters.table.parts import ALWAYS, MOST_REMEMBERED, Outcome, Part, PartRead, Values
from shadefmt.converters.table.slots import PREFIX, ColourSlots, SlotColumns
from shadefmt.converters.table.unused import DroppedColumn, dropped_columns
from shadefmt.errors import WrongUse
from shadefmt.model.measuring import Reading
from shadefmt.model.table_mapping import ColumnChoice, MappedColumn, MappedConstant, ReadingGroup, TableMapping

ENTITIES: Final = ("privacy", "subject", "instrument", "party", "specimen", "session")
"""Entities that readings share."""

KEYED: Final = ("instrument", "session", "specimen")
"""Entities that a mapping can tell apart by key columns."""

_ORDER: Final = tuple(Reading.model_fields)

Pick = Callable[[Cells], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class ModelReading:
    """A reading with a place for everything that it may hold, in the order of the specification, and its specimen.

    What is not known yet is None. Readings are copies of it.
    """

    template: dict[str, Any]
    specimen: PartRead
    outcomes: Sequence[Outcome]


@dataclass(slots=True)
class Group:
    """How one reading of a row is read.

    `words` are constants and closed words of the reading itself, `loose` its other columns. `pick` takes the
    cells that everything but `loose` and the measured numbers follows from, `pick_setting` those of them that
    session, instrument, party and subject follow from, `pick_model` those that specimen and words follow from.
    `uses` counts the readings made, `first_uses` those that were the first of their row.
    """

    name: str | None
    parts: dict[str, Part]
    words: Part
    loose: list[Field]
    colours: list[ColourColumns]
    spectrum: SpectrumColumns | None
    pick: Pick
    pick_setting: Pick
    pick_model: Pick
    uses: int = 0
    first_uses: int = 0
    _models: dict[tuple[str, ...], ModelReading] = field(init=False, default_factory=dict)

    @property
    def common(self) -> list[Field]:
        """The columns that `pick` takes, but for keys."""
        return [field for part in (*self.parts.values(), self.words) for field in part.fields]

    def model_reading(self, line: int, row: Cells) -> ModelReading:
        """Return what a reading takes from a row whatever case it belongs to.

        Raises:
            Refused: a cell cannot be read, or is blank and must not be.
        """
        texts = self.pick_model(row)
        found = self._models.get(texts)
        if found is None:
            if len(self._models) >= MOST_REMEMBERED:
                self._models.clear()
            specimen, words = self.parts["specimen"].read(line, row), self.words.read(line, row)
            found = ModelReading(self._template(words), specimen, (*specimen.outcomes, *words.outcomes))
            self._models[texts] = found
        return found

    def _template(self, words: PartRead) -> dict[str, Any]:
        names = ["id", "session_id", "specimen_id", *(field.member.names[0] for field in self.loose)]
        known: dict[str, Any] = dict.fromkeys(names)
        known |= {"spectrum": None} if self.spectrum else {}
        known |= {"colours": None} if self.colours else {}
        known |= {names[0]: value for names, value in words.values.items()}
        return {name: known[name] for name in _ORDER if name in known}

    def account(self, account: Account) -> None:
        """Enter the counts of what was measured into the account."""
        for colour in self.colours:
            colour.account(account)
        if self.spectrum:
            self.spectrum.columns.account(account)


@dataclass(slots=True)
class Plan:
    """Everything that reading the rows needs.

    `keys` take the texts that tell entities apart; `held` are the columns of illuminant, observer and origin,
    `fields` all others but numbers measured.
    """

    groups: list[Group]
    case_key: Pick | None
    keys: dict[str, Pick]
    fields: list[Field]
    held: list[Field]
    dropped: list[DroppedColumn]

    def account(self, account: Account) -> None:
        """Enter what became of every column into the account."""
        for column in (*self.fields, *self.held):
            column.account(account)
        for group in self.groups:
            group.account(account)
        for unused in self.dropped:
            unused.account(account)


def plan_of(mapping: TableMapping, header: Header) -> Plan:
    """Return the plan for one table.

    Raises:
        WrongUse: the mapping contradicts itself or lacks something.
        Refused: the table has not the columns that the mapping means.
    """
    return _Planner(mapping, header).plan()


class _Planner:
    def __init__(self, mapping: TableMapping, header: Header) -> None:
        self._mapping = mapping
        self._header = header
        self._columns = Columns(mapping, header)
        self._slots = ColourSlots(mapping)
        self._fields: dict[tuple[int, ...], Field] = {}
        self._used = {header.find(each) for each in mapping.columns or ()}
        ignored = {header.find(each) for each in mapping.ignored or () if header.holds(each)}
        self._measures = Measures(self._columns, frozenset(ignored | self._used))
        self._keys = {
            entity: tuple(map(header.find, choices)) for entity in KEYED if (choices := self._key_choices(entity))
        }

    def plan(self) -> Plan:
        self._demand_groups()
        groups = [self._group(group) for group in self._mapping.groups or (None,)]
        self._slots.demand_all_used()
        case_key = self._mapping.case_key
        return Plan(
            groups=groups,
            case_key=picker([*map(self._header.find, case_key)]) if case_key else None,
            keys={entity: picker(indexes) for entity, indexes in self._keys.items()},
            fields=[each for each in self._fields.values() if not each.member.path.startswith(PREFIX)],
            held=[each for each in self._fields.values() if each.member.path.startswith(PREFIX)],
            dropped=dropped_columns(self._mapping, self._header, frozenset(self._used)),
        )

    def _key_choices(self, entity: str) -> Sequence[ColumnChoice]:
        return getattr(self._mapping, f"{entity}_key") or ()

    def _demand_groups(self) -> None:
        """Raise WrongUse where groups have no names of their own, or entries name a group that is not there."""
        names = [group.name for group in self._mapping.groups or ()]
        if len(set(names)) < len(names):
            raise WrongUse("two groups of the mapping have the same name")
        for entry in (*(self._mapping.columns or ()), *(self._mapping.spectra or ())):
            if entry.group is not None and entry.group not in names:
                raise WrongUse(f"the mapping has no group {entry.group}")
        chosen = [spectrum.group for spectrum in self._mapping.spectra or ()]
        if len(set(chosen)) < len(chosen):
            raise WrongUse("the mapping has two spectra for one reading")
        if names and None in chosen:
            raise WrongUse("the mapping has groups: state the group of the spectrum")

    def _parts(self, constants: dict[str, Values], fields: Iterable[Field]) -> dict[str, Part]:
        """The entities that the mapping says something of; a session also where something refers to it."""
        parts = {}
        for entity in ENTITIES:
            own = _of(entity, fields)
            linked = entity == "session" and ("party" in parts or "instrument" in parts)
            if own or entity in constants or entity in ALWAYS or entity in self._keys or linked:
                parts[entity] = Part(entity, constants.get(entity, {}), own)
        return parts

    def _group(self, group: ReadingGroup | None) -> Group:
        name = group.name if group else None
        mine = [column for column in self._mapping.columns or () if column.group in (None, name)]
        fields = self._plain_fields([column for column in mine if not column.member.startswith(PREFIX)])
        constants = constants_of((*(self._mapping.constants or ()), *((group and group.constants) or ())))
        parts = self._parts(constants, fields)
        own = _of("reading", fields)
        words = Part("reading", constants.get("reading", {}), [field for field in own if _is_word(field)])
        colours = [self._colour(slot) for slot in self._slots.of_group(mine)]
        spectrum = self._spectrum(name)
        if not colours and spectrum is None:
            raise WrongUse(f"the mapping gives no colour and no spectrum{f' for the group {name}' if name else ''}")
        setting = {index for entity, part in parts.items() if entity != "specimen" for index in part.indexes}
        setting.update(index for entity in ("instrument", "session") for index in self._keys.get(entity, ()))
        common = setting.union(parts["specimen"].indexes, words.indexes, self._keys.get("specimen", ()))
        return Group(
            name=name,
            parts=parts,
            words=words,
            loose=[field for field in own if not _is_word(field)],
            colours=colours,
            spectrum=spectrum,
            pick=picker(sorted(common)),
            pick_setting=picker(sorted(setting)),
            pick_model=picker([*parts["specimen"].indexes, *words.indexes]),
        )

    def _plain_fields(self, columns: Iterable[MappedColumn]) -> list[Field]:
        by_member: dict[str, list[MappedColumn]] = {}
        for column in columns:
            by_member.setdefault(column.member, []).append(column)
        return [self._field(_demand_one(member, found)) for member, found in by_member.items()]

    def _field(self, columns: Sequence[MappedColumn]) -> Field:
        key = tuple(map(id, columns))
        if key not in self._fields:
            self._fields[key] = self._columns.field(columns)
        return self._fields[key]

    def _colour(self, slot: SlotColumns) -> ColourColumns:
        words = {name: self._field([column]) for name, column in slot.words.items()}
        return self._measures.colour(slot, words)

    def _spectrum(self, group: str | None) -> SpectrumColumns | None:
        for spectrum in self._mapping.spectra or ():
            if spectrum.group == group:
                made = self._measures.spectrum(spectrum)
                self._used.update(made.columns.indexes)
                return made
        return None


def _is_word(field: Field) -> bool:
    return field.member.sort in ("word", "truth")


def _of(entity: str, fields: Iterable[Field]) -> list[Field]:
    return [field for field in fields if field.member.entity == entity]


def constants_of(entries: Iterable[MappedConstant]) -> dict[str, Values]:
    """Values of the constants by entity."""
    found: dict[str, Values] = {}
    for entry in entries:
        member = member_of(entry.member)
        if entry.member.startswith(PREFIX):
            raise WrongUse(f"the mapping has a constant for {entry.member}: state it under colours")
        values = found.setdefault(member.entity, {})
        if member.names in values:
            raise WrongUse(f"the mapping has two constants for {entry.member}")
        values[member.names] = stated(member, entry.value)
    return found


def _demand_one(member: str, columns: list[MappedColumn]) -> list[MappedColumn]:
    """The one column of a member, or its date and its time."""
    by_part = {column.time_part: column for column in columns}
    if len(columns) == 1 and "time" not in by_part:
        return columns
    if len(columns) == 2 and by_part.keys() == {"date", "time"} and columns[0].group == columns[1].group:
        return [by_part["date"], by_part["time"]]
    if "time" in by_part:
        raise WrongUse(f"the mapping gives a time for {member} but not one column with its date")
    raise WrongUse(f"the mapping gives {len(columns)} columns for {member}")
