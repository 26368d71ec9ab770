"""Tags of our own: what a case says of a reading and CxF3 has no place for, by member, there and back.

A tag is named by entry and member, such as `specimen.tooth` or `session.calibration.at`. Its value is the text, the
shortest number, or `true` or `false`. References to entries that do not travel have no tag.
"""

import re
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from typing import Annotated, Any, Final, NamedTuple

from pydantic import TypeAdapter, ValidationError

from shadefmt.converters.numerals import short
from shadefmt.errors import Refused
from shadefmt.model.base import Block
from shadefmt.model.colours import Spectrum
from shadefmt.model.context import Instrument, Session, Specimen
from shadefmt.model.measuring import Reading

COLLECTION: Final = "org.shadefmt"
"""Name of the collection of tags in which shadefmt writes what CxF3 has no place for."""

CASE: Final = "case.id"
"""Tag that names the case of an object."""

NO_DATE: Final = "1900-01-01T00:00:00"
"""Written where a case states no time at all: long before any instrument that could have made the reading."""

_PREFIX: Final = re.compile(r"__[0-9]+\.")
_ENTRIES: Final[Mapping[str, type[Block]]] = {
    "reading": Reading,
    "specimen": Specimen,
    "session": Session,
    "instrument": Instrument,
    "spectrum": Spectrum,
}
_NUMBERS_OR_LINKS: Final = frozenset({"visual", "spectrum", "colours"})
_GRID: Final = frozenset({"start_nm", "step_nm"})
_TRUTHS: Final = {"true": True, "false": False}


class Member(NamedTuple):
    """A member that has a tag: name of the tag, and the members from the entry down to the value."""

    tag: str
    path: tuple[str, ...]
    kind: Any
    bounds: tuple[Any, ...]


@cache
def members_of(word: str) -> dict[str, Member]:
    """Return the members of a kind of entry that have a tag, by name of the tag, in the order of the format."""
    return {each.tag: each for each in _members(_ENTRIES[word], (word,)) if word != "spectrum" or each.path[0] in _GRID}


def _members(model: type[Block], above: tuple[str, ...]) -> Iterator[Member]:
    for name, field in model.model_fields.items():
        if name in _NUMBERS_OR_LINKS or name.endswith(("_id", "_ids")):
            continue
        path = (*above, name)
        if isinstance(field.annotation, type) and issubclass(field.annotation, Block):
            yield from _members(field.annotation, path)
        elif not str(field.annotation).startswith("list"):
            yield Member(".".join(path), path[1:], field.annotation, tuple(field.metadata))


def prefix_of(number: int) -> str:
    """Return what the ids of the objects of a case begin with, by its number in the file."""
    return f"__{number}." if number > 1 else ""


def taken_prefix(attributes: dict[str, str]) -> str:
    """Take the beginning that tells the case off the id of an object, and return it."""
    found = _PREFIX.match(attributes.get("Id", ""))
    if found is None:
        return ""
    attributes["Id"] = attributes["Id"][found.end() :]
    return found[0]


def is_known(tag: str) -> bool:
    """Return whether a tag is one of ours."""
    word = tag.partition(".")[0]
    return tag == CASE or (word in _ENTRIES and tag in members_of(word))


def text_of(value: Any) -> str:
    """Return a value as the text of a tag."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else short(value)


@lru_cache(maxsize=4096)
def value_of(tag: str, text: str) -> Any:
    """Return what the text of a tag says.

    Raises:
        Refused: nothing that the member may hold; without a place.
    """
    member = members_of(tag.partition(".")[0])[tag]
    try:
        value = _read(member.kind, text)
        return _adapter(tag).validate_python(value, strict=True)
    except (ValueError, KeyError, ValidationError):
        raise Refused(f"the tag {tag} of {COLLECTION} says {text[:40]!r}, which it cannot") from None


def _read(kind: Any, text: str) -> Any:
    if kind is bool:
        return _TRUTHS[text]
    if kind not in (int, float):
        return text
    number = float(text)
    return int(number) if number.is_integer() else number


@cache
def _adapter(tag: str) -> TypeAdapter[Any]:
    member = members_of(tag.partition(".")[0])[tag]
    kind: Any = Annotated[member.kind, *member.bounds] if member.bounds else member.kind
    return TypeAdapter(kind)


def entry_of(word: str, tags: Mapping[str, str], where: str) -> dict[str, Any]:
    """Return the entry of a kind that tags describe, empty where none does.

    Raises:
        Refused: a tag says what its member cannot.
    """
    made: dict[str, Any] = {}
    for tag, member in members_of(word).items():
        if tag not in tags:
            continue
        try:
            value = value_of(tag, tags[tag])
        except Refused as fault:
            raise Refused(fault.what, where=where, remedy="Read the file without its own tags") from None
        holder = made
        for name in member.path[:-1]:
            holder = holder.setdefault(name, {})
        holder[member.path[-1]] = int(value) if isinstance(value, float) and value.is_integer() else value
    return made
