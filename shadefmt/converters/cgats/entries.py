"""The entries of one case while a file is read: specimens, readings, instruments and sessions, and their ids."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from shadefmt.converters.base import numbered
from shadefmt.converters.cgats.facts import Facts
from shadefmt.converters.cgats.ledger import Ledger
from shadefmt.converters.cgats.options import Options
from shadefmt.converters.stating import SPECIMEN_MEMBERS
from shadefmt.errors import Refused

Value = dict[str, Any]


@dataclass
class Entries:
    """Makes entries as rows and headers ask for them.

    CGATS knows no sittings: readings with equal conditions are taken as one, which is accounted for as assumed.
    """

    ledger: Ledger
    options: Options
    instruments: list[Value] = field(default_factory=list)
    sessions: list[Value] = field(default_factory=list)
    specimens: list[Value] = field(default_factory=list)
    readings: list[Value] = field(default_factory=list)
    _specimen_of: dict[tuple[str, ...], Value] = field(default_factory=dict)
    _reading_of: dict[str, Value] = field(default_factory=dict)
    _session_of: dict[tuple[Any, ...], tuple[int, str]] = field(default_factory=dict)
    _instrument_lines: list[str] = field(default_factory=list)
    _specimen_ids: Iterator[str] = field(default_factory=lambda: numbered("specimen"))
    _reading_ids: Iterator[str] = field(default_factory=lambda: numbered("reading"))

    def session(self, facts: Facts, *, spectral: bool, where: str) -> str | None:
        """Return the session of the readings of a table; None where nothing is known of the instrument."""
        members = {
            "geometry": facts.geometry,
            "specular": facts.specular,
            "aperture_mm": facts.aperture_mm,
            "model": facts.model or None,
        }
        key = tuple(members.values())
        if not any(key):
            return None
        if key not in self._session_of:
            known = {name: value for name, value in members.items() if value is not None}
            self._session_of[key] = self._add_session({"kind": "other", **known}, where)
        number, session = self._session_of[key]
        if spectral and self.options.instrument_kind is None:
            self.instruments[number]["kind"] = "spectrophotometer"
        return session

    def _add_session(self, instrument: Value, where: str) -> tuple[int, str]:
        number = len(self.sessions)
        instrument = {"id": f"instrument-{number + 1}", **instrument}
        instrument["kind"] = self.options.instrument_kind or instrument["kind"]
        session = {"id": f"session-{number + 1}", "instrument_id": instrument["id"]}
        self.instruments.append(instrument)
        self.sessions.append(session)
        self._instrument_lines.append(where)
        self._assumed("sitting-assumed", "CGATS does not say what was read at one sitting", where, session["id"])
        if "model" in instrument:
            self.ledger.notice(
                "model-as-written",
                where,
                "the name of an instrument is free text of the file and was carried over as it stands",
                "Look whether it names more than the instrument before the case is handed on",
            )
        return number, session["id"]

    def specimen(self, members: dict[str, str], where: str) -> str:
        """Return the id of the specimen of a row: by its id or group, else by kind and tooth, else its own.

        Raises:
            Refused: rows of one specimen contradict each other.
        """
        stated: dict[str, str] = {name: members[name] for name in SPECIMEN_MEMBERS if name in members}
        kind: str = members.get("specimen", self.options.specimen_kind)
        specimen: dict[str, str] = {"kind": kind, **stated}
        name = members.get("specimen_id") or members.get("group")
        if name is not None:
            key: tuple[str, ...] = (name,)
        else:
            key = ("tooth", kind, members["tooth"]) if "tooth" in members else ("row", where)
        known = self._specimen_of.get(key)
        if known is None:
            made = members.get("specimen_id") or next(self._specimen_ids)
            known = self._specimen_of[key] = {"id": made, **specimen}
            self.specimens.append(known)
            if "specimen" not in members:
                self._assumed("specimen-kind-assumed", "CGATS does not say what was measured", where, kind)
        elif known != {"id": known["id"], **specimen}:
            raise Refused(
                "the row contradicts an earlier row of the same specimen",
                where=where,
                remedy="Have different specimens named differently",
            )
        return str(known["id"])

    def reading(self, reading: Value, identity: str | None, where: str) -> str:
        """Take a reading and return its id; one with the id of an earlier one adds its colours to that.

        Raises:
            Refused: it says anything else than that earlier one.
        """
        if identity is None:
            identity = next(self._reading_ids)
        known = self._reading_of.get(identity) if "id" in self.options.fields else None
        if known is not None:
            self._join(known, reading, where)
            return identity
        made = {"id": identity, **reading}
        self.readings.append(made)
        if "id" in self.options.fields:
            self._reading_of[identity] = made
        return identity

    def _join(self, known: Value, reading: Value, where: str) -> None:
        apart = ("id", "colours", "spectrum", "session_id")
        same = {name: value for name, value in known.items() if name not in apart} == {
            name: value for name, value in reading.items() if name not in apart
        }
        bases = [_basis(colour) for each in (known, reading) for colour in each.get("colours", ())]
        spectra = "spectrum" in known and "spectrum" in reading
        sessions = known.get("session_id") != reading.get("session_id")
        if not same or spectra or sessions or len(set(bases)) != len(bases):
            raise Refused(
                f"the id {known['id']!r} is there twice, for two readings",
                where=where,
                remedy="Read the file without that field as id, or have each reading named differently",
            )
        if "spectrum" in reading:
            known["spectrum"] = reading["spectrum"]
        if "colours" in reading or "colours" in known:
            known["colours"] = [*known.pop("colours", ()), *reading.get("colours", ())]

    def _assumed(self, code: str, reason: str, where: str, new: str) -> None:
        self.ledger.lost("table", "defaulted", code, reason, where=where, new=new)

    def settle(self) -> None:
        """Account for the kinds of instruments, and make ids differ.

        Those of the file stay, those made here that meet one of them are made anew.

        Raises:
            Refused: the file names a reading and a specimen alike.
        """
        for instrument, where in zip(self.instruments, self._instrument_lines, strict=True):
            if self.options.instrument_kind is None:
                reason = "the kind of instrument follows only from whether there are spectra"
                self._assumed("instrument-kind-assumed", reason, where, instrument["kind"])
        fields = self.options.fields
        readings = {each["id"] for each in self.readings} if "id" in fields else set()
        specimens = {each["id"] for each in self.specimens} if "specimen_id" in fields else set()
        if readings & specimens:
            raise Refused(
                f"{sorted(readings & specimens)[0]!r} is the id of a reading and of a specimen",
                remedy="Read only one of the two fields as ids",
            )
        taken = readings | specimens
        if not taken:
            return
        self._rename(self.instruments, "instrument", taken, self.sessions, "instrument_id")
        self._rename(self.sessions, "session", taken, self.readings, "session_id")
        if "specimen_id" not in fields:
            self._rename(self.specimens, "specimen", taken, self.readings, "specimen_id")

    def _rename(self, made: list[Value], word: str, taken: set[str], users: Iterable[Value], member: str) -> None:
        if taken.isdisjoint(each["id"] for each in made):
            return
        free = (name for name in numbered(word) if name not in taken)
        renamed = {each["id"]: next(free) for each in made}
        for each in made:
            each["id"] = renamed[each["id"]]
        for user in users:
            if member in user:
                user[member] = renamed[user[member]]


def _basis(colour: Value) -> tuple[str, ...]:
    return (colour["illuminant"], colour["observer"], colour["origin"])
