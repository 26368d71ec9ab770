"""Objects that are written alike are read by template: the same record, several times faster.

A file holds thousands of objects that differ in values only. The first of a kind is read carefully; its
serialised form, with a group wherever a value stands, is a regular expression that further objects either
match from end to end or not. What matches has the same elements and attributes in the same order with
nothing between them, so the groups are all there is to read. Whatever does not match is read carefully.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from lxml import etree

from shadefmt.converters.cxf.names import QUALIFIED, Attributes

MAX_TEMPLATES = 6
"""Templates tried on one object; a file whose objects differ more than that is read carefully."""

_VALUE, _LIST, _NUMBER, _BLANK = "\ue000", "\ue001", "\ue002", "\ue003"  # private use: stand-ins while serialising
_GROUPS = {
    _VALUE: r"([^\"&<]*+)",
    _LIST: r"([0-9.eE+\- \t\r\n]*+)",
    _NUMBER: r"[ \t\r\n]*+([0-9.eE+-]++)[ \t\r\n]*+",
    _BLANK: r"[ \t\r\n]*+",
}


class Kind(NamedTuple):
    """An element of `ColorValues` that a template can hold.

    `coordinates` are the children that hold one number each; without them the element's text is a list.
    """

    attributes: Attributes
    coordinates: tuple[str, ...]


class Grammar(NamedTuple):
    """What an object may hold for there to be a template."""

    attributes: Attributes
    values: Mapping[str, Kind]
    collection: Attributes
    tag: Attributes


class Part(NamedTuple):
    """One thing in an object: which kind, the names of its attributes, and where its groups begin and end.

    The attributes come first. `kind` is the qualified name of an element of `ColorValues`, `Tag` or `TagCollection`.
    """

    kind: str
    names: tuple[str, ...]
    start: int
    texts: tuple[int, ...]


@dataclass
class Template:
    """One way in which objects are written: what matches it, and what its groups are."""

    match: Callable[[str], "re.Match[str] | None"]
    names: tuple[str, ...]
    created: int | None
    parts: list[Part]
    paths: tuple[str, ...]
    aside: tuple[str, ...]


class NotAlike(Exception):
    """Something in an object has no place in a template."""


@dataclass
class Draughtsman:
    """Makes a template of one object, which is spoilt by it."""

    grammar: Grammar
    _groups: int = 0
    _created: int | None = None
    _parts: list[Part] = field(default_factory=list)
    _paths: list[str] = field(default_factory=list)
    _aside: list[str] = field(default_factory=list)

    def draw(self, element: etree._Element) -> Template:
        """Return the template.

        Raises:
            NotAlike: the object holds something that wants care.
        """
        start = self._groups
        names = self._attributes(element, self.grammar.attributes, self._aside)
        self._paths.append(self.grammar.attributes.path)
        element.text = _BLANK
        for child in element:
            self._child(child)
        source = re.escape(etree.tostring(element, encoding="unicode", with_tail=False))
        for stand_in, group in _GROUPS.items():
            source = source.replace(stand_in, group)
        assert start == 0
        pattern = re.compile(source)
        return Template(
            pattern.fullmatch, names, self._created, self._parts, tuple(self._paths), tuple(self._aside)
        )
