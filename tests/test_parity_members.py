"""Models and schemas agree on every member of every object, each broken in every way there is.

What the other test of this name leaves to chance is gone through here: one object with all its members, and each
change of the object and of its direct members.
"""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from model_values import Shape, Value, blocks_in, shape_of, whole_values_of
from mutations import HARMLESS, Steps, changed, edits, sites
from profiles import PROFILE
from test_parity import accepts, decoded
from validators import block_by_jsonschema, block_by_jsonschema_rs

from shadefmt.model.base import Block
from shadefmt.model.kinds import KINDS, model_of

OBJECTS = {block.__name__: (kind, block) for kind in KINDS for block in blocks_in(Shape(model_of(kind), {}))}
"""Every object of every kind by name, with one kind that holds it."""

DEPTH = 2
"""How far below the object changes reach: its members, and the items of its lists."""


@pytest.mark.parametrize("name", sorted(OBJECTS))
def test_every_change_of_an_object_is_judged_alike(name: str) -> None:
    kind, block = OBJECTS[name]
    seen = Counter[str]()

    @settings(max_examples=3 if PROFILE == "long" else 1)
    @given(whole_values_of(block), st.just(name))
    def agree(value: Value, name: str) -> None:
        assert agreed(kind, name, block, value)
        for site in sites(value, Shape(block, {})):
            if len(site.steps) > DEPTH:
                continue
            around = with_only(block, value, site.steps)
            for change, edit in edits(site):
                fits = agreed(kind, name, block, changed(around, site.steps, edit))
                assert fits or change not in HARMLESS, (change, site.steps)
                seen[change] += 1

    agree()
    assert seen["unknown member"]
    assert seen["null"]


def with_only(block: type[Block], value: Value, steps: Steps) -> Value:
    """Return an object with the members that it must have and the one that steps lead into."""
    fields = block.model_fields
    return {name: item for name, item in value.items() if not steps or fields[name].is_required() or name == steps[0]}


def agreed(kind: str, name: str, block: type[Block], value: Value) -> bool:
    """Return whether an object fits, once all three agree on it."""
    value = decoded(value)
    accepted = accepts(block, value)
    assert block_by_jsonschema_rs(kind, name)(value) == accepted, value
    assert block_by_jsonschema(kind, name)(value) == accepted, value
    return accepted


def test_every_object_that_a_schema_defines_is_looked_at() -> None:
    assert len(OBJECTS) >= 40
    assert shape_of(OBJECTS["Case"][1].model_fields["readings"].annotation).type is not None
