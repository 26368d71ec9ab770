"""What a row says of one entity: the specimen, the session, the instrument and so on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from shadefmt.converters.table.fields import Cells, Field, missing
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

ALWAYS: Final = frozenset({"specimen", "reading"})
"""Entities that every row has."""


@dataclass(frozen=True, slots=True)
class Part:
    """The constants and columns of one entity. A constant whose member has a column is what its blanks mean."""

    entity: str
    constants: Values
    fields: Sequence[Field]

    def read(self, line: int, row: Cells, outcomes: list[Outcome]) -> Values:
        """Return the members that a row gives, and note what became of its cells.

        Raises:
            Refused: a cell cannot be read; a member that the format needs is blank beside others that are not.
        """
        values = dict(self.constants)
        filled: set[Names] = set()
        for field in self.fields:
            names = field.member.names
            found = field.value(line, row)
            if found is None:
                kind: Literal["blank", "defaulted"] = "defaulted" if names in self.constants else "blank"
                outcomes.append((field, kind, self.constants.get(names)))
                continue
            values[names] = found[0]
            filled.add(names)
            if found[1]:
                outcomes.append((field, "restated", None))
        for inner in (*INNER.get(self.entity, ()), ""):
            self._complete(inner, values, filled, line)
        return values

    def _complete(self, inner: str, values: Values, filled: set[Names], line: int) -> None:
        """Leave out a block that lacks what the format needs, unless a cell of the row belongs to it."""
        head: Names = (inner,) if inner else ()
        size = len(head) + 1
        mine = [names for names in values if len(names) == size and names[:-1] == head]
        needed = self.entity in ALWAYS and not inner
        if not mine and not needed:
            return
        path = f"{self.entity}.{inner}" if inner else self.entity
        for name in required_names(path):
            if (*head, name) in values:
                continue
            if needed or filled.intersection(mine):
                label = next(field.label for field in self.fields if field.member.names == (*head, name))
                raise missing(line, label, f"the format needs {path}.{name} here")
            for names in mine:
                del values[names]
            return

    def demand_complete(self) -> None:
        """Raise WrongUse where the mapping gives members of a block but not all that the format needs."""
        given = set(self.constants) | {field.member.names for field in self.fields}
        for inner in (*INNER.get(self.entity, ()), ""):
            head: Names = (inner,) if inner else ()
            needed = self.entity in ALWAYS and not inner
            if not needed and not any(names[:-1] == head for names in given):
                continue
            path = f"{self.entity}.{inner}" if inner else self.entity
            for name in required_names(path):
                if (*head, name) not in given:
                    raise WrongUse(f"the mapping does not give {path}.{name}: add a column or a constant")


def assembled(entity: str, values: Mapping[Names, Any], ids: Mapping[str, str]) -> dict[str, Any]:
    """Return an entity as a value, its members in the order of the specification."""
    entry: dict[str, Any] = {}
    for name in BLOCKS[entity].model_fields:
        if name in ids:
            entry[name] = ids[name]
        elif (name,) in values:
            entry[name] = values[name,]
        elif name in INNER.get(entity, ()):
            inner = {
                step: values[name, step] for step in BLOCKS[f"{entity}.{name}"].model_fields if (name, step) in values
            }
            if inner:
                entry[name] = inner
    return entry
