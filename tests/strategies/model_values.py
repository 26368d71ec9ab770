"""Documents of every kind, generated from the fields of their models: what a model allows, and nothing else.

Generic over annotations, so that a new member, word list or kind is covered without a change here. Ids are drawn
from a small pool: references then resolve now and then.
"""

import re
from functools import cache
from types import UnionType
from typing import Annotated, Any, Final, Literal, NamedTuple, Union, get_args, get_origin

from hypothesis import strategies as st
from pydantic import StringConstraints
from pydantic.fields import FieldInfo

from shadefmt.model.base import Block

Value = dict[str, Any]
Values = st.SearchStrategy[Any]

MOST_OPTIONAL: Final = 5
"""Optional members that one object gets at most; a document stays small, all documents together have them all."""

MOST_ITEMS_BEYOND: Final = 2
"""Items that a list gets beyond those it must have."""

ENTRY_IDS: Final = ("one", "two", "three", "four", "five", "six", "zz-9.x_Y", "0", "i" * 80)
"""Ids of entries; few, so that references meet."""

DATES: Final = st.sampled_from(
    [
        "2026-03-04",
        "2026-03-04T09:31",
        "2026-03-04T09:31:05",
        "2026-03-04T09:31:05Z",
        "2026-03-04T09:31:05.123456789+05:45",
        "2026-02-30",
        "0000-00-00T99:99:99-99:99",
        "9999-12-31T23:59:60Z",
    ]
)

TEXTS: Final = st.one_of(
    st.sampled_from(
        ["a", "A", "é", "a" * 200, "😀" * 200, "line\nbreak", "\x00", "\u202e", "0049 30 1234567", "a@b.example"]
    ),
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=12),
)

BY_PATTERN: Final[dict[str, Values]] = {
    r"^[A-Za-z0-9][A-Za-z0-9._-]*$": st.sampled_from(ENTRY_IDS),
    r"^[0-9a-f]{64}$": st.sampled_from(["0" * 64, "9af3" * 16, "f" * 64]),
    r"^[A-Za-z][A-Za-z0-9+.-]*:[!-~]+$": st.sampled_from(
        ["urn:uuid:5f0c9f0e-8f5e-4b5c-9a55-0d9a3f1c7b21", "a:~", "https://example.org/" + "x" * 180]
    ),
}
"""Quick strategies for shapes of text that are known to occur; any other pattern is drawn from as it stands."""

JSON_VALUES: Final = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-9, 9), st.floats(-1, 1), st.text("ab/~ é", max_size=4)),
    lambda inner: st.one_of(st.lists(inner, max_size=2), st.dictionaries(st.text("ab", max_size=2), inner, max_size=2)),
    max_leaves=4,
)


class Shape(NamedTuple):
    """An annotation taken apart: the type, and what narrows it."""

    type: Any
    limits: dict[str, Any]


def shape_of(annotation: Any, metadata: Any = ()) -> Shape:
    """Return the bare type of an annotation and its limits by name (`ge`, `max_length`, `pattern` ...)."""
    limits: dict[str, Any] = {}
    while get_origin(annotation) is Annotated:
        annotation, *inner = get_args(annotation)
        metadata = [*inner, *metadata]
    for each in metadata:
        parts = each.metadata if isinstance(each, FieldInfo) else [each]
        for part in parts:
            limits |= _limits(part)
    return Shape(annotation, limits)


def _limits(part: Any) -> dict[str, Any]:
    names = ("ge", "gt", "le", "lt", "min_length", "max_length", "pattern")
    found = {name: getattr(part, name, None) for name in names}
    if isinstance(part, StringConstraints):
        assert not any((part.strip_whitespace, part.to_lower, part.to_upper)), "JSON Schema cannot say that"
    return {name: item for name, item in found.items() if item is not None}


@cache
def values_of(model: type[Block]) -> st.SearchStrategy[Value]:
    """Return values that fit a model."""
    needed = {name: field for name, field in model.model_fields.items() if field.is_required()}
    optional = {name: field for name, field in model.model_fields.items() if name not in needed}

    @st.composite
    def one(draw: st.DrawFn) -> Value:
        most = draw(st.integers(0, MOST_OPTIONAL)) if optional else 0
        chosen = draw(st.sets(st.sampled_from(list(optional)), max_size=most)) if most else set()
        names = [name for name in model.model_fields if name in needed or name in chosen]
        return {name: draw(_of_field(model, name)) for name in names}

    return one()


def whole_values_of(model: type[Block]) -> st.SearchStrategy[Value]:
    """Return values that fit a model and have every member that it knows."""
    return st.fixed_dictionaries({name: _of_field(model, name) for name in model.model_fields})


def blocks_in(shape: Shape) -> set[type[Block]]:
    """Return the models of all objects inside a shape, itself included."""
    if isinstance(shape.type, type) and issubclass(shape.type, Block):
        fields = shape.type.model_fields.values()
        inner = [blocks_in(shape_of(each.annotation, each.metadata)) for each in fields]
        return {shape.type}.union(*inner)
    return set().union(
        *(blocks_in(shape_of(each)) for each in get_args(shape.type) if get_origin(shape.type) is not Literal)
    )


@cache
def _of_field(model: type[Block], name: str) -> Values:
    field = model.model_fields[name]
    return of_shape(shape_of(field.annotation, field.metadata))


def of_shape(shape: Shape) -> Values:
    """Return values that fit an annotation."""
    kind, limits = shape
    origin = get_origin(kind)
    if origin is Literal:
        return st.sampled_from(get_args(kind))
    if origin in (Union, UnionType):
        return st.one_of([of_shape(shape_of(each)) for each in get_args(kind)])
    if origin is list:
        least = limits.get("min_length", 0)
        most = limits.get("max_length", least + MOST_ITEMS_BEYOND)
        return st.lists(of_shape(shape_of(get_args(kind)[0])), min_size=least, max_size=most)
    if origin is dict:
        names, items = (of_shape(shape_of(each)) for each in get_args(kind))
        least = limits.get("min_length", 0)
        return st.dictionaries(names, items, min_size=least, max_size=least + 1)
    if isinstance(kind, type) and issubclass(kind, Block):
        return values_of(kind)
    return _of_scalar(kind, limits)


def _of_scalar(kind: Any, limits: dict[str, Any]) -> Values:
    if kind is Any:
        return JSON_VALUES
    if kind is bool:
        return st.booleans()
    if kind is str:
        return _of_text(limits)
    if kind is int:
        least = limits.get("ge", limits.get("gt", -1000))
        most = limits.get("le", limits.get("lt", 1000))
        return st.one_of(st.integers(least, most), st.sampled_from([least, most])).filter(lambda n: _within(n, limits))
    assert kind is float, f"no strategy for {kind}"
    return _of_number(limits)


def _of_number(limits: dict[str, Any]) -> Values:
    least = float(limits.get("ge", limits.get("gt", -1e300)))
    most = float(limits.get("le", limits.get("lt", 1e300)))
    usual = st.floats(max(least, -120.0), min(most, 120.0)).map(lambda number: round(number, 3))
    edges = st.sampled_from([least, most, 0.0, 1.0, 2.0, 5e-324, 0.1 + 0.2])
    return st.one_of(usual, edges, st.floats(least, most)).filter(lambda number: _within(number, limits))


def _within(number: float, limits: dict[str, Any]) -> bool:
    return (
        number >= limits.get("ge", number)
        and number <= limits.get("le", number)
        and ("gt" not in limits or number > limits["gt"])
        and ("lt" not in limits or number < limits["lt"])
    )


def _of_text(limits: dict[str, Any]) -> Values:
    pattern = limits.get("pattern")
    if pattern is None:
        drawn: Values = TEXTS if limits.get("min_length") else st.one_of(st.just(""), TEXTS)
    elif "[0-9]{4}-[0-9]{2}-[0-9]{2}" in pattern and "T[0-9]{2}" in pattern:
        drawn = DATES
    else:
        known = BY_PATTERN.get(pattern)
        drawn = st.from_regex(re.compile(pattern, re.ASCII), fullmatch=True) if known is None else known
    most, least = limits.get("max_length", 10**9), limits.get("min_length", 0)
    return drawn.filter(lambda text: least <= len(text) <= most)
