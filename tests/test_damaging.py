"""Every kind of damage: the checker finds what was stated beforehand, no more and no less, and the right cause."""

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from shadefmt.checking import check
from shadefmt.cli.demo import judged_case
from shadefmt.damaging import KINDS, Damage, damaged
from shadefmt.documents import dumps
from shadefmt.history import as_it_was
from shadefmt.jsontext import digest
from shadefmt.model.report import Report

EXAMPLES = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples"
AS_OF = "2026-03-13"
EXIT = {"valid": 0, "invalid": 1, "incomplete": 3}


def sound_case() -> dict[str, Any]:
    """The demo's case without its nearest references, which would multiply what a changed reading breaks."""
    case = judged_case(EXAMPLES)
    del case["matches"]
    case["revisions"][1]["parents"][0]["sha256"] = digest(as_it_was(case, "clinic-1"))
    return case


SOUND = sound_case()


def places(report: Report) -> set[tuple[str, str]]:
    return {(each.code, each.pointer) for each in report.findings or ()}


def checked(damage: Damage) -> Report:
    report = check(dumps(damage.case), as_of=AS_OF)
    assert not [each for each in report.rules_not_run or () if each.reason == "failed"]
    return report


def test_the_case_to_damage_is_sound() -> None:
    report = check(dumps(SOUND), as_of=AS_OF)
    assert (report.outcome, report.findings) == ("valid", None)


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_is_found_as_stated(kind: str) -> None:
    for seed in range(4):
        damage = damaged(SOUND, seed, kind)
        report = checked(damage)
        assert places(report) == damage.expected, (kind, seed)
        assert EXIT[report.outcome] == damage.exit_code, (kind, seed)


def test_two_hundred_seeds_are_found_as_stated() -> None:
    drawn: Counter[str] = Counter()
    for seed in range(200):
        damage = damaged(SOUND, seed)
        drawn[damage.kind] += 1
        report = checked(damage)
        assert places(report) == damage.expected, (damage.kind, seed)
        assert EXIT[report.outcome] == damage.exit_code, (damage.kind, seed)
        named = [[cause.code for cause in each.causes] for each in report.findings or () if each.causes]
        assert damage.cause is None or (named and all(each == [damage.cause] for each in named)), (damage.kind, seed)
    assert set(drawn) == set(KINDS)


@pytest.mark.parametrize("kind", [each for each in KINDS if damaged(SOUND, 0, each).cause])
def test_the_cause_is_named_where_one_is_determined(kind: str) -> None:
    for seed in range(10):
        damage = damaged(SOUND, seed, kind)
        found = [[cause.code for cause in each.causes] for each in checked(damage).findings or () if each.causes]
        assert found, (kind, seed)
        assert all(each == [damage.cause] for each in found), (kind, seed, found)


def test_the_same_seed_gives_the_same_copy_and_leaves_the_case_alone() -> None:
    before = json.dumps(SOUND)
    assert damaged(SOUND, 7).case == damaged(SOUND, 7).case
    assert json.dumps(SOUND) == before
