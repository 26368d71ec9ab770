"""A template of objects that are written alike: a regular expression with a group wherever a value stands.

It is drawn from the serialised form of one object. What matches it from end to end has the same elements and
attributes in the same order and nothing between them, so that its groups are all there is to read.
"""

import re
from collections.abc import Callable, Mapping
from typing import NamedTuple

from lxml import etree

from shadefmt.converters.cxf.names import QUALIFIED, Attributes

_VALUE, _LIST, _NUMBER, _BLANK = "\ue000", "\ue001", "\ue002", "\ue003"  # private use: stand in while serialising
_GROUPS = {
    _VALUE: r'([^"&<]*+)',
    _LIST: r"([0-9.eE+\- \t\r\n]*+)",
    _NUMBER: r"[ \t\r\n]*+([0-9.eE+-]++)[ \t\r\n]*+",
    _BLANK: r"[ \t\r\n]*+",
}


class Kind(NamedTuple):
    """An element of `ColorValues`: its attributes, and the children with one number each.

    Without children its text is a list of numbers.
    """

    attributes: Attributes
    coordinates: tuple[str, ...]


class Grammar(NamedTuple):
    """What an object may hold for there to be a template; values by qualified name."""

    attributes: Attributes
    values: Mapping[str, Kind]
    collection: Attributes
    tag: Attributes


class Slot(NamedTuple):
    """One element in a template: its name, its attributes and where their groups start, the groups of its texts.

    A tag has the group of its collection's name as its text, where the collection has one.
    """

    tag: str
    names: tuple[str, ...]
    start: int
    texts: tuple[int, ...]


class Template(NamedTuple):
    """One way in which objects are written. `paths` and `aside` are accounted for as they stand."""

    match: "Callable[[str], re.Match[str] | None]"
    names: tuple[str, ...]
    created: int | None
    lists: list[Slot]
    colours: list[Slot]
    tags: list[Slot]
    paths: tuple[str, ...]
    aside: tuple[str, ...]


def template_of(element: etree._Element, grammar: Grammar) -> Template | None:
    """Return the template of an object, which is spoilt by it; None where something in it wants care."""
    drawing = _Drawing(grammar)
    try:
        return drawing.template(element)
    except _NotAlike:
        return None


class _NotAlike(Exception):
    """Something in an object has no place in a template."""


class _Drawing:
    """Replaces the values of one object by stand-ins and notes which group each of them will be."""

    def __init__(self, grammar: Grammar) -> None:
        self._grammar = grammar
        self._groups = 0
        self._created: int | None = None
        self._lists: list[Slot] = []
        self._colours: list[Slot] = []
        self._tags: list[Slot] = []
        self._paths: list[str] = []
        self._aside: list[str] = []

    def template(self, element: etree._Element) -> Template:
        names = self._attributes(element, self._grammar.attributes, self._aside)
        self._paths.append(self._grammar.attributes.path)
        for child in self._children(element):
            self._child(child)
        source = re.escape(etree.tostring(element, encoding="unicode", with_tail=False))
        for stand_in, group in _GROUPS.items():
            source = source.replace(stand_in, group)
        match = re.compile(source).fullmatch
        paths, aside = tuple(self._paths), tuple(self._aside)
        return Template(match, names, self._created, self._lists, self._colours, self._tags, paths, aside)

    def _child(self, child: etree._Element) -> None:
        if child.tag == QUALIFIED + "CreationDate" and self._created is None:
            self._created = self._leaf(child, _VALUE)
        elif child.tag == QUALIFIED + "ColorValues":
            self._attributes(child, Attributes("", ()), self._paths)
            self._paths.append(f"{self._grammar.attributes.path}/ColorValues")
            for each in self._children(child):
                self._value(each)
        elif child.tag == QUALIFIED + "TagCollection":
            start = self._groups
            names = self._attributes(child, self._grammar.collection, self._paths)
            self._paths.append(self._grammar.collection.path)
            for each in self._children(child):
                self._tag(each, (start,) if names else ())
        else:
            raise _NotAlike

    def _value(self, element: etree._Element) -> None:
        kind = self._grammar.values.get(element.tag)
        if kind is None:
            raise _NotAlike
        start = self._groups
        names = self._attributes(element, kind.attributes, self._paths)
        if not kind.coordinates:
            self._lists.append(Slot(element.tag, names, start, (self._text(element, _LIST),)))
            return
        groups = {child.tag: self._leaf(child, _NUMBER) for child in self._children(element)}
        wanted = [QUALIFIED + name for name in kind.coordinates]
        if len(element) != len(wanted) or set(groups) != set(wanted):
            raise _NotAlike
        self._colours.append(Slot(element.tag, names, start, tuple(groups[name] for name in wanted)))

    def _tag(self, element: etree._Element, collection: tuple[int, ...]) -> None:
        if element.tag != QUALIFIED + "Tag" or len(element) or element.text:
            raise _NotAlike
        start = self._groups
        names = self._attributes(element, self._grammar.tag, [])
        self._tags.append(Slot(element.tag, names, start, collection))

    def _children(self, element: etree._Element) -> list[etree._Element]:
        element.text = _BLANK
        for child in element:
            child.tail = _BLANK
        return list(element)

    def _leaf(self, element: etree._Element, stand_in: str) -> int:
        if element.keys():
            raise _NotAlike
        return self._text(element, stand_in)

    def _text(self, element: etree._Element, stand_in: str) -> int:
        if len(element):
            raise _NotAlike
        element.text = stand_in
        self._groups += 1
        return self._groups - 1

    def _attributes(self, element: etree._Element, known: Attributes, paths: list[str]) -> tuple[str, ...]:
        names = tuple(str(name) for name in element.keys())  # noqa: SIM118 - an element iterates its children
        for name in names:
            if name not in known.exact:
                raise _NotAlike
            paths.append(known.exact[name])
            element.set(name, _VALUE)
        self._groups += len(names)
        return names
