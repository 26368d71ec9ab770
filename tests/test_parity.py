"""Models and published schemas accept the same documents: on generated ones, most of them broken by one change.

The schemas are asked through `jsonschema` (its `pattern` read as ECMA-262 reads it, since Python's `$` admits a
final line feed) and `jsonschema-rs`. All three are given values as `decode` makes them. In the long profile there
are 20,000 documents.
"""

import json
import random
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from model_values import Value, values_of
from mutations import HARMLESS, Mutation, mutations
from profiles import PROFILE
from pydantic import ValidationError
from validators import by_jsonschema, by_jsonschema_rs, ecma_pattern

from shadefmt.jsontext import decode
from shadefmt.model.base import Block
from shadefmt.model.kinds import KINDS, model_of

SHARE_OF_KIND = {"case": 5, "report": 3}
"""Documents of a kind for one of the others: as its model is larger."""

CHANGES = 4
"""Documents with one change that are made of each that fits."""

DOCUMENTS = 20_000 if PROFILE == "long" else 900


def documents_of(kind: str) -> int:
    whole = sum(SHARE_OF_KIND.get(each, 1) for each in KINDS)
    return -(-DOCUMENTS * SHARE_OF_KIND.get(kind, 1) // whole)


def accepts(model: type[Block], value: Any) -> bool:
    try:
        model.model_validate(value)
    except ValidationError:
        return False
    return True


def decoded(value: Value) -> Value:
    """Return a value as reading its text gives it; the text is written by the standard library."""
    found = decode(json.dumps(value).encode())
    assert found.faults == ()
    return found.value  # type: ignore[no-any-return]


@pytest.mark.parametrize("kind", KINDS)
def test_models_and_schemas_accept_the_same(kind: str, record_property: Callable[[str, object], None]) -> None:
    model, seen, refused = model_of(kind), Counter[str](), Counter[str]()

    @settings(max_examples=-(-documents_of(kind) // (1 + CHANGES)))
    @given(values_of(model), st.integers(0, 2**32))
    def agree(value: Value, seed: int) -> None:
        changes = mutations(value, model, random.Random(seed), CHANGES)
        for change in (Mutation("none", (), value), *changes):
            accepted = agreed(kind, change)
            seen[change.kind] += 1
            refused[change.kind] += not accepted

    agree()
    record_property("documents", seen.total())
    record_property("refused", dict(refused))
    print(f"\n{kind}: {seen.total()} documents, {refused.total()} refused; refused of seen by change:")
    print("\n".join(f"  {name}: {refused[name]} of {seen[name]}" for name in sorted(seen)))
    assert seen.total() >= documents_of(kind)
    assert refused.total() >= 0.4 * seen.total()


def agreed(kind: str, change: Mutation) -> bool:
    """Return whether a document fits, once all three agree on it."""
    value = decoded(change.value)
    accepted = accepts(model_of(kind), value)
    assert by_jsonschema_rs(kind)(value) == accepted, change
    assert by_jsonschema(kind)(value) == accepted, change
    if change.kind == "none" or change.kind in HARMLESS:
        assert accepted, change
    return accepted


@pytest.mark.parametrize(
    ("pattern", "fits", "does_not"),
    [("^a$", "a", "a\n"), ("^[0-9]{2}$", "12", "١٢"), (r"^a\.b$", "a.b", "axb"), ("^[.$]$", "$", "")],
)
def test_patterns_are_read_as_ecma_262_reads_them(pattern: str, fits: str, does_not: str) -> None:
    assert ecma_pattern(pattern).search(fits)
    assert not ecma_pattern(pattern).search(does_not)
