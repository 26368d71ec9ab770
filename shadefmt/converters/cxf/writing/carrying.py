"""The readings of one case as objects; whatever is taken from the case is marked as written in the same step."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final
from xml.sax.saxutils import escape

from shadefmt.converters.cxf import own
from shadefmt.converters.cxf.conditions import illuminant_of, observer_of
from shadefmt.converters.cxf.writing import measured
from shadefmt.converters.cxf.writing.dating import date_time, first_date
from shadefmt.converters.cxf.writing.describing import ASSUMED, Conditions, Specifications, said_of, texts_of
from shadefmt.converters.cxf.writing.restoring import Kept, tag_line
from shadefmt.converters.cxf.writing.xmltext import PREFIX, attribute, can_stand, is_name
from shadefmt.converters.leaving import Leaving, Path, Reason

Value = Mapping[str, Any]

_WITHDRAWN: Final = Reason("withdrawn", "the reading was withdrawn; CxF3 cannot say so and would pass it off as valid")
_NOT_XML: Final = Reason("control-characters", "a text with control characters has no place in XML")
_NO_TIME: Final = Reason("time-assumed", "CxF3 demands a date of every object; the reading states no time of day")
_ANGLE: Final = Reason(
    "angle-configuration-assumed", "CxF3 asks whether the light comes from all around or from one side"
)
_TAG: Final = "Object/TagCollection/Tag"
_TYPE: Final = "Trial"
_BACKING: Final = "ColorSpecification/MeasurementSpec/Backing"
_ON_INSTRUMENT: Final = {
    "geometry": "ColorSpecification/MeasurementSpec/GeometryChoice",
    "specular": "ColorSpecification/MeasurementSpec/GeometryChoice/SphereGeometry",
    "aperture_mm": "ColorSpecification/MeasurementSpec/Aperture",
    "model": "ColorSpecification/MeasurementSpec/Device/Model",
}
_Described = tuple[str, dict[str, str], frozenset[str]]


class CaseObjects:
    """Writes the readings of one case that count and hold a number; `written` is how many there were."""

    def __init__(self, case: Value, leaving: Leaving, specifications: Specifications, prefix: str) -> None:
        self._case = case
        self._leaving = leaving
        self._specifications = specifications
        self._prefix = prefix
        self._kept = Kept(case, leaving)
        self._specimens = _places(case.get("specimens", ()))
        self._sessions = _places(case.get("sessions", ()))
        self._instruments = _places(case.get("instruments", ()))
        self._revisions = {each["id"]: each for each in case.get("revisions", ())}
        self._described: dict[tuple[Any, ...], _Described] = {}
        self._entry_tags: dict[tuple[str, int, frozenset[str]], list[str]] = {}
        self._names = {_plain_name(each["id"]) for each in case.get("readings", ())}
        self._taken: set[str] = set()
        self._assumed: set[int] = set()
        self.written = 0

    def lines(self) -> Iterator[str]:
        """Yield the lines of the objects."""
        withdrawn = {each["entry_id"] for each in self._case.get("withdrawals", ())}
        for place, reading in enumerate(self._case.get("readings", ())):
            if reading["id"] in withdrawn:
                self._leaving.left(("readings", place), _WITHDRAWN)
                continue
            path: Path = ("readings", place)
            spectrum = reading.get("spectrum")
            shape = measured.shape_of(spectrum, (*path, "spectrum"), self._leaving) if spectrum else None
            colours = measured.colours_of(reading, path, self._leaving)
            if shape is not None or colours:
                self.written += 1
                yield from self._object(place, reading, shape, colours)

    def _object(
        self, place: int, reading: Value, shape: measured.Shape | None, colours: list[tuple[int, list[str]]]
    ) -> Iterator[str]:
        identity = reading["id"]
        kept = self._kept.of(identity)
        session = self._sessions.get(reading.get("session_id"))
        device = self._device(session)
        values, said = self._values(place, reading, shape, colours, device)
        specimen = self._specimens.get(reading["specimen_id"])
        yield f"   <{PREFIX}:Object{self._attributes(reading, kept)}>"
        yield f"    <{PREFIX}:CreationDate>{self._date(place, reading, session, kept)}</{PREFIX}:CreationDate>"
        comment = self._kept.text(kept, "comment")
        if comment:
            self._kept.restored(identity, "comment", "Object/Comment")
            yield f"    <{PREFIX}:Comment>{escape(comment, {chr(13): '&#13;'})}</{PREFIX}:Comment>"
        yield f"    <{PREFIX}:ColorValues>"
        yield from values
        yield f"    </{PREFIX}:ColorValues>"
        yield from self._kept.tag_lines(identity, kept)
        yield f"    <{PREFIX}:TagCollection{attribute('Name', own.COLLECTION)}>"
        yield tag_line(own.CASE, self._case["id"])
        yield from self._reading_tags(place, reading, specimen, shape)
        for word, entry, without in (
            ("specimen", specimen, ()),
            ("session", session, ()),
            ("instrument", device, said),
        ):
            if entry is not None:
                yield from self._tags_of(word, entry, frozenset(without))
        yield f"    </{PREFIX}:TagCollection>"
        yield from self._kept.physical_lines(identity, kept)
        yield f"   </{PREFIX}:Object>"

    def _device(self, session: int | None) -> int | None:
        if session is None:
            return None
        name = self._case["sessions"][session].get("instrument_id")
        place = self._instruments.get(name)
        if place is not None:
            self._leaving.wrote(("sessions", session, "instrument_id"), _TAG)
        return place

    def _attributes(self, reading: Value, kept: Value) -> str:
        identity = reading["id"]
        texts = {"ObjectType": _TYPE, "Name": f"{reading['specimen_id']} {reading['zone']}", "Id": ""}
        for name, member in (("ObjectType", "object_type"), ("Name", "object_name"), ("GUID", "object_guid")):
            text = self._kept.text(kept, member)
            if text:
                texts[name] = text
                self._kept.restored(identity, member, f"Object/@{name}")
        texts["Id"] = _plain_name(identity)
        wished = self._kept.text(kept, "object_id")
        free = wished not in self._taken and (wished not in self._names or wished == texts["Id"])
        if is_name(wished) and not wished.startswith("_") and free:
            texts["Id"] = wished
            self._kept.restored(identity, "object_id", "Object/@Id")
        self._taken.add(texts["Id"])
        texts["Id"] = self._prefix + texts["Id"]
        return "".join(attribute(name, text) for name, text in texts.items())

    def _date(self, place: int, reading: Value, session: int | None, kept: Value) -> str:
        created = date_time(self._kept.text(kept, "created"))
        if created == kept.get("created") and created:
            self._kept.restored(reading["id"], "created", "Object/CreationDate")
            return created
        at = reading.get("at")
        exact = date_time(at) if at else None
        if exact:
            return exact
        sitting = self._case["sessions"][session] if session is not None else {}
        revision: Value = self._revisions.get(reading.get("revision_id")) or next(iter(self._revisions.values()), {})
        made = first_date([at, sitting.get("started"), revision.get("at")])
        self._leaving.defaulted(("readings", place, "at") if at else ("readings", place), _NO_TIME, new=made)
        return made

    def _values(
        self,
        place: int,
        reading: Value,
        shape: measured.Shape | None,
        colours: list[tuple[int, list[str]]],
        device: int | None,
    ) -> tuple[list[str], frozenset[str]]:
        kept = self._kept.of(reading["id"])
        names = self._kept.specification_ids(kept)
        blocks = [reading["colours"][number] for number, _ in colours]
        basis = (blocks[0]["illuminant"], blocks[0]["observer"]) if blocks else None
        lines: list[str] = []
        said: list[frozenset[str]] = []
        used: list[str] = []
        path: Path = ("readings", place)

        def described(basis: tuple[str, str] | None, wished: str) -> str:
            identity, texts, exact = self._describe(reading, shape, basis, device, wished)
            self._kept.restored_specification(wished, texts, identity)
            said.append(exact)
            used.append(identity)
            return identity

        if shape is not None:
            wished = names[0] if names else ""
            name = described(self._basis_of(wished, basis), wished)
            lines += measured.spectrum_lines(reading["spectrum"], shape, name, (*path, "spectrum"), self._leaving)
        for (number, members), colour in zip(colours, blocks, strict=True):
            basis = (colour["illuminant"], colour["observer"])
            wished = next((name for name in names if self._basis_of(name, None) == basis), "")
            here: Path = (*path, "colours", number)
            lines += self._colour(reading["id"], kept, colour, members, described(basis, wished), here)
        lines += self._further(reading, kept, shape, device)
        if names and list(dict.fromkeys(used)) == names:
            self._kept.restored(reading["id"], "specification_ids", "Object/ColorValues/*/@ColorSpecification")
        if "backing" in reading:
            self._leaving.wrote((*path, "backing"), _BACKING)
        return lines, frozenset.intersection(*said)

    def _describe(
        self,
        reading: Value,
        shape: measured.Shape | None,
        basis: tuple[str, str] | None,
        device: int | None,
        wished: str,
    ) -> _Described:
        quantity = reading["spectrum"]["quantity"] if shape is not None else ""
        grid = shape.grid if shape is not None else None
        key = (basis, quantity, grid, reading.get("backing"), device, wished)
        known = self._described.get(key)
        if known is None:
            entry = self._case["instruments"][device] if device is not None else {}
            source = self._kept.specification(wished)
            texts, assumed = texts_of(Conditions(basis, quantity, grid, reading.get("backing"), entry, source))
            said = frozenset(said_of(entry, texts))
            known = self._described[key] = (self._specifications.id_of(texts, wished), texts, said)
            if assumed and device is not None and device not in self._assumed:
                self._assumed.add(device)
                self._leaving.defaulted(("instruments", device, "geometry"), _ANGLE, new=ASSUMED)
        return known

    def _basis_of(self, name: str, otherwise: tuple[str, str] | None) -> tuple[str, str] | None:
        """The basis that a kept specification states."""
        texts = self._kept.specification(name)
        light, eye = texts.get("TristimulusSpec/Illuminant"), texts.get("TristimulusSpec/Observer")
        if light is None or eye is None:
            return otherwise
        return illuminant_of(light) or "unknown", observer_of(eye) or "unknown"

    def _colour(
        self, identity: str, kept: Value, colour: Value, members: list[str], specification: str, path: Path
    ) -> list[str]:
        written = self._kept.as_written(kept, members[0], colour) if len(members) == 1 else None
        if written is None:
            return measured.colour_lines(colour, members, specification, path, self._leaving)
        name, texts = written
        self._kept.restored_coordinates(identity, name, texts)
        self._leaving.restated((*path, members[0]), f"Object/ColorValues/{name}", "in the coordinates of the source")
        measured.mark_colour(colour, name, path, self._leaving)
        made = [f"<{PREFIX}:{letter}>{text.strip()}</{PREFIX}:{letter}>" for letter, text in texts.items()]
        return measured.value_lines(name, colour["origin"], specification, made)

    def _further(self, reading: Value, kept: Value, shape: measured.Shape | None, device: int | None) -> list[str]:
        lines: list[str] = []
        for name, texts, label, source, keys in self._kept.further_values(kept):
            basis = self._basis_of(source, None)
            identity, _, _ = self._describe(reading, shape, basis, device, source)
            if identity != source:
                continue
            made = [f"<{PREFIX}:{letter}>{text}</{PREFIX}:{letter}>" for letter, text in texts.items()]
            lines += measured.value_lines(name, label, identity, made)
            self._kept.restored_values(reading["id"], keys)
        return lines

    def _reading_tags(
        self, place: int, reading: Value, specimen: int | None, shape: measured.Shape | None
    ) -> Iterator[str]:
        yield from self._tags("reading", ("readings", place), reading, frozenset({"backing"}))
        if specimen is None:
            yield tag_line("specimen.id", reading["specimen_id"])
        self._leaving.wrote(("readings", place, "specimen_id"), _TAG)
        if reading.get("session_id") in self._sessions:
            self._leaving.wrote(("readings", place, "session_id"), _TAG)
        if shape is not None and shape.waves:
            yield from (tag_line(*each) for each in _grid_tags(reading["spectrum"]))

    def _tags_of(self, word: str, place: int, without: frozenset[str]) -> list[str]:
        key = (word, place, without)
        known = self._entry_tags.get(key)
        if known is None:
            path: Path = (f"{word}s", place)
            entry = self._case[f"{word}s"][place]
            known = self._entry_tags[key] = self._tags(word, path, entry, without)
            for name in without:
                self._leaving.wrote((*path, name), _ON_INSTRUMENT[name])
        return known

    def _tags(self, word: str, path: Path, entry: Value, without: frozenset[str]) -> list[str]:
        lines: list[str] = []
        written: dict[str, str] = {}
        for tag, member in own.members_of(word).items():
            value = entry.get(member.path[0])
            if value is None or member.path[0] in without:
                continue
            for name in member.path[1:]:
                value = value.get(name)
            if value is None:
                continue
            text = own.text_of(value)
            if not can_stand(text):
                self._leaving.left((*path, *member.path), _NOT_XML)
                continue
            lines.append(tag_line(tag, text))
            if len(member.path) == 1:
                written[tag.partition(".")[2]] = _TAG
            else:
                self._leaving.wrote((*path, *member.path), _TAG)
        self._leaving.wrote_members(path, written)
        return lines


def _grid_tags(spectrum: Value) -> Iterator[tuple[str, str]]:
    """An even grid that CxF3 writes as points comes back as what it was."""
    for name in ("start_nm", "step_nm"):
        if name in spectrum:
            yield f"spectrum.{name}", own.text_of(spectrum[name])


def _plain_name(identity: str) -> str:
    """An id of the format as an NCName: one that begins with a digit gets a line before it."""
    return identity if identity[0].isalpha() else f"_{identity}"


def _places(entries: Iterable[Value]) -> dict[Any, int]:
    """Place of each entry by id, the first where an id is there twice."""
    found: dict[Any, int] = {}
    for place, entry in enumerate(entries):
        found.setdefault(entry["id"], place)
    return found
