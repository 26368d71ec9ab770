"""From the value of a member to the text of its cells, by what the mapping says of its column.

A text is written only if the reader, asked, reads the value from it.
"""

import dataclasses
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from shadefmt.converters.leaving import Reason
from shadefmt.converters.table.cells import Moment, constant_of
from shadefmt.converters.table.columns import Columns
from shadefmt.converters.table.fields import Field
from shadefmt.converters.table.members import Member
from shadefmt.converters.table.writing.target import Target
from shadefmt.errors import Refused
from shadefmt.model.table_mapping import MappedColumn, TableMapping
from shadefmt.teeth import text_of
from shadefmt.timestamps import moment
from shadefmt.vocabulary import DateOrder

_NO_WORD: Final = Reason("no-text-for-value", "no text in the column of the mapping means it")
_MOST_REMEMBERED: Final = 512

Texts = tuple[str, ...]
"""The cells of one member: one, or those of date and time."""


@dataclass
class FieldWriter:
    """Writes the cells of one field; what no text of the column means has a reason instead."""

    field: Field
    width: int
    target: Target
    candidates: Callable[[Any], Iterator[Texts]]
    _known: dict[Any, Texts | Reason] = dataclasses.field(default_factory=dict)

    def texts(self, value: Any) -> Texts | Reason:
        """Return the cells of a value."""
        key = (type(value), value)
        found = self._known.get(key)
        if found is None:
            if len(self._known) >= _MOST_REMEMBERED:
                self._known.clear()
            found = self._known[key] = self._texts(value)
        return found

    def _texts(self, value: Any) -> Texts | Reason:
        why: Reason = _NO_WORD
        shorter: Texts | None = None
        for candidate in self.candidates(value):
            cells = [self.target.cell(text, self.field.member.sort) for text in candidate]
            texts = tuple(cell for cell in cells if not isinstance(cell, Reason))
            if len(texts) < len(cells):
                why = next(cell for cell in cells if isinstance(cell, Reason))
                continue
            read = self._read(texts)
            if read == value and type(read) is type(value):
                return texts
            if self.field.member.sort == "time" and read and str(value).startswith(f"{read}T"):
                shorter = shorter or texts
        return shorter or why

    def _read(self, texts: Texts) -> Any:
        row = [""] * self.width
        for index, text in zip(self.field.indexes, texts, strict=True):
            row[index] = text
        try:
            found = self.field.read(row)
        except Refused:
            return None
        return found[0] if found else None


@dataclass(frozen=True)
class Spelling:
    """Makes the writers of fields of one mapping."""

    mapping: TableMapping
    columns: Columns
    target: Target

    def writer(self, field: Field) -> FieldWriter:
        """Return the writer of a field."""
        header = self.columns.header
        mapped = [
            next(
                each
                for each in self.mapping.columns or ()
                if each.member == field.member.path and header.find(each) == index
            )
            for index in field.indexes
        ]
        made = self._single if len(mapped) == 1 else self._joined
        return FieldWriter(field, header.width, self.target, made(field.member, mapped))

    def _single(self, member: Member, mapped: Sequence[MappedColumn]) -> Callable[[Any], Iterator[Texts]]:
        column = mapped[0]
        words = [(constant_of(member, word.value), word.text.strip()) for word in column.vocabulary or ()]
        plain = self._plain(member, column)

        def candidates(value: Any) -> Iterator[Texts]:
            yield from ((text,) for meant, text in words if meant == value and type(meant) is type(value))
            yield from ((text,) for text in plain(value))

        return candidates

    def _plain(self, member: Member, column: MappedColumn) -> Callable[[Any], Sequence[str]]:
        match member.sort:
            case "truth":
                return lambda value: ("true" if value else "false",)
            case "number":
                shift, mark = self.columns.shift(column), self.mapping.dialect.decimal_mark
                return lambda value: (number_text(Decimal(repr(value)), shift, mark),)
            case "tooth":
                notation = self.mapping.tooth_notation or "iso-3950"
                return lambda value: (text_of(value, notation),)
            case "time":
                return lambda value: self._times(value, column.date_order)
            case _:
                return lambda value: (str(value),)

    def _times(self, value: str, order: DateOrder | None) -> Sequence[str]:
        day, _, hour = value.partition("T")
        texts = [" ".join(filter(None, (day_text(day, order), hour)))] if order else [value]
        texts += [day_text(day, order)] if hour else []
        return [Moment(value), *texts] if self.target.typed and is_plain_moment(value) else texts

    def _joined(self, member: Member, mapped: Sequence[MappedColumn]) -> Callable[[Any], Iterator[Texts]]:
        order = mapped[0].date_order

        def candidates(value: Any) -> Iterator[Texts]:
            day, _, hour = value.partition("T")
            if self.target.typed:
                yield Moment(day), hour
            yield day_text(day, order), hour

        return candidates


def is_plain_moment(text: str) -> bool:
    """Whether a timestamp is a date of the calendar, or one with seconds and no zone; a spreadsheet knows no other."""
    plain = len(text) in (10, 19) and text >= "1901" and not text.endswith(("Z", "T00:00:00"))
    return plain and moment(text) is not None


def day_text(day: str, order: DateOrder | None) -> str:
    """Return a date in the order of parts that a mapping states."""
    year, month, date = day.split("-")
    match order:
        case "day-month-year":
            return f"{date}.{month}.{year}"
        case "month-day-year":
            return f"{month}/{date}/{year}"
        case _:
            return day


def number_text(value: Decimal, shift: int, mark: str) -> str:
    """Return a number in the unit of its column, which is so many powers of ten off, with every digit."""
    text = f"{value.scaleb(-shift):f}"
    if value == 0:
        text = text.lstrip("-")
    return text.replace(".", ",") if mark == "comma" else text
