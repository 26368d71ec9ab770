"""Objects with tags of our own into entries: each is one reading, exactly the one that was written."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final, get_args

from pydantic import ValidationError

from shadefmt.converters.cxf import own
from shadefmt.converters.cxf.blocks import Blocks
from shadefmt.converters.cxf.grouping import Basis, Draft, Grouping, basis_of
from shadefmt.converters.cxf.keeping import entry_of
from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.options import Options
from shadefmt.converters.cxf.parts import ColourPart, ObjectRecord
from shadefmt.converters.cxf.specifications import Specification
from shadefmt.errors import Refused
from shadefmt.model import context, measuring
from shadefmt.model.base import Block
from shadefmt.vocabulary import Origin

Value = dict[str, Any]

_ORIGINS: Final = frozenset(get_args(Origin))
_REMEDY: Final = "Read the file without its own tags"
_ANGLES: Final = ("0:45", "45:0")
_ORDERS: Final = {
    "reading": tuple(measuring.Reading.model_fields),
    "instrument": tuple(context.Instrument.model_fields),
    "session": tuple(context.Session.model_fields),
}
_MODELS: Final[Mapping[str, type[Block]]] = {
    "specimen": context.Specimen,
    "session": context.Session,
    "instrument": context.Instrument,
}


class OwnBuilder:
    """Makes the entries of one case out of the objects that `write_cxf` wrote."""

    def __init__(self, ledger: Ledger, grouping: Grouping, blocks: Blocks, options: Options) -> None:
        self._kind = options.specimen_kind
        self._ledger = ledger
        self._grouping = grouping
        self._blocks = blocks
        self._known: dict[str, dict[str, Value]] = {word: {} for word in _MODELS}
        self._readings: set[str] = set()
        self.case_id = ""

    def entries(self, word: str) -> list[Value]:
        """Return the specimens, sessions or instruments in order of first appearance."""
        return list(self._known[word].values())

    def add(self, record: ObjectRecord) -> tuple[Value, Value]:
        """Return the reading of an object, and what is kept beside it.

        Raises:
            Refused: tags that are missing, contradict each other or the rest, or say what they cannot.
        """
        tags = record.own
        self._same_case(tags.get(own.CASE, ""), record)
        draft = self._draft(record)
        made = own.entry_of("reading", tags, record.where)
        made |= self._references(record, draft.specification)
        self._take_id(made, record)
        backing = draft.specification.backing if draft.specification else None
        if backing is not None:
            made["backing"] = backing
        spectrum = self._blocks.spectrum(draft, record)
        if spectrum:
            made["spectrum"] = self._even(spectrum, record)
        colours = self._colours(draft, record)
        if colours:
            made["colours"] = colours
        if "zone" not in made or not (spectrum or colours):
            raise Refused("an object is not the reading that its tags name", where=record.where, remedy=_REMEDY)
        return _ordered("reading", made), self._kept(record, draft, made)

    def _same_case(self, name: str, record: ObjectRecord) -> None:
        if not name or (self.case_id and name != self.case_id):
            what = "objects of several cases" if name else "an object that does not say which case it is of"
            raise Refused(f"the file holds {what}", where=record.where, remedy=_REMEDY)
        self.case_id = name

    def _take_id(self, made: Value, record: ObjectRecord) -> None:
        identity = made.get("id", "")
        if not identity or identity in self._readings:
            what = f"the reading {identity} is there twice" if identity else "the tag reading.id is missing"
            raise Refused(what, where=record.where, remedy=_REMEDY)
        self._readings.add(identity)

    def _references(self, record: ObjectRecord, specification: Specification | None) -> Value:
        tags, where = record.own, record.where
        made = {}
        specimen = own.entry_of("specimen", tags, where)
        if "id" not in specimen:
            raise Refused("the tag specimen.id is missing", where=where, remedy=_REMEDY)
        if "kind" not in specimen:
            specimen = {"id": specimen["id"], "kind": self._kind, **specimen}
        made["specimen_id"] = self._entry("specimen", specimen, where)
        session = own.entry_of("session", tags, where)
        instrument = own.entry_of("instrument", tags, where)
        if instrument and session:
            instrument = _ordered("instrument", {**_facts(specification), **instrument})
            session["instrument_id"] = self._entry("instrument", instrument, where)
        if session:
            made["session_id"] = self._entry("session", _ordered("session", session), where)
        return made

    def _entry(self, word: str, entry: Value, where: str) -> str:
        identity: str = entry.get("id", "")
        if not identity:
            raise Refused(f"the tag {word}.id is missing", where=where, remedy=_REMEDY)
        known = self._known[word].get(identity)
        if known is None:
            _demand_whole(word, entry, where)
            self._known[word][identity] = entry
        elif known != entry:
            raise Refused(f"two objects say different things of {word} {identity}", where=where, remedy=_REMEDY)
        return identity

    def _draft(self, record: ObjectRecord) -> Draft:
        """All parts as one reading; colours that have no origin as their name go aside."""
        if len(record.spectra) > 1:
            raise Refused("an object holds two spectra; a reading has one", where=record.where, remedy=_REMEDY)
        first = (record.spectra or record.colours or [None])[0]
        specification = self._grouping.specification(first, record) if first is not None else None
        spectrum = record.spectra[0] if record.spectra else None
        draft = Draft(specification, spectrum)
        draft.aside = [part for part in record.colours if part.name not in _ORIGINS]
        return draft

    def _colours(self, draft: Draft, record: ObjectRecord) -> list[Value]:
        groups: dict[tuple[Basis, str], list[ColourPart]] = {}
        for part in record.colours:
            if part.name in _ORIGINS:
                basis = basis_of(self._grouping.specification(part, record))
                groups.setdefault((basis, part.name), []).append(part)
        made: list[Value] = []
        if not groups and draft.aside:
            self._blocks.colours(draft, record)
        for (basis, origin), parts in groups.items():
            if len({part.member for part in parts}) < len(parts) or len({part.decimals for part in parts}) > 1:
                raise Refused("an object states a colour twice", where=record.where, remedy=_REMEDY)
            one = Draft(draft.specification, None, {basis: parts}, [] if made else draft.aside)
            made += [{**each, "origin": origin} for each in self._blocks.colours(one, record)]
        return made

    def _even(self, spectrum: Value, record: ObjectRecord) -> Value:
        """Give a spectrum back its start and step, where it was written as points."""
        grid = own.entry_of("spectrum", record.own, record.where)
        if not grid:
            return spectrum
        waves = spectrum.get("wavelengths_nm", [])
        if set(grid) != {"start_nm", "step_nm"} or waves != [
            grid["start_nm"] + place * grid["step_nm"] for place in range(len(waves))
        ]:
            raise Refused("start and step of a spectrum do not give its points", where=record.where, remedy=_REMEDY)
        rest = {name: value for name, value in spectrum.items() if name != "wavelengths_nm"}
        return {"quantity": rest.pop("quantity"), **grid, **rest}

    def _kept(self, record: ObjectRecord, draft: Draft, made: Value) -> Value:
        parts = [part._replace(name="") for part in record.colours if part.name in _ORIGINS]
        whole = replace(draft, colours={("", ""): parts})
        with_date = record.created != made.get("at", "")
        paths = self._ledger.aside if with_date else self._ledger.seen
        if record.created:
            paths.append(("Object/CreationDate",))
        if draft.spectrum is not None and draft.spectrum.measured not in ("", made.get("at", "")):
            raise Refused("MeasureDate is not the time that the tags state", where=record.where, remedy=_REMEDY)
        return entry_of(record, whole, with_date=with_date)


def _demand_whole(word: str, entry: Value, where: str) -> None:
    """Refuse an entry that lacks a member because tags of it are missing."""
    try:
        _MODELS[word].model_validate(entry)
    except ValidationError as failure:
        place = ".".join(map(str, failure.errors()[0]["loc"]))
        raise Refused(f"the tag {word}.{place} is missing", where=where, remedy=_REMEDY) from None


def _facts(specification: Specification | None) -> Value:
    """Members of an instrument that a specification says; tags say the others."""
    if specification is None:
        return {}
    found = {
        "geometry": specification.geometry if specification.geometry in _ANGLES else None,
        "specular": specification.specular,
        "aperture_mm": specification.aperture_mm,
        "model": specification.model or None,
    }
    return {name: value for name, value in found.items() if value is not None}


def _ordered(word: str, entry: Mapping[str, Any]) -> Value:
    return {name: entry[name] for name in _ORDERS[word] if name in entry}
