"""Records and specifications into the entries of one case: specimens and readings, in the order of the file."""

from collections.abc import Mapping
from typing import Any

from shadefmt.converters.base import numbered
from shadefmt.converters.cxf.blocks import Blocks
from shadefmt.converters.cxf.equipment import Equipment
from shadefmt.converters.cxf.grouping import Draft, Grouping
from shadefmt.converters.cxf.keeping import entry_of
from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.options import READING_MEMBERS, SPECIMEN_MEMBERS, Options
from shadefmt.converters.cxf.parts import ObjectRecord
from shadefmt.converters.cxf.specifications import Specification
from shadefmt.converters.cxf.times import timestamp_of
from shadefmt.errors import Refused

_BEFORE_TIME = ("column", "region")
_AFTER_TIME = tuple(name for name in READING_MEMBERS if name not in ("zone", *_BEFORE_TIME))


class Builder:
    """Makes the entries of one case out of records."""

    def __init__(self, ledger: Ledger, options: Options, specifications: Mapping[str, Specification]) -> None:
        self._ledger = ledger
        self._options = options
        self._grouping = Grouping(specifications)
        self._blocks = Blocks(ledger)
        self._specimen_ids = numbered("specimen")
        self._reading_ids = numbered("reading")
        self._by_key: dict[tuple[str, ...], dict[str, Any]] = {}
        self.equipment = Equipment(ledger, options, specifications)
        self.specimens: list[dict[str, Any]] = []
        self.readings: list[dict[str, Any]] = []
        self.kept: dict[str, Any] = {}
        self.kept_objects: list[dict[str, Any]] = []

    def add(self, record: ObjectRecord) -> None:
        """Make the readings of one object.

        Raises:
            Refused: a specification that is not there, or objects that contradict each other.
        """
        created = timestamp_of(record.created)
        before = len(self.readings)
        created_used = False
        for draft in self._grouping.drafts(record):
            spectrum = self._blocks.spectrum(draft, record)
            if spectrum is None and not draft.colours:
                continue
            at = self._time(record, draft, created)
            created_used = created_used or at is created
            self._reading(record, draft, spectrum, at, with_date=at is not created)
        self._account_created(record, created_used)
        if len(self.readings) == before:
            self._without_reading(record)

    def _reading(
        self,
        record: ObjectRecord,
        draft: Draft,
        spectrum: dict[str, Any] | None,
        at: str | None,
        *,
        with_date: bool,
    ) -> None:
        members = record.members
        reading: dict[str, Any] = {"id": next(self._reading_ids)}
        session = self.equipment.session_of(draft.specification, at)
        if session:
            reading["session_id"] = session
        reading["specimen_id"] = self._specimen(record)
        reading["zone"] = members.get("zone") or self._unknown_zone(record)
        if members:
            reading |= {name: members[name] for name in _BEFORE_TIME if name in members}
        if at:
            reading["at"] = at
        self._conditions(reading, draft, record)
        if spectrum:
            reading["spectrum"] = spectrum
        if draft.colours:
            reading["colours"] = self._blocks.colours(draft, record)
        kept = entry_of(record, draft, with_date=with_date)
        if kept:
            self.kept[reading["id"]] = kept
        self.readings.append(reading)

    def _conditions(self, reading: dict[str, Any], draft: Draft, record: ObjectRecord) -> None:
        members = record.members
        backing = draft.specification.backing if draft.specification else None
        if backing is not None:
            if members.get("backing", backing) != backing:
                raise Refused(
                    f"a tag says that the backing was {members['backing']}, the specification {backing}",
                    where=record.where,
                )
            members = {**members, "backing": backing}
        if members:
            reading |= {name: members[name] for name in _AFTER_TIME if name in members}

    def _unknown_zone(self, record: ObjectRecord) -> str:
        reason = "the file does not say where on the specimen was read"
        self._ledger.lost("Object", "defaulted", "zone-unknown", reason, where=record.where, new="unknown")
        return "unknown"

    def _specimen(self, record: ObjectRecord) -> str:
        """The specimen of an object: named by its group, else by kind and tooth, else one of its own."""
        members = record.members
        stated = {name: members[name] for name in SPECIMEN_MEMBERS if name in members}
        kind = members.get("specimen", self._options.specimen_kind)
        if "group" in members:
            key: tuple[str, ...] = ("group", members["group"])
        elif "tooth" in members:
            key = ("tooth", kind, members["tooth"])
        else:
            key = ("object", record.where)
        specimen = {"kind": kind, **stated}
        known = self._by_key.get(key)
        if known is None:
            known = self._by_key[key] = {"id": next(self._specimen_ids), **specimen}
            self.specimens.append(known)
            if "specimen" not in members:
                self._assumed_kind(record, kind)
        elif known != {"id": known["id"], **specimen}:
            raise Refused(
                "the tags of this object contradict those of an earlier object of the same specimen",
                where=record.where,
                remedy="Give different specimens different groups",
            )
        identifier: str = known["id"]
        return identifier

    def _assumed_kind(self, record: ObjectRecord, kind: str) -> None:
        reason = "CxF3 does not say what was measured"
        self._ledger.lost("Object", "defaulted", "specimen-kind-assumed", reason, where=record.where, new=kind)

    def _time(self, record: ObjectRecord, draft: Draft, created: str | None) -> str | None:
        measured = draft.spectrum.measured if draft.spectrum else ""
        if not measured:
            return created
        at = timestamp_of(measured)
        if at is None:
            self._odd_date(measured, "MeasureDate", record)
        return at

    def _account_created(self, record: ObjectRecord, used: bool) -> None:
        if not record.created:
            return
        path = "Object/CreationDate"
        if used:
            reason = "taken as the time of the reading: no date of measurement is stated"
            self._ledger.account.converted(path, "/readings/*/at", reason)
            return
        self._ledger.aside.append(path)
        if timestamp_of(record.created) is None:
            self._odd_date(record.created, "CreationDate", record)

    def _odd_date(self, text: str, name: str, record: ObjectRecord) -> None:
        message = f"a {name} is not in the form of ISO 8601 and was only kept as text"
        self._ledger.notice("date-unreadable", record.where, message, "Have the date written as 2026-03-04")

    def _without_reading(self, record: ObjectRecord) -> None:
        self._ledger.notice(
            "object-without-reading",
            record.where,
            "an object holds no spectrum and no colour that a case has members for",
            "Nothing, if the object is not a measurement",
        )
        kept = entry_of(record, None, with_date=True)
        if kept:
            self.kept_objects.append(kept)
