"""The account of a case that was written: what each row says of it, member by member; the rest is left behind."""

import json
from typing import Any, Final

from shadefmt.converters.leaving import Leaving, Path, Reason, pattern_of
from shadefmt.converters.table.colours import LETTERS
from shadefmt.converters.table.measured import NumberColumns
from shadefmt.converters.table.writing.rereading import Reread, Rereader, Said
from shadefmt.jsontext import pointer_of

NO_PLACE: Final = Reason("no-place-in-table", "the mapping has no column for it")
WITHDRAWN: Final = Reason(
    "withdrawn", "the reading was withdrawn; a table cannot say so and would hand it on as one that counts"
)
_ID: Final = Reason("id-not-carried", "entries are numbered anew when the table is read")
_TIME: Final = Reason("time-of-day-left-out", "the column of the mapping holds the date only")
_DECIMALS: Final = Reason("decimals-restated", "the cells or the mapping tell other decimals")
_DIGITS: Final = Reason("beyond-decimals", "the number has more decimals than its block states or the mapping keeps")
_INCOMPLETE: Final = Reason("block-incomplete", "the table does not tell all that the format needs beside it")
_STATED: Final = "the mapping states it for every row"
_ROW: Final = "stands in the same row"
_KINDS: Final = {"specimen": "specimens", "session": "sessions", "instrument": "instruments", "party": "parties"}
_GRID: Final = ("start_nm", "step_nm", "wavelengths_nm")


class Marking:
    """Accounts for one case."""

    def __init__(self, leaving: Leaving, rereader: Rereader, keys: dict[str, str]) -> None:
        self._leaving = leaving
        self._rereader = rereader
        self._keys = keys
        self._filled: set[tuple[Any, ...]] = set()

    def envelope(self) -> None:
        """Mark what every case says of itself."""
        for name in ("format", "version", "kind"):
            self._leaving.restated((name,), "mapping", "the mapping makes cases of rows")
        self._id(("id",), "case", _ID)

    def reading(self, made: Reread) -> None:
        """Mark what a row says of its reading."""
        source = made.placed.source
        for said in made.members:
            self._member(said, made)
        self._id((*source.path, "id"), "reading", _ID)
        self._leaving.restated((*source.path, "specimen_id"), "row", _ROW)
        if self._rereader.became("session", source.reading.get("session_id")):
            self._leaving.restated((*source.path, "session_id"), "row", _ROW)
            session = source.entities["session"]
            for kind in ("instrument", "party"):
                if self._rereader.became(kind, source.name_of(kind)):
                    self._leaving.restated((*session.path, f"{kind}_id"), "row", _ROW)
        self._spectrum(made)
        for place in made.colours:
            self._colour(made, place)

    def entities(self, made: Reread) -> None:
        """Mark the ids of what a reading belongs to; once all rows are known."""
        for kind in _KINDS:
            found, name = made.placed.source.entities[kind], made.placed.source.name_of(kind)
            if name is not None and self._rereader.became(kind, name):
                self._id((*found.path, "id"), kind, self._rereader.merged.get((kind, name), _ID))

    def _id(self, path: Path, kind: str, reason: Reason) -> None:
        if kind in self._keys and reason is _ID:
            self._leaving.wrote(path, self._keys[kind])
        else:
            self._leaving.left(path, reason)

    def _member(self, said: Said, made: Reread) -> None:
        path: Path = (*said.found.path, *said.names)
        if said.stated is None and said.read is not None:
            self._default(said, made, path)
        elif said.stated is None:
            return
        elif said.read is None:
            reason = made.placed.reasons.get((said.entity, said.names), _INCOMPLETE)
            self._leaving.left(path, reason)
        elif said.read != said.stated:
            if path not in self._filled:
                self._filled.add(path)
                self._leaving.rounded(path, _TIME, old=said.stated, new=said.read)
        elif said.field is None:
            self._leaving.restated(path, "mapping", _STATED)
        elif said.restated:
            self._leaving.restated(path, said.field.label, said.field.told)
        else:
            self._leaving.wrote(path, said.field.label)

    def _default(self, said: Said, made: Reread, path: Path) -> None:
        """Account for a member that the case does not state and the row does."""
        there = bool(said.found.value) or len(said.found.path) == 1
        key = path if there else (*path, made.placed.source.place)
        if key in self._filled:
            return
        self._filled.add(key)
        where = pointer_of(said.found.path if there else made.placed.source.path)
        self._leaving.account.lost(
            pattern_of(path),
            "defaulted",
            "filled-by-mapping",
            "the case does not state it, the mapping does",
            where=f"{self._leaving.name}{where}",
            new=str(said.read),
        )

    def _spectrum(self, made: Reread) -> None:
        source, columns = made.placed.source, made.placed.group.group.spectrum
        path: Path = (*source.path, "spectrum")
        reason = made.placed.reasons.get(("reading", ("spectrum",)))
        if reason is not None:
            self._leaving.left(path, reason)
        if columns is None or made.spectrum is None:
            return
        block = source.reading["spectrum"]
        self._leaving.restated((*path, "quantity"), "mapping", _STATED)
        self._leaving.wrote_members(path, {name: columns.columns.paths[0] for name in _GRID if name in block})
        self._numbers((*path, "values"), columns.columns, block["values"], made.spectrum["values"])
        self._decimals(path, block["decimals"], made.spectrum["decimals"])

    def _colour(self, made: Reread, place: int) -> None:
        columns, read = made.placed.group.group.colours[place], made.colours[place]
        number = made.placed.colours[place]
        path: Path = (*made.placed.source.path, "colours", number)
        colour = made.placed.source.reading["colours"][number]
        for name in ("illuminant", "observer", "origin"):
            if name in columns.words:
                self._leaving.wrote((*path, name), columns.words[name].label)
            else:
                self._leaving.restated((*path, name), "mapping", _STATED)
        for space, numbers in columns.coordinates.items():
            if space in colour:
                for index, letter in enumerate(LETTERS[space]):
                    mine, there = colour[space][letter], read[space][letter]
                    self._numbers((*path, space, letter), numbers, [mine], [there], index)
        self._decimals(path, colour["decimals"], read["decimals"])

    def _numbers(self, path: Path, columns: NumberColumns, mine: list[Any], read: list[Any], index: int = 0) -> None:
        for value, there in zip(mine, read, strict=True):
            if value != there:
                self._leaving.rounded(path, _DIGITS, old=json.dumps(value), new=json.dumps(there))
        if columns.told:
            self._leaving.restated(path, columns.paths[index], columns.told)
        else:
            self._leaving.wrote(path, columns.paths[index])

    def _decimals(self, path: Path, mine: int, read: int) -> None:
        if mine == read:
            self._leaving.restated((*path, "decimals"), "row", "as many decimals as the cells show")
        else:
            self._leaving.left((*path, "decimals"), _DECIMALS)
