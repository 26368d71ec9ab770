"""From the text of one cell to the value of one member: one function a column, made once."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from shadefmt.converters.table.dates import date_of, time_of, timestamp_of
from shadefmt.converters.table.formulas import unguarded
from shadefmt.converters.table.members import Member, shown
from shadefmt.converters.table.numbers import NumberReader
from shadefmt.errors import Refused
from shadefmt.model.table_mapping import VocabularyWord
from shadefmt.teeth import iso_of
from shadefmt.vocabulary import DateOrder, TimePart, ToothNotation

MEMO_SIZE: Final = 16384
"""Most texts that are remembered for one kind of cell."""

_CHECKED: Final = frozenset({"count", "number", "text"})
"""Sorts whose readers let through what a member may not allow: too long, zero, negative."""

_AS_IT_IS: Final = frozenset({"text", "time"})
"""Sorts whose readers see a cell with its blanks, and a date of a spreadsheet as such."""

_REPEATING: Final = frozenset({"word", "truth", "tooth", "count", "number"})
"""Sorts whose texts come again and again; times and remarks hardly do."""

Cell = tuple[Any, bool]
"""Value, and whether it was restated (other notation, unit, wording) rather than copied."""

CellReader = Callable[[str], Cell | None]
"""From text to value; None for a blank cell; raises Refused without saying where."""


class Memo(dict[str, Any]):
    """Remembers what texts were read as; forgets everything when it is full."""

    def __init__(self, read: Callable[[str], Any]) -> None:
        super().__init__()
        self._read = read

    def __missing__(self, text: str) -> Any:
        found = self._read(text)
        if len(self) >= MEMO_SIZE:
            self.clear()
        self[text] = found
        return found


class Moment(str):
    """Text of a cell that a spreadsheet holds as a date or time: as in ISO 8601, whatever the mapping says of texts."""

    __slots__ = ()


class Numeral(str):
    """Text of a cell that a spreadsheet holds as a number, with the decimal mark of the mapping."""

    __slots__ = ()


@dataclass(frozen=True)
class CellForm:
    """How the cells of one column are written."""

    blank: frozenset[str] = frozenset({""})
    number: NumberReader | None = None
    restated: bool = False
    notation: ToothNotation = "iso-3950"
    date_order: DateOrder | None = None
    time_part: TimePart | None = None
    vocabulary: Sequence[VocabularyWord] = ()
    guarded: bool = False


def cell_reader(member: Member, form: CellForm) -> CellReader:
    """Return the function that reads the cells of one column."""
    base = _base_reader(member, form)
    words = {word.text.strip(): word.value for word in form.vocabulary}

    def read(text: str) -> Cell | None:
        if form.guarded:
            text = unguarded(text)
        bare = text.strip()
        if bare in form.blank:
            return None
        if bare in words:
            value = constant_of(member, words[bare])
            return value, words[bare] != bare
        value, restated = base(text if member.sort in _AS_IT_IS else bare)
        if member.sort in _CHECKED:
            member.check(value, text)
        return value, restated

    return Memo(read).__getitem__ if member.sort in _REPEATING else read


def constant_of(member: Member, text: str) -> Any:
    """Return the value that a mapping writes as text in the format's own form.

    Raises:
        Refused: not a value of the member.
    """
    value, _ = _base_reader(member, CellForm())(text)
    member.check(value, text)
    return value


def _base_reader(member: Member, form: CellForm) -> Callable[[str], Cell]:
    match member.sort:
        case "word":
            return _one_of({word: word for word in member.words})
        case "truth":
            return _one_of({"true": True, "false": False})
        case "count":
            return _count
        case "number":
            number = form.number or NumberReader.plain()
            return lambda text: (number(text)[0], form.restated)
        case "tooth":
            return lambda text: _told(text, iso_of(text, form.notation))
        case "time":
            return _time_reader(form)
        case "text":
            return lambda text: (text, False)


def _one_of(known: dict[str, Any]) -> Callable[[str], Cell]:
    def read(text: str) -> Cell:
        if text not in known:
            raise Refused(f"{shown(text)} is none of {', '.join(known)}", remedy="say what it means in the vocabulary")
        return known[text], False

    return read


def _count(text: str) -> Cell:
    if not (text.isascii() and text.isdigit() and len(text) <= 15):
        raise Refused(f"{shown(text)} is no whole number")
    return int(text), False


def _time_reader(form: CellForm) -> Callable[[str], Cell]:
    match form.time_part:
        case "date":
            return lambda text: _told(text, date_of(_day(text), _order(text, form)))
        case "time":
            return lambda text: _told(text, time_of(text.strip()))
        case None:
            return lambda text: _told(text, timestamp_of(text, _order(text, form)))


def _order(text: str, form: CellForm) -> DateOrder | None:
    return None if isinstance(text, Moment) else form.date_order


def _day(text: str) -> str:
    """The date of a cell; a spreadsheet may hold it as the midnight that it begins with."""
    return text.removesuffix("T00:00:00") if isinstance(text, Moment) else text.strip()


def _told(text: str, value: str) -> Cell:
    return value, value != text
