"""Sound cases with a few values exchanged for others that fit as well: what a file may say and should not."""

import random
from collections.abc import Iterator
from typing import Any, Final, Literal, get_args, get_origin

from bases import Value, base, of_kind
from hypothesis import strategies as st
from model_values import Shape
from mutations import Site, changed, sites

from shadefmt.model.kinds import model_of

EDGES: Final = (0, 1, -1, 0.5, 1e-9, 5e-324, 100, 99.995, 1e6, -1e6, 3.0000001)
MOMENTS: Final = (
    *("2026-03-04", "2026-03-04T09:31", "2026-03-04T09:31:00Z", "2026-03-04T23:59:60+14:00", "2026-02-30"),
    *("0001-01-01", "0000-00-00T00:00Z", "9999-12-31T24:00:00-12:00", "9999-12-31T23:59:59-12:00"),
)
TEXTS: Final = ("x", "\u202e", "a@b.example", "{stated}", "%s", "<b>&amp;", "4" * 12, "é" * 200)
CHANGES: Final = ("exchange", "drop", "double", "shorten")


def ids_of(value: Any) -> Iterator[str]:
    """Yield the id of every entry in a document."""
    if isinstance(value, dict):
        yield from (item for name, item in value.items() if name == "id" and ":" not in item)
        for item in value.values():
            yield from ids_of(item)
    elif isinstance(value, list):
        for item in value:
            yield from ids_of(item)


def alternatives(site: Site, ids: list[str]) -> list[Any]:
    """Return other values that fit at a place; ids come from the document itself."""
    shape = site.shape
    if get_origin(shape.type) is Literal:
        return list(get_args(shape.type))
    if shape.type is bool:
        return [True, False]
    if shape.type is int:
        return [each for each in (0, 1, 2, 3, 10, 1000) if _fits(each, shape)]
    if shape.type is float:
        return [each for each in (*EDGES, -site.item, site.item + 0.004, site.item * 100) if _fits(each, shape)]
    if shape.type is str:
        pattern = shape.limits.get("pattern", "")
        if "T[0-9]{2}" in pattern:
            return list(MOMENTS)
        if pattern.startswith("^[A-Za-z0-9]"):
            return [*ids, "nowhere"]
        return list(TEXTS) if not pattern else []
    return []


def _fits(number: float, shape: Shape) -> bool:
    limits = shape.limits
    low, high = limits.get("ge", limits.get("gt", -1e9)), limits.get("le", limits.get("lt", 1e9))
    return bool(low < number < high or number in (limits.get("ge"), limits.get("le")))


def edit(value: Value, chance: random.Random) -> Value:
    """Return a document with one value exchanged, left out, written twice or cut short; it still fits its model."""
    kind = chance.choice(CHANGES)
    everything = list(sites(value, Shape(model_of(value["kind"]), {})))
    found = [each for each in everything if len(each.steps) > 1]
    if kind == "drop":
        options = [(each.steps[:-1], _without(each, value)) for each in found if not each.needed]
    elif kind == "exchange":
        ids = sorted(set(ids_of(value)))
        options = [(each.steps, other) for each in found for other in alternatives(each, ids)[:40]]
    else:
        lists = [each for each in everything if isinstance(each.item, list)]
        options = [(each.steps, _resized(each, kind)) for each in lists]
    if not options:
        return value
    return changed(value, *chance.choice(options))


def _without(site: Site, value: Value) -> Any:
    above: Any = value
    for step in site.steps[:-1]:
        above = above[step]
    return {name: item for name, item in above.items() if name != site.steps[-1]}


def _resized(site: Site, kind: str) -> list[Any]:
    least = site.shape.limits.get("min_length", 0)
    return [*site.item, site.item[0]] if kind == "double" else site.item[: max(least, len(site.item) - 1)]


@st.composite
def edited_cases(draw: st.DrawFn, most: int = 6) -> Value:
    """Return a sound case with up to `most` edits."""
    value = base(draw(st.sampled_from(of_kind("case"))))
    chance = random.Random(draw(st.integers(0, 2**32)))
    for _ in range(draw(st.integers(1, most))):
        value = edit(value, chance)
    return value
