"""Mapped columns as fields: which cells, read how."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from shadefmt.converters.table.cells import Cell, CellForm, CellReader, cell_reader, constant_of
from shadefmt.converters.table.fields import Cells, Field, single
from shadefmt.converters.table.header import Header
from shadefmt.converters.table.measured import figure_memo
from shadefmt.converters.table.members import Member, member_of, shown
from shadefmt.converters.table.numbers import Figure, NumberForm, NumberReader
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.table_mapping import MappedColumn, TableMapping
from shadefmt.vocabulary import ToothNotation

_SHIFTS: Final[Mapping[str, Mapping[str, int]]] = {
    "reading.colour.xyz.X": {"percent": 0, "factor": 2},
    "reading.colour.xyz.Y": {"percent": 0, "factor": 2},
    "reading.colour.xyz.Z": {"percent": 0, "factor": 2},
    "instrument.aperture_mm": {"mm": 0, "cm": 1, "um": -3},
    "instrument.bandpass_nm": {"nm": 0, "um": 3},
    "reading.minutes_since_isolation": {"min": 0},
}
"""Units that a member's column may have, and the power of ten to the member's own. Only exact conversions."""


@dataclass
class Columns:
    """Makes fields of the columns of one table by one mapping."""

    mapping: TableMapping
    header: Header
    blank: frozenset[str] = field(init=False)
    """Texts that mean a blank cell."""
    _readers: dict[NumberForm, tuple[NumberReader, Callable[[str], Figure]]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.blank = frozenset(("", *(word.strip() for word in self.mapping.blank_words or ())))

    def numbers(self, shift: int, *, percent: bool = False) -> tuple[NumberReader, Callable[[str], Figure]]:
        """Return the reader of numbers whose unit is so many powers of ten off, and its memory of texts.

        Columns of the same unit share both.
        """
        dialect = self.mapping.dialect
        if dialect.thousands_mark == dialect.decimal_mark:
            raise WrongUse("thousands_mark and decimal_mark of the mapping are the same")
        form = NumberForm(dialect.decimal_mark, dialect.thousands_mark, shift, percent)
        if form not in self._readers:
            reader = NumberReader(form)
            self._readers[form] = reader, figure_memo(reader, self.blank)
        return self._readers[form]

    def shift(self, column: MappedColumn) -> int:
        """Return the power of ten between a column's unit and the unit of its member."""
        if column.unit is None:
            return 0
        units = _SHIFTS.get(column.member, {})
        if column.unit not in units:
            known = f"units are {', '.join(units)}" if units else "it has none"
            raise WrongUse(f"the mapping states the unit {column.unit} for {column.member}: {known}")
        return units[column.unit]

    def field(self, columns: Sequence[MappedColumn]) -> Field:
        """Return the field of one column, or of the two that hold date and time of a member."""
        member = member_of(columns[0].member)
        indexes = tuple(map(self.header.find, columns))
        labels = tuple(map(self.header.label, indexes))
        readers = [self._reader(member, column) for column in columns]
        return Field(
            member=member,
            label=" and ".join(labels),
            indexes=indexes,
            read=single(indexes[0], readers[0]) if len(columns) == 1 else _joined(indexes, readers, labels),
            told=self._told(member, columns[0]),
            required=any(column.required for column in columns),
            shared=columns[0].group is None,
        )

    def _reader(self, member: Member, column: MappedColumn) -> CellReader:
        shift = self.shift(column)
        if (column.date_order or column.time_part) and member.sort != "time":
            raise WrongUse(f"the mapping states date_order or time_part for {member.path}, which is no time")
        self._demand_vocabulary(member, column)
        form = CellForm(
            blank=self.blank,
            number=self.numbers(shift)[0] if member.sort == "number" else None,
            restated=shift != 0,
            notation=self._notation(member),
            date_order=column.date_order,
            time_part=column.time_part,
            vocabulary=tuple(column.vocabulary or ()),
            guarded=self.mapping.dialect.formula_guard is not None and member.sort not in ("number", "count"),
        )
        return cell_reader(member, form)

    def _notation(self, member: Member) -> ToothNotation:
        if member.sort != "tooth":
            return "iso-3950"
        if self.mapping.tooth_notation is None:
            raise WrongUse("the mapping has a tooth column but no tooth_notation: state it, it is never guessed")
        return self.mapping.tooth_notation

    def _demand_vocabulary(self, member: Member, column: MappedColumn) -> None:
        words = column.vocabulary or ()
        if words and (member.sort in ("number", "count") or column.time_part):
            raise WrongUse(f"the mapping gives a vocabulary for {member.path}, which takes none")
        known: dict[str, str] = {}
        for word in words:
            text = word.text.strip()
            if text in self.blank:
                raise WrongUse(f"the mapping has {shown(text)} in a vocabulary and among the blank words")
            if known.setdefault(text, word.value) != word.value:
                raise WrongUse(f"the mapping gives {shown(text)} two meanings for {member.path}")
            stated(member, word.value)

    def _told(self, member: Member, column: MappedColumn) -> str:
        if column.vocabulary:
            return "by the vocabulary of the mapping"
        if member.sort == "tooth":
            return f"from the notation {self.mapping.tooth_notation}"
        if member.sort == "time":
            return "as ISO 8601"
        return f"from {column.unit}"


def stated(member: Member, text: str) -> object:
    """Return a value that a mapping states as text.

    Raises:
        WrongUse: it is no value of the member.
    """
    try:
        return constant_of(member, text)
    except Refused as fault:
        raise WrongUse(f"the mapping gives a value for {member.path} that it cannot have: {fault.what}") from None


def _joined(
    indexes: Sequence[int], readers: Sequence[CellReader], labels: Sequence[str]
) -> Callable[[Cells], Cell | None]:
    """A function that reads date and time from two cells of a row."""
    (date_index, time_index), (read_date, read_time) = indexes, readers

    def read(row: Cells) -> Cell | None:
        day = _told_where(read_date, row[date_index], labels[0])
        hour = _told_where(read_time, row[time_index], labels[1])
        if day is None:
            if hour is not None:
                raise Refused("the date is blank beside a time", where=labels[0], remedy="fill the cell")
            return None
        return (day[0] if hour is None else f"{day[0]}T{hour[0]}"), True

    return read


def _told_where(read: CellReader, text: str, label: str) -> Cell | None:
    try:
        return read(text)
    except Refused as fault:
        raise Refused(fault.what, where=label, remedy=fault.remedy) from None
