"""Damaging a case by seed and kind."""

import copy
import json
import random
from collections.abc import Iterable
from typing import Any

from shadefmt.damaging.damage import Damage, Value
from shadefmt.damaging.kinds import KINDS


def damaged(case: Value, seed: int, kind: str | None = None) -> Damage:
    """Return a damaged copy, of a kind chosen by the seed unless named; the same seed gives the same copy."""
    rng = random.Random(seed)
    name = kind if kind is not None else rng.choice(sorted(KINDS))
    words, spoil = KINDS[name]
    made = Damage(name, words, copy.deepcopy(case))
    spoil(made, rng)
    if first_part(made.case) != first_part(case):
        made.expected.add(("revision-digest-differs", "/revisions/1/parents/0/sha256"))
    return made


def damaged_repeatedly(case: Value, seed: int, kinds: Iterable[str]) -> Value:
    """Return a copy with several kinds of damage, one after the other."""
    for kind in kinds:
        case = damaged(case, seed, kind).case
    return case


def first_part(case: Value) -> str:
    """Return what the first revision wrote, as text."""
    first = case["revisions"][0]["id"]
    kept = {
        name: [each for each in item if each.get("revision_id", first) == first] if is_entries(name, item) else item
        for name, item in case.items()
        if name != "revisions"
    }
    return json.dumps([{name: item for name, item in kept.items() if item}, case["revisions"][0]], sort_keys=True)


def is_entries(name: str, item: Any) -> bool:
    return isinstance(item, list) and name != "extensions_required"
