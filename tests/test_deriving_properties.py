"""What `derive` writes, the checker finds sound: over readings, repeats, bases, formulas, rules and noise."""

import json
import random
from collections.abc import Mapping
from typing import Any, get_args

from bases import written
from edited_cases import edited_cases
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from measured_cases import Setting, clinic_case, guide, settings_of_cases, target, with_laboratory

from shadefmt.checking import check
from shadefmt.deriving import Derived, Request, derive
from shadefmt.documents import loads
from shadefmt.history import add_entries, as_it_was
from shadefmt.jsontext import digest
from shadefmt.model.report import Report
from shadefmt.vocabulary import DifferenceFormula, Illuminant, Observer, UncertaintySource

Value = dict[str, Any]

BASES = st.tuples(
    st.sampled_from([each for each in get_args(Illuminant) if each != "unknown"]),
    st.sampled_from([each for each in get_args(Observer) if each != "unknown"]),
)
FORMULAS = list(get_args(DifferenceFormula))
SOURCES: list[UncertaintySource] = ["inter-instrument", "reference", "drift", "repositioning"]
COMPONENTS: st.SearchStrategy[Mapping[UncertaintySource, float]] = st.dictionaries(
    st.sampled_from(SOURCES),
    st.sampled_from([0.0, 0.01, 0.25, 3.0]),
    max_size=2,
)


@st.composite
def requests(draw: st.DrawFn) -> Request:
    illuminant, observer = draw(BASES)
    formula = draw(st.sampled_from(FORMULAS))
    return Request(
        illuminant=illuminant,
        observer=observer,
        formula=formula,
        decimals=draw(st.sampled_from([0, 1, 2, 3, 4, 8, 10])),
        components=draw(COMPONENTS),
    )


def references(request: Request, seed: int) -> Value:
    chance = random.Random(seed)
    colours = [
        (round(chance.uniform(0, 100), 2), round(chance.uniform(-20, 20), 2), round(chance.uniform(-30, 50), 2))
        for _ in range(chance.randint(1, 7))
    ]
    return guide((request.illuminant, request.observer), colours)


def both_revisions(setting: Setting, request: Request) -> tuple[Derived, Derived]:
    """Return what is derived for the clinic, and, after its target was set, for the laboratory."""
    first = derive(clinic_case(setting), request)
    begun = first.case
    if "means" in begun:
        begun = add_entries(begun, {"targets": [target(begun, begun["means"][0]["id"])]})
    return first, derive(with_laboratory(begun, setting), request)


def errors(report: Report) -> list[tuple[str, str]]:
    broken = [(each.code, "failed") for each in report.rules_not_run or () if each.reason == "failed"]
    return broken + [(each.code, each.pointer) for each in report.findings or () if each.severity == "error"]


@settings(max_examples=2 * settings().max_examples)
@given(settings_of_cases, requests())
def test_what_is_derived_holds_no_error(setting: Setting, request: Request) -> None:
    setting = Setting(**{**vars(setting), "more": {"reference_sets": [references(request, setting.seed)]}})
    first, second = both_revisions(setting, request)
    assert errors(check(written(first.case))) == []
    assert errors(check(written(second.case))) == []


@given(settings_of_cases, requests())
def test_deriving_again_adds_nothing(setting: Setting, request: Request) -> None:
    for done in both_revisions(setting, request):
        again = derive(done.case, request)
        assert again.case == done.case
        assert again.added == {}


@given(settings_of_cases, requests())
def test_the_input_is_not_touched_and_stays_byte_for_byte(setting: Setting, request: Request) -> None:
    case = with_laboratory(derive(clinic_case(setting), request).case, setting)
    before = json.dumps(case)
    done = derive(case, request)
    assert json.dumps(case) == before
    for name, item in case.items():
        if name != "readings" and isinstance(item, list):
            assert done.case[name][: len(item)] == item, name
    earlier = [each for each in case["readings"] if "revision_id" not in each]
    assert done.case["readings"][: len(earlier)] == earlier
    for one, other in zip(case["readings"], done.case["readings"], strict=True):
        assert other.items() >= {name: item for name, item in one.items() if name != "colours"}.items()


@given(settings_of_cases, requests())
def test_digests_of_earlier_revisions_still_hold(setting: Setting, request: Request) -> None:
    _, done = both_revisions(setting, request)
    (parent,) = done.case["revisions"][1]["parents"]
    assert parent["sha256"] == digest(as_it_was(done.case, parent["revision_id"]))
    added = {each for ids in done.added.values() for each in ids}
    for name, entries in done.case.items():
        if isinstance(entries, list):
            own = [each for each in entries if each["id"] in added]
            assert all(each["revision_id"] == "laboratory-1" for each in own), name


@given(settings_of_cases, requests())
def test_what_was_added_is_listed_and_every_id_is_new(setting: Setting, request: Request) -> None:
    case = with_laboratory(derive(clinic_case(setting), request).case, setting)
    done = derive(case, request)
    before, after = ids_of(case), ids_of(done.case)
    assert len(set(after)) == len(after)
    assert sorted(each for ids in done.added.values() for each in ids) == sorted(set(after) - set(before))


def ids_of(case: Value) -> list[str]:
    return [each["id"] for entries in case.values() if isinstance(entries, list) for each in entries]


@settings(max_examples=settings().max_examples // 2)
@given(edited_cases(most=2), requests())
def test_a_case_without_errors_gets_none(value: Value, request: Request) -> None:
    assume(check(written(value)).totals.errors == 0)
    case = loads(written(value))
    done = derive(case, request)
    assert errors(check(written(done.case))) == []
    assert derive(done.case, request).case == done.case
