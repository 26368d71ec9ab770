"""What a row says of one entity: the specimen, the session, the instrument and so on."""

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, Literal

from shadefmt.converters.table.fields import Cells, Field, missing, picker
from shadefmt.converters.table.members import BLOCKS, required_names
from shadefmt.errors import WrongUse

Names = tuple[str, ...]
"""Steps of a member below its entity: `("calibration", "at")`."""

Values = dict[Names, Any]
"""Members of one entity that are present."""

Outcome = tuple[Field, Literal["blank", "restated", "defaulted"], Any]
"""What became of a cell that was not simply copied; the value where it was defaulted."""

INNER: Final[Mapping[str, tuple[str, ...]]] = {"session": ("calibration",)}
"""Blocks inside an entity."""

MOST_REMEMBERED: Final = 512
"""Most rows that are remembered for one entity; forgotten all at once, so that memory stays bounded."""

ALWAYS: Final = frozenset({"specimen", "reading"})
"""Entities that every row has."""


@dataclass(frozen=True, slots=True)
class _Inner:
    """An entity's own members (`path` its name), or those of a block inside it, of which some are needed."""

    path: str
    needed: frozenset[Names]
    given: frozenset[Names]
    always: bool


@dataclass(frozen=True, slots=True)
class PartRead:
    """What a row says of an entity; `mark` is the same for all that say the same. Not to be changed."""

    values: Values
    mark: Hashable
    outcomes: Sequence[Outcome]
    entry: Mapping[str, Any]
    """The members in the order of the specification, without ids."""


@dataclass(slots=True)
class Part:
    """The constants and columns of one entity. A constant whose member has a column is what its blanks mean.

    Raises WrongUse where the mapping gives members of a block but not all that the format needs.
    """

    entity: str
    constants: Values
    fields: Sequence[Field]
    _blocks: list[_Inner] = field(init=False)
    _pick: Callable[[Cells], tuple[str, ...]] = field(init=False)
    _memo: dict[tuple[str, ...], PartRead] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self._pick = picker(self.indexes)
        given = frozenset((*self.constants, *(each.member.names for each in self.fields)))
        self._blocks = []
        for inner in (*INNER.get(self.entity, ()), ""):
            head: Names = (inner,) if inner else ()
            always = self.entity in ALWAYS and not inner
            mine = frozenset(names for names in given if names[:-1] == head)
            path = ".".join((self.entity, *head))
            needed = frozenset((*head, name) for name in required_names(path))
            if mine or always:
                lacking = sorted(needed - mine)
                if lacking:
                    raise WrongUse(f"the mapping does not give {path}.{lacking[0][-1]}: add a column or a constant")
                if needed:
                    self._blocks.append(_Inner(path, needed, mine, always))

    @property
    def indexes(self) -> list[int]:
        """The columns that are read."""
        return [index for each in self.fields for index in each.indexes]

    def read(self, line: int, row: Cells) -> PartRead:
        """Return the members that a row gives, and what became of its cells.

        Raises:
            Refused: a cell cannot be read; a member that the format needs is blank beside others that are not.
        """
        texts = self._pick(row)
        found = self._memo.get(texts)
        if found is None:
            if len(self._memo) >= MOST_REMEMBERED:
                self._memo.clear()
            found = self._memo[texts] = self._read(line, row)
        return found

    def _read(self, line: int, row: Cells) -> PartRead:
        outcomes: list[Outcome] = []
        values = dict(self.constants)
        filled: list[Names] = []
        for each in self.fields:
            names = each.member.names
            found = each.value(line, row)
            if found is not None:
                values[names] = found[0]
                filled.append(names)
                if found[1]:
                    outcomes.append((each, "restated", None))
            elif names in values:
                outcomes.append((each, "defaulted", values[names]))
            else:
                outcomes.append((each, "blank", None))
        for block in self._blocks:
            if not values.keys() >= block.needed:
                self._leave_out(block, values, filled, line)
        entry = assembled(self.entity, values) if self.entity in _STEPS else {}
        return PartRead(values, frozenset(values.items()), outcomes, entry)

    def _leave_out(self, block: _Inner, values: Values, filled: Sequence[Names], line: int) -> None:
        """Leave out a block that lacks what the format needs, unless a cell of the row belongs to it."""
        if block.always or not block.given.isdisjoint(filled):
            lacking = min(block.needed - values.keys())
            label = next(each.label for each in self.fields if each.member.names == lacking)
            raise missing(line, label, f"the format needs {block.path}.{lacking[-1]} here")
        for names in block.given:
            values.pop(names, None)


_STEPS: Final[Mapping[str, tuple[tuple[str, tuple[str, ...]], ...]]] = {
    entity: tuple(
        (name, tuple(BLOCKS[f"{entity}.{name}"].model_fields) if name in INNER.get(entity, ()) else ())
        for name in BLOCKS[entity].model_fields
    )
    for entity in ("privacy", "subject", "party", "instrument", "specimen", "session")
}
"""Members of each entity in the order of the specification, with the members of the blocks among them."""


def assembled(entity: str, values: Mapping[Names, Any]) -> dict[str, Any]:
    """Return an entity as a value, its members in the order of the specification."""
    entry: dict[str, Any] = {}
    for name, inner in _STEPS[entity]:
        if inner:
            block = {step: values[name, step] for step in inner if (name, step) in values}
            if block:
                entry[name] = block
        elif (name,) in values:
            entry[name] = values[name,]
    return entry
