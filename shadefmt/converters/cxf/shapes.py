"""Objects of one shape are read by one plan: the same record as the careful reader makes, but faster.

A file holds thousands of objects that differ in numbers only. The shape of an object is the names, attribute
names and numbers of children of its elements in document order; its plan says which position holds what.
There is a plan only where every name is known and in its place, and a plan steps back before it has changed
anything where a text is missing or not where it belongs: then the careful reader reads the object.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from lxml import etree

from shadefmt.converters.cxf.names import QUALIFIED, Attributes
from shadefmt.converters.cxf.parts import ObjectRecord

Shape = tuple[tuple[Any, ...], ...]
Written = dict[str, str]

MAX_SHAPES = 64
"""Plans made for one file; one with more shapes than that has nothing to gain."""


class Value(NamedTuple):
    """How one kind of value is read: its attributes, the children that hold its texts, and what takes them.

    Without children its own text is a list.
    """

    attributes: Attributes
    children: tuple[str, ...]
    take: Callable[[list[str], Written, ObjectRecord], None]


class Schema(NamedTuple):
    """What an object may hold for there to be a plan."""

    attributes: Attributes
    values: Mapping[str, Value]
    collection: Attributes
    tag: Attributes
    take_tag: Callable[[str, Written, ObjectRecord], None]


@dataclass(slots=True)
class Plan:
    """Where in an object everything is; `paths` and `aside` are accounted for as they stand."""

    paths: list[str]
    aside: list[str]
    blank: list[int]
    filled: list[int]
    lists: list[int]
    created: int | None
    values: list[tuple[int, tuple[int, ...], Value]]
    tags: list[tuple[int, int]]


def shape_of(elements: list[etree._Element]) -> Shape:
    """Return the shape of an object, given itself and all elements below it in document order."""
    return tuple([(each.tag, len(each), *each.keys()) for each in elements])


def read_by(plan: Plan, schema: Schema, elements: list[etree._Element], where: str) -> ObjectRecord | None:
    """Return the record of an object, or None where it is not quite as its shape promises.

    Raises:
        Refused: numbers that are not numbers, or a mapped tag that is not a word of the vocabulary.
    """
    texts = [each.text for each in elements]
    if not _as_promised(plan, texts, elements):
        return None
    record = ObjectRecord(where, dict(elements[0].items()))
    if plan.created is not None:
        record.created = (texts[plan.created] or "").strip()
    for position, below, value in plan.values:
        value.take([texts[each] or "" for each in below], dict(elements[position].items()), record)
    for position, collection in plan.tags:
        name = elements[collection].get("Name", "")
        schema.take_tag(name, dict(elements[position].items()), record)
    return record


def _as_promised(plan: Plan, texts: list[str | None], elements: list[etree._Element]) -> bool:
    for position in plan.blank:
        text = texts[position]
        if text and not text.isspace():
            return False
    for position in plan.filled:
        text = texts[position]
        if not text or text.isspace():
            return False
    for position in plan.lists:
        if len((texts[position] or "").split(None, 1)) < 2:
            return False
    tails = [each.tail for each in elements]
    tails[0] = None  # belongs to the collection
    return not any(tail and not tail.isspace() for tail in tails)


def plan_of(elements: list[etree._Element], schema: Schema) -> Plan | None:
    """Return the plan for objects shaped like this one, or None where something in it wants care."""
    return _Planner(elements, schema).plan()


class _Unplanned(Exception):
    """Something that only the careful reader reads."""


class _Planner:
    """Works out one plan."""

    def __init__(self, elements: list[etree._Element], schema: Schema) -> None:
        self._root = elements[0]
        self._positions = {each: position for position, each in enumerate(elements)}
        self._schema = schema
        self._plan = Plan([], [], [], [], [], None, [], [])

    def plan(self) -> Plan | None:
        """Return the plan, or None."""
        plan = self._plan
        try:
            self._group(self._root, self._schema.attributes, plan.aside)
            plan.paths.append(self._schema.attributes.path)
            for child in self._root:
                self._child(child)
        except _Unplanned:
            return None
        return plan

    def _child(self, child: etree._Element) -> None:
        plan, schema = self._plan, self._schema
        if child.tag == QUALIFIED + "CreationDate" and plan.created is None:
            self._leaf(child)
            plan.created = self._positions[child]
        elif child.tag == QUALIFIED + "ColorValues":
            self._group(child, Attributes(f"{schema.attributes.path}/ColorValues", ()), plan.paths)
            plan.paths.append(f"{schema.attributes.path}/ColorValues")
            for each in child:
                self._value(each)
        elif child.tag == QUALIFIED + "TagCollection":
            self._group(child, schema.collection, plan.paths)
            plan.paths.append(schema.collection.path)
            for each in child:
                self._tag(each, child)
        else:
            raise _Unplanned

    def _value(self, element: etree._Element) -> None:
        value = self._schema.values.get(element.tag)
        if value is None:
            raise _Unplanned
        position = self._positions[element]
        if not value.children:
            self._attributes(element, value.attributes, self._plan.paths)
            if len(element):
                raise _Unplanned
            self._plan.lists.append(position)
            self._plan.values.append((position, (position,), value))
            return
        self._group(element, value.attributes, self._plan.paths)
        below = {child.tag: self._leaf(child) for child in element}
        if len(element) != len(value.children) or set(below) != {QUALIFIED + name for name in value.children}:
            raise _Unplanned
        self._plan.values.append((position, tuple(below[QUALIFIED + name] for name in value.children), value))

    def _tag(self, element: etree._Element, collection: etree._Element) -> None:
        if element.tag != QUALIFIED + "Tag" or len(element):
            raise _Unplanned
        self._group(element, self._schema.tag, [])
        self._plan.tags.append((self._positions[element], self._positions[collection]))

    def _leaf(self, element: etree._Element) -> int:
        if len(element) or element.keys():
            raise _Unplanned
        position = self._positions[element]
        self._plan.filled.append(position)
        return position

    def _group(self, element: etree._Element, known: Attributes, paths: list[str]) -> None:
        self._attributes(element, known, paths)
        self._plan.blank.append(self._positions[element])

    def _attributes(self, element: etree._Element, known: Attributes, paths: list[str]) -> None:
        for name in element.keys():
            if name not in known.exact:
                raise _Unplanned
            paths.append(known.exact[name])
