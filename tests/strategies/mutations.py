"""One change to a document that fits its model: each kind of change under a name of its own, so that it is counted.

What a change makes of a document is not said here, with one exception: `HARMLESS` lists the changes after which it
still fits. Everywhere else three independent validators are asked whether they agree.
"""

import copy
import random
from collections.abc import Callable, Iterator
from typing import Any, Final, Literal, NamedTuple, get_args, get_origin

from model_values import Shape, Value, shape_of

from shadefmt.model.base import Block

Steps = tuple[str | int, ...]

HARMLESS: Final = frozenset({"integral float for an integer", "text at its longest", "member order"})
"""Changes after which a document still fits; whole floats are integers once they are decoded."""

NO_TEXT: Final = ("", " ", "\n", "\x00")
DIGITS: Final = str.maketrans("0123456789", "٠١٢٣٤٥٦٧٨٩")
WIDE: Final = str.maketrans("0123456789abcdef-:", "０１２３４５６７８９ａｂｃｄｅｆ－：")


class Site(NamedTuple):
    """A value inside a document, with the shape that its model gives it."""

    steps: Steps
    shape: Shape
    item: Any
    needed: bool = True


class Mutation(NamedTuple):
    """One change: its kind, where, and what stands there afterwards."""

    kind: str
    steps: Steps
    value: Value


Edit = Callable[[Any], None]


def sites(item: Any, shape: Shape, steps: Steps = (), needed: bool = True) -> Iterator[Site]:
    """Yield a value and everything inside it that its model knows."""
    yield Site(steps, shape, item, needed)
    origin = get_origin(shape.type)
    if origin is list and isinstance(item, list):
        inner = shape_of(get_args(shape.type)[0])
        for index, each in enumerate(item):
            yield from sites(each, inner, (*steps, index))
    elif origin is dict and isinstance(item, dict):
        inner = shape_of(get_args(shape.type)[1])
        for name, each in item.items():
            yield from sites(each, inner, (*steps, name), needed=False)
    elif is_block(shape) and isinstance(item, dict):
        for name, field in shape.type.model_fields.items():
            if name in item:
                inner = shape_of(field.annotation, field.metadata)
                yield from sites(item[name], inner, (*steps, name), field.is_required())


def is_block(shape: Shape) -> bool:
    """Return whether a shape is an object with members of its own."""
    return isinstance(shape.type, type) and issubclass(shape.type, Block)


def edits(site: Site) -> Iterator[tuple[str, Any]]:
    """Yield kind and replacement for every change of one value; `DROP` and `Inside` act on it otherwise."""
    steps, shape, item, needed = site
    if steps:
        yield ("required dropped" if needed and isinstance(steps[-1], str) else "dropped"), DROP
        yield "null", None
        yield from (("wrong type", each) for each in _of_other_types(item))
    if is_block(shape):
        yield "unknown member", Inside({"unheard_of": 1})
        yield "unknown member", Inside({name.swapcase(): item[name] for name in list(item)[:1]})
        yield "member order", dict(reversed(item.items()))
        yield "object emptied", {}
    yield from _of_scalar(shape, item)
    yield from _of_container(shape, item)


class Inside(NamedTuple):
    """Members to add to an object."""

    members: Value


DROP: Final = object()
"""Stands for: take the member or item away."""


def _of_other_types(item: Any) -> Iterator[Any]:
    if isinstance(item, bool):
        yield from (0, 1, "true", [item])
    elif isinstance(item, str):
        yield from (0, True, [item], {"text": item})
    elif isinstance(item, list):
        yield from ({}, "list", dict(enumerate_names(item)), False)
    elif isinstance(item, dict):
        yield from ([], "object", [item], 1.5)
    else:
        yield from (str(item), [item], {})


def enumerate_names(items: list[Any]) -> Iterator[tuple[str, Any]]:
    """Yield the items of a list as members of an object."""
    return ((str(index), item) for index, item in enumerate(items))


def _of_scalar(shape: Shape, item: Any) -> Iterator[tuple[str, Any]]:
    if get_origin(shape.type) is Literal:
        yield from _of_word(item)
    elif shape.type is str:
        yield from _of_text(item, shape.limits)
    elif shape.type in (int, float):
        yield from _of_number(shape, item)


def _of_word(item: str) -> Iterator[tuple[str, Any]]:
    for other in (f"{item}x", item.upper(), item.title(), item.replace("-", "_"), f" {item}", f"{item}\n", ""):
        if other != item:
            yield "word unknown", other


def _of_text(item: str, limits: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    if "min_length" in limits or "pattern" in limits:
        yield "text empty", ""
    if "max_length" in limits:
        most = limits["max_length"]
        yield "text too long", "a" * (most + 1)
        yield "text too long", "😀" * (most + 1)
        yield "text too long", item + "9" * (most + 1 - len(item))
        if "pattern" not in limits:
            yield "text at its longest", "😀" * most
    if "pattern" in limits:
        yield "pattern with a line feed behind", f"{item}\n"
        yield "pattern with a line separator behind", f"{item}\u2028"
        yield "pattern with something before", f"x\n{item}"
        yield "pattern with foreign digits", item.translate(DIGITS)
        yield "pattern with foreign digits", item.translate(WIDE)
        yield "pattern with something inside", item[:3] + " é" + item[3:]


def _of_number(shape: Shape, item: Any) -> Iterator[tuple[str, Any]]:
    yield "bool for a number", True
    yield "bool for a number", False
    if shape.type is int:
        yield "integral float for an integer", float(item)
        yield "fraction for an integer", item + 0.5
    limits = shape.limits
    for name, out in (("ge", -1), ("gt", 0), ("le", 1), ("lt", 0)):
        if name in limits:
            yield "number out of range", limits[name] + out
            yield "number out of range", limits[name] + out * 1e9
    if limits and shape.type is float:
        yield "number out of range", 1e308
        yield "number out of range", -1e308
    yield "number at nought", 0
    yield "number at nought", -0.0


def _of_container(shape: Shape, item: Any) -> Iterator[tuple[str, Any]]:
    origin = get_origin(shape.type)
    if origin is list:
        yield "list emptied", []
        yield "list item null", [*item, None]
        yield "list cut short", item[:1]
    elif origin is dict and isinstance(item, dict):
        yield "map emptied", {}
        yield "map name wrong", {**item, "Not Reversed": {}}
        yield "map name wrong", {**item, "org.example\n": {}}
        yield "map item null", {**item, "org.example.thing": None}


def mutations(value: Value, model: type[Block], chance: random.Random, number: int) -> Iterator[Mutation]:
    """Yield documents with one change each; the kind is drawn first, so that rare kinds come up as well."""
    by_kind: dict[str, list[tuple[Steps, Any]]] = {}
    for site in sites(value, Shape(model, {})):
        for kind, edit in edits(site):
            by_kind.setdefault(kind, []).append((site.steps, edit))
    for _ in range(number):
        kind = chance.choice(sorted(by_kind))
        steps, edit = chance.choice(by_kind[kind])
        yield Mutation(kind, steps, changed(value, steps, edit))


def changed(value: Value, steps: Steps, edit: Any) -> Value:
    """Return a copy of a document with one value replaced, taken away or added to."""
    whole: list[Any] = [copy.deepcopy(value)]
    above, place = whole, 0
    for step in steps:
        above, place = above[place], step  # type: ignore[assignment]
    if edit is DROP:
        del above[place]
    elif isinstance(edit, Inside):
        above[place] |= edit.members
    else:
        above[place] = edit
    made: Value = whole[0]
    return made
