"""The readings of one case as objects; whatever is taken from the case is marked as written in the same step."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final
from xml.sax.saxutils import escape

from shadefmt.converters.cxf.own import COLLECTION
from shadefmt.converters.cxf.writing import measured
from shadefmt.converters.cxf.writing.dating import date_time, first_date
from shadefmt.converters.cxf.writing.describing import Specifications
from shadefmt.converters.cxf.writing.restoring import ROOT, Kept
from shadefmt.converters.cxf.writing.tagging import TAG, Tags
from shadefmt.converters.cxf.writing.valuing import Colours, Values
from shadefmt.converters.cxf.writing.xmltext import LINE_ENDS, PREFIX, attribute, is_name
from shadefmt.converters.leaving import Leaving, Path, Reason

Value = Mapping[str, Any]

_WITHDRAWN: Final = Reason(
    "withdrawn", "the reading was withdrawn; CxF3 cannot say so and would hand it on as one that counts"
)
_NO_TIME: Final = Reason("time-assumed", "CxF3 demands a date of every object; the reading states no time of day")
_TYPE: Final = "Trial"


class CaseObjects:
    """Writes the readings of one case that count and hold a number; `written` is how many there were."""

    def __init__(self, case: Value, leaving: Leaving, specifications: Specifications, prefix: str) -> None:
        self._case = case
        self._leaving = leaving
        self._prefix = prefix
        self._kept = Kept(case, leaving)
        self._values = Values(case, leaving, specifications, self._kept)
        self._tags = Tags(case, leaving)
        self._specimens = _places(case.get("specimens", ()))
        self._sessions = _places(case.get("sessions", ()))
        self._instruments = _places(case.get("instruments", ()))
        self._revisions = {each["id"]: each for each in case.get("revisions", ())}
        self._names = {_plain_name(each["id"]) for each in case.get("readings", ())}
        self._taken: set[str] = set()
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

        if self.written:
            yield from self._bystanders()

    def _bystanders(self) -> Iterator[str]:
        """Yield the lines of objects that the source of the case had beside those that became readings."""
        for place, kept in self._kept.bystanders():
            identity = self._kept.text(kept, "object_id")
            created = date_time(self._kept.text(kept, "created"))
            clear = is_name(identity) and not identity.startswith("_")
            if not clear or identity in self._names | self._taken or created is None or created != kept["created"]:
                continue
            self._taken.add(identity)
            names = {"ObjectType": "object_type", "Name": "object_name", "GUID": "object_guid"}
            texts = {name: self._kept.text(kept, member) for name, member in names.items()}
            texts = {name: text for name, text in texts.items() if text or name != "GUID"}
            attributes = {**texts, "Id": self._prefix + identity}
            written = [member for name, member in names.items() if texts.get(name)]
            self._kept.restored_bystander(place, kept, ["object_id", "created", *written])
            start = "".join(attribute(name, text) for name, text in attributes.items())
            yield f"   <{PREFIX}:Object{start}>"
            yield f"    <{PREFIX}:CreationDate>{created}</{PREFIX}:CreationDate>"
            yield from self._comment(("objects", place), kept)
            yield from self._kept.tag_lines(("objects", place), kept)
            yield from self._kept.physical_lines(("objects", place), kept)
            yield f"   </{PREFIX}:Object>"

    def _comment(self, path: Path, kept: Value) -> list[str]:
        comment = self._kept.text(kept, "comment")
        if not comment:
            return []
        self._leaving.wrote((*ROOT, *path, "comment"), "Object/Comment")
        return [f"    <{PREFIX}:Comment>{escape(comment, LINE_ENDS)}</{PREFIX}:Comment>"]

    def _object(self, place: int, reading: Value, shape: measured.Shape | None, colours: Colours) -> Iterator[str]:
        identity = reading["id"]
        kept = self._kept.of(identity)
        session = self._sessions.get(reading.get("session_id"))
        device = self._device(session)
        values, said = self._values.lines(place, reading, shape, colours, device)
        places = {"specimen": self._specimens.get(reading["specimen_id"]), "session": session, "instrument": device}
        yield f"   <{PREFIX}:Object{self._attributes(reading, kept)}>"
        yield f"    <{PREFIX}:CreationDate>{self._date(place, reading, session, kept)}</{PREFIX}:CreationDate>"
        yield from self._comment(("readings", identity), kept)
        yield f"    <{PREFIX}:ColorValues>"
        yield from values
        yield f"    </{PREFIX}:ColorValues>"
        yield from self._kept.tag_lines(("readings", identity), kept)
        yield f"    <{PREFIX}:TagCollection{attribute('Name', COLLECTION)}>"
        yield from self._tags.lines(place, places, said, points=shape is not None and bool(shape.waves))
        yield f"    </{PREFIX}:TagCollection>"
        yield from self._kept.physical_lines(("readings", identity), kept)
        yield f"   </{PREFIX}:Object>"

    def _device(self, session: int | None) -> int | None:
        if session is None:
            return None
        name = self._case["sessions"][session].get("instrument_id")
        place = self._instruments.get(name)
        if place is not None:
            self._leaving.wrote(("sessions", session, "instrument_id"), TAG)
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


def _plain_name(identity: str) -> str:
    """An id of the format as an NCName: one that begins with a digit gets a line before it."""
    return identity if identity[0].isalpha() else f"_{identity}"


def _places(entries: Iterable[Value]) -> dict[Any, int]:
    """Place of each entry by id, the first where an id is there twice."""
    found: dict[Any, int] = {}
    for place, entry in enumerate(entries):
        found.setdefault(entry["id"], place)
    return found
