"""Rows of one table into readings, and the account of its fields."""

from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from shadefmt.converters.cgats.columns import Columns
from shadefmt.converters.cgats.entries import Entries
from shadefmt.converters.cgats.facts import Facts
from shadefmt.converters.cgats.measured import Measured
from shadefmt.converters.cgats.options import Options
from shadefmt.converters.stating import READING_MEMBERS
from shadefmt.errors import Refused

Value = dict[str, Any]

_BEFORE: Final = ("column", "region")
_AFTER: Final = tuple(name for name in READING_MEMBERS if name not in ("zone", *_BEFORE))


@dataclass
class TableBuilder:
    """Makes the readings of one table, whose rows begin at `where`.

    `kept` holds texts without a member by reading, `strays` the rows that hold no reading.
    """

    columns: Columns
    facts: Facts
    measured: Measured
    entries: Entries
    options: Options
    where: str
    kept: dict[str, Value]
    number: int | None
    strays: list[Value] = field(default_factory=list)
    _filled: Counter[int] = field(default_factory=Counter)

    @cached_property
    def _session(self) -> str | None:
        """The session of all readings of the table; none is made before there is one."""
        return self.entries.session(self.facts, spectral=self.columns.spectrum is not None, where=self.where)

    def add(self, line: int, cells: list[str]) -> None:
        """Make the reading of one row.

        Raises:
            Refused: numbers that are not numbers, words that are not of the vocabulary, contradictions.
        """
        where = f"line {line}"
        texts = self._texts(cells, where)
        spectrum = self.measured.spectrum(cells, where)
        colours, aside = self.measured.colours(cells, where)
        if spectrum is None and not colours:
            self._stray(texts | aside, cells, where)
            return
        members = self._members(cells, where)
        session = self._session
        reading: Value = {"session_id": session} if session else {}
        reading["specimen_id"] = self.entries.specimen(members, where)
        reading["zone"] = members.get("zone") or self._unknown_zone(where)
        backing = self._backing(members, where)
        if backing:
            members["backing"] = backing
        reading |= {name: members[name] for name in (*_BEFORE, *_AFTER) if name in members}
        if spectrum is not None:
            reading["spectrum"] = spectrum
        if colours:
            reading["colours"] = [colours]
        identity = self.entries.reading(reading, members.get("id"), where)
        self._keep(identity, texts | aside)

    def _texts(self, cells: list[str], where: str) -> Value:
        """The cells that have no member, by field."""
        found: Value = {}
        for place, name in self.columns.rest.items():
            if cells[place]:
                found[name] = cells[place]
                self._filled[place] += 1
        for place, why in self.columns.left_out.items():
            if cells[place]:
                path = f"fields/{self.columns.names[place].upper()}"
                self.entries.ledger.lost(path, "dropped", why.code, why.reason, where=where)
        return found

    def _members(self, cells: list[str], where: str) -> dict[str, str]:
        found = {}
        for member, place in self.columns.members.items():
            text = cells[place] if member == "region" else cells[place].strip()
            if text:
                found[member] = self.options.value(member, text, self.columns.names[place], where)
                self._filled[place] += 1
        return found

    def _backing(self, members: dict[str, str], where: str) -> str | None:
        backing = self.facts.backing
        if backing is None or members.get("backing", backing) == backing:
            return backing
        raise Refused(
            f"the row says that the backing was {members['backing']}, the header of its table {backing}",
            where=where,
            remedy="One of them is wrong: ask whoever exported the file",
        )

    def _unknown_zone(self, where: str) -> str:
        reason = "the file does not say where on the specimen was read"
        self.entries.ledger.lost("table", "defaulted", "zone-unknown", reason, where=where, new="unknown")
        return "unknown"

    def _keep(self, identity: str, texts: Value) -> None:
        if not texts:
            return
        kept = self.kept.setdefault(identity, {})
        known: Value = kept.setdefault("texts", {})
        for name, text in texts.items():
            if known.get(name, text) != text:
                name = f"table {self.number}: {name}"
            known[name] = text
        if self.number is not None and "table" not in kept:
            kept["table"] = self.number

    def _stray(self, texts: Value, cells: list[str], where: str) -> None:
        self.entries.ledger.notice(
            "row-without-reading",
            where,
            "a row holds no spectrum and no colour that a case has members for",
            "Nothing, if the row is not a measurement",
        )
        for place in self.columns.members.values():
            if cells[place]:
                texts[self.columns.names[place]] = cells[place]
                self.entries.ledger.aside(f"fields/{self.columns.names[place].upper()}")
        if texts:
            self.strays.append(texts)

    def account(self) -> None:
        """Count what became of the cells of all rows, field by field."""
        ledger, columns = self.entries.ledger, self.columns
        for place in columns.rest:
            ledger.aside(f"fields/{columns.names[place].upper()}", self._filled[place])
        for member, place in columns.members.items():
            home = "specimens" if member in ("specimen", "tooth", "substrate", "support") else "readings"
            target = "kind" if member == "specimen" else "specimen_id" if member == "group" else member
            ledger.kept(f"fields/{columns.names[place].upper()}", f"/{home}/*/{target}", self._filled[place])
        self.measured.account()
