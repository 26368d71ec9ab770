"""Records and specifications into the entries of one case: specimens and readings, in the order of the file."""

from collections.abc import Mapping
from typing import Any

from shadefmt.converters.base import numbered
from shadefmt.converters.cxf import own
from shadefmt.converters.cxf.blocks import Blocks
from shadefmt.converters.cxf.equipment import Equipment
from shadefmt.converters.cxf.grouping import Draft, Grouping
from shadefmt.converters.cxf.keeping import entry_of
from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.options import Options
from shadefmt.converters.cxf.own_building import OwnBuilder
from shadefmt.converters.cxf.parts import ObjectRecord
from shadefmt.converters.cxf.specifications import Specification
from shadefmt.converters.cxf.times import odd_date, timestamp_of
from shadefmt.converters.cxf.writing.dating import date_time
from shadefmt.converters.stating import READING_MEMBERS, SPECIMEN_MEMBERS
from shadefmt.errors import Refused
from shadefmt.vocabulary import Backing

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
        self._by_key: dict[tuple[str, ...], dict[str, str]] = {}
        self._own: str | None = None
        self._dates_taken = 0
        self.equipment = Equipment(ledger, options, specifications)
        self.specimens: list[dict[str, str]] = []
        self.readings: list[dict[str, Any]] = []
        self.kept: dict[str, Any] = {}
        self.kept_objects: list[dict[str, Any]] = []
        self.own = OwnBuilder(ledger, self._grouping, self._blocks, options) if options.own_tags else None

    def add(self, record: ObjectRecord) -> None:
        """Make the readings of one object.

        Raises:
            Refused: a specification that is not there, or objects that contradict each other.
        """
        if self.own is not None and (record.own or record.spectra or record.colours):
            reading, kept = self.own.add(record)
            self.readings.append(reading)
            self.kept |= {reading["id"]: kept} if kept else {}
            return
        created = timestamp_of(record.created) if record.created else None
        dated = created if self._is_time(record) else None
        before = len(self.readings)
        self._own = None
        created_used = False
        for draft in self._grouping.drafts(record):
            spectrum = self._blocks.spectrum(draft, record) if draft.spectrum else None
            if spectrum is None and not draft.colours:
                continue
            measured = draft.spectrum.measured if draft.spectrum else ""
            of_object = dated is not None and not measured
            self._reading(record, draft, spectrum, measured or dated, of_object)
            created_used |= of_object
        if record.created:
            self._account_created(record, created_used, created)
        if len(self.readings) == before:
            self._without_reading(record)

    def _is_time(self, record: ObjectRecord) -> bool:
        """Whether the date of an object can be that of its reading: with tags of ours only where they say so."""
        tags = {name: value for collection, name, value in record.tags if collection == own.COLLECTION}
        return not tags or date_time(tags.get("reading.at", "")) == record.created

    def finish(self) -> None:
        """Account for what was only counted."""
        if self._dates_taken:
            reason = "taken as the time of the reading: no date of measurement is stated"
            self._ledger.account.converted("Object/CreationDate", "/readings/*/at", reason, self._dates_taken)

    def lists(self) -> dict[str, list[dict[str, Any]]]:
        """Return the entries of the case by list."""
        own = self.own
        return {
            "instruments": self.equipment.instruments if own is None else own.entries("instrument"),
            "specimens": self.specimens if own is None else own.entries("specimen"),
            "sessions": self.equipment.sessions if own is None else own.entries("session"),
            "readings": self.readings,
        }

    def _reading(
        self, record: ObjectRecord, draft: Draft, spectrum: dict[str, Any] | None, at: str | None, of_object: bool
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
        backing = draft.specification.backing if draft.specification else None
        if members or backing:
            reading |= self._conditions(backing, record)
        if spectrum:
            reading["spectrum"] = spectrum
        if draft.colours:
            reading["colours"] = self._blocks.colours(draft, record)
        kept = entry_of(record, draft, with_date=not of_object)
        if kept:
            self.kept[reading["id"]] = kept
        self.readings.append(reading)

    def _conditions(self, backing: Backing | None, record: ObjectRecord) -> dict[str, str]:
        members = record.members
        if backing is not None:
            if members.get("backing", backing) != backing:
                raise Refused(
                    f"a tag says that the backing was {members['backing']}, the specification {backing}",
                    where=record.where,
                )
            members = {**members, "backing": backing}
        return {name: members[name] for name in _AFTER_TIME if name in members}

    def _unknown_zone(self, record: ObjectRecord) -> str:
        reason = "the file does not say where on the specimen was read"
        self._ledger.assumed("zone-unknown", reason, record.where, "unknown")
        return "unknown"

    def _specimen(self, record: ObjectRecord) -> str:
        """The specimen of an object: named by its group, else by kind and tooth, else one of its own."""
        members = record.members
        if "group" in members:
            return self._shared(("group", members["group"]), record)
        if "tooth" in members:
            return self._shared(("tooth", members.get("specimen", ""), members["tooth"]), record)
        if self._own is None:
            self._own = self._new_specimen(record)["id"]
        return self._own

    def _shared(self, key: tuple[str, ...], record: ObjectRecord) -> str:
        known = self._by_key.get(key)
        if known is None:
            known = self._by_key[key] = self._new_specimen(record)
        elif known != {"id": known["id"], **self._stated(record)}:
            raise Refused(
                "the tags of this object contradict those of an earlier object of the same specimen",
                where=record.where,
                remedy="Give different specimens different groups",
            )
        identifier: str = known["id"]
        return identifier

    def _new_specimen(self, record: ObjectRecord) -> dict[str, str]:
        made = {"id": next(self._specimen_ids), **self._stated(record)}
        self.specimens.append(made)
        if "specimen" not in record.members:
            reason = "CxF3 does not say what was measured"
            self._ledger.assumed("specimen-kind-assumed", reason, record.where, made["kind"])
        return made

    def _stated(self, record: ObjectRecord) -> dict[str, str]:
        members = record.members
        if not members:
            return {"kind": self._options.specimen_kind}
        kind = members.get("specimen", self._options.specimen_kind)
        return {"kind": kind, **{name: members[name] for name in SPECIMEN_MEMBERS if name in members}}

    def _account_created(self, record: ObjectRecord, used: bool, created: str | None) -> None:
        if used:
            self._dates_taken += 1
            return
        self._ledger.aside.append(("Object/CreationDate",))
        if created is None:
            odd_date("CreationDate", record.where, self._ledger)

    def _without_reading(self, record: ObjectRecord) -> None:
        self._ledger.notice(
            "object-without-reading",
            record.where,
            "an object holds no spectrum and no colour that a case has members for",
            "Nothing to do if the object is not a measurement",
        )
        kept = entry_of(record, None, with_date=True)
        if kept:
            self.kept_objects.append(kept)
