"""Which cells a reading fills: the columns of its group, the colours that the mapping has a place for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any, Final

from shadefmt.converters.leaving import Reason
from shadefmt.converters.table.colours import LETTERS, ColourColumns
from shadefmt.converters.table.fields import Field
from shadefmt.converters.table.measured import NumberColumns
from shadefmt.converters.table.parts import Names, Values
from shadefmt.converters.table.plan import Group
from shadefmt.converters.table.writing.sources import ABSENT, Source, wavelengths
from shadefmt.converters.table.writing.spelling import FieldWriter, number_text
from shadefmt.converters.table.writing.target import Target
from shadefmt.vocabulary import DecimalMark

NOTHING: Final = Reason("nothing-measured", "the reading has no measurement that the mapping has columns for")
NO_GROUP: Final = Reason("no-group", "no group of the mapping is for a reading that states this")
Cells = dict[int, str]


@dataclass
class Placed:
    """A reading and the cells that it fills, by place in the row.

    `colours` are the places of its colours by the place of their columns; `reasons` say of members why no cell
    holds them.
    """

    source: Source
    group: "GroupWriter"
    cells: Cells = field(default_factory=dict)
    colours: dict[int, int] = field(default_factory=dict)
    reasons: dict[tuple[str, Names], Reason] = field(default_factory=dict)


@dataclass
class GroupWriter:
    """Writes the readings of one group. `keys` are the columns that hold ids, with the entity of each."""

    group: Group
    constants: Mapping[str, Values]
    writers: Mapping[int, FieldWriter]
    keys: Sequence[tuple[int, str]]
    target: Target
    mark: DecimalMark

    def place(self, source: Source, case_id: str) -> Placed | Reason:
        """Return the cells of a reading, or why it cannot stand in a row of this group."""
        if not source.agrees(self.constants):
            return NO_GROUP
        placed = Placed(source, self)
        self._colours(placed)
        measured = bool(placed.colours) | self._spectrum(placed)
        if not measured:
            return NOTHING
        for entity, part in (*self.group.parts.items(), ("reading", self.group.words)):
            self._fields(placed, entity, part.fields)
        self._fields(placed, "reading", self.group.loose)
        for index, entity in self.keys:
            text = case_id if entity == "case" else source.name_of(entity)
            if text:
                placed.cells.setdefault(index, text)
        return placed

    def _fields(self, placed: Placed, entity: str, fields: Sequence[Field]) -> None:
        for each in fields:
            value = placed.source.entities[entity].member(each.member.names)
            if value is ABSENT:
                continue
            texts = self.writers[id(each)].texts(value)
            if isinstance(texts, Reason):
                placed.reasons[entity, each.member.names] = texts
                continue
            for index, text in zip(each.indexes, texts, strict=True):
                if text:
                    placed.cells.setdefault(index, text)

    def _colours(self, placed: Placed) -> None:
        colours = placed.source.reading.get("colours", ())
        order = sorted(range(len(self.group.colours)), key=lambda place: len(self.group.colours[place].words))
        for place in order:
            for number, colour in enumerate(colours):
                if number not in placed.colours.values() and self._colour(placed, self.group.colours[place], colour):
                    placed.colours[place] = number
                    break

    def _colour(self, placed: Placed, columns: ColourColumns, colour: Mapping[str, Any]) -> bool:
        """Fill the cells of a colour; False where these columns cannot say what it holds for."""
        spaces = [space for space in columns.coordinates if space in colour]
        stated = {name: value for name, value in columns.stated.items() if name not in columns.words}
        if not spaces or any(colour[name] != value for name, value in stated.items()):
            return False
        cells: Cells = {}
        for name, word in columns.words.items():
            texts = self.writers[id(word)].texts(colour[name])
            if isinstance(texts, Reason) or placed.cells.get(word.indexes[0], texts[0]) != texts[0]:
                return False
            cells[word.indexes[0]] = texts[0]
        for space in spaces:
            values = [colour[space][letter] for letter in LETTERS[space]]
            numbers = self._numbers(columns.coordinates[space], values, colour["decimals"])
            if isinstance(numbers, Reason):
                return False
            cells.update(numbers)
        placed.cells.update(cells)
        return True

    def _spectrum(self, placed: Placed) -> bool:
        columns, block = self.group.spectrum, placed.source.reading.get("spectrum")
        if columns is None or block is None:
            return False
        if block["quantity"] != columns.head["quantity"] or wavelengths(block) != wavelengths(
            {**columns.head, "values": columns.columns.indexes}
        ):
            placed.reasons["reading", ("spectrum",)] = Reason(
                "spectrum-of-other-columns", "its wavelengths or its quantity are not those of the table's columns"
            )
            return False
        numbers = self._numbers(columns.columns, block["values"], block["decimals"])
        if isinstance(numbers, Reason):
            placed.reasons["reading", ("spectrum",)] = numbers
            return False
        placed.cells.update(numbers)
        return True

    def _numbers(self, columns: NumberColumns, values: Sequence[float], decimals: int) -> Cells | Reason:
        """Return cells of numbers of as many decimals as their block states and the mapping keeps, or why none can."""
        cells: Cells = {}
        step = Decimal(1).scaleb(-min(decimals, columns.limit))
        shift = columns.reader.form.shift
        for index, value in zip(columns.indexes, values, strict=True):
            exact = Decimal(repr(value))
            text = number_text(exact.quantize(step, ROUND_HALF_EVEN), shift, self.mark)
            cell = self.target.cell(text, "number")
            if isinstance(cell, Reason):
                return cell
            cells[index] = cell
        return cells
