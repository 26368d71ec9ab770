"""Nothing that is given to the checker raises, breaks a rule, or makes a report that breaks its own promises."""

import json
import random
from typing import Any

import pytest
from bases import PATHS, base, of_kind, written
from edited_cases import edited_cases
from hypothesis import given, settings
from hypothesis import strategies as st
from model_values import JSON_VALUES, values_of, whole_values_of
from mutations import mutations
from reports import require_sound

from shadefmt.checking import check
from shadefmt.model.kinds import KINDS, model_of
from shadefmt.model.report import Report

Value = dict[str, Any]

ANY_JSON = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False, allow_infinity=False), st.text()),
    lambda inner: st.one_of(st.lists(inner), st.dictionaries(st.text(), inner)),
    max_leaves=20,
)

AS_OF = "2027-01-01"

REPEATED_IN_REPORTS = ("id", "path")
"""Members that a report repeats; see `test_what_a_report_repeats_fits_the_report`."""

HEAD = {"format": "shadefmt", "version": "1.0", "kind": "case"}


def checked(data: bytes) -> Report:
    report = check(data, as_of=AS_OF)
    require_sound(report, data)
    return report


@given(st.binary())
def test_any_bytes_give_a_report(data: bytes) -> None:
    assert checked(data).outcome == "invalid"


@given(st.text())
def test_any_text_gives_a_report(text: str) -> None:
    checked(text.encode("utf-8", "surrogatepass"))


@given(ANY_JSON)
def test_any_json_gives_a_report(value: Any) -> None:
    assert checked(json.dumps(value).encode()).outcome == "invalid"


@given(
    st.sampled_from([*KINDS, "unheard-of"]),
    st.sampled_from(["1.0", "1.1", "1.999", "2.0", "0.9", "1", "01.0", "1.0\n", 1.0, None]),
    st.dictionaries(
        st.sampled_from(sorted({name for kind in KINDS for name in model_of(kind).model_fields})),
        st.one_of(JSON_VALUES, st.lists(JSON_VALUES, max_size=3), st.lists(st.dictionaries(st.text(), JSON_VALUES))),
        max_size=6,
    ),
)
def test_a_head_with_any_body_gives_a_report(kind: str, version: Any, body: Value) -> None:
    checked(json.dumps({**body, "format": "shadefmt", "version": version, "kind": kind}).encode())


@pytest.mark.parametrize("kind", KINDS)
def test_documents_that_fit_their_model_break_no_rule(kind: str) -> None:
    @given(st.one_of(values_of(model_of(kind)), whole_values_of(model_of(kind))))
    @settings(max_examples=settings().max_examples // 2)
    def fits(value: Value) -> None:
        report = checked(json.dumps(value).encode())
        assert "structure" not in {each.stage for each in report.findings or ()}

    fits()


@pytest.mark.parametrize("kind", KINDS)
def test_documents_with_one_fault_of_structure_are_placed(kind: str) -> None:
    model = model_of(kind)

    @given(values_of(model), st.integers(0, 2**32))
    @settings(max_examples=settings().max_examples // 4)
    def faulty(value: Value, seed: int) -> None:
        for change in mutations(value, model, random.Random(seed), 4):
            if not change.steps or change.steps[-1] not in REPEATED_IN_REPORTS:
                checked(json.dumps(change.value).encode())

    faulty()


@settings(max_examples=2 * settings().max_examples)
@given(edited_cases())
def test_edited_cases_break_no_rule(value: Value) -> None:
    checked(written(value))


@given(st.sampled_from(sorted(PATHS)), st.integers(0, 2**32))
def test_damaged_bytes_give_a_report(name: str, seed: int) -> None:
    chance, data = random.Random(seed), bytearray(PATHS[name].read_bytes())
    for _ in range(chance.randint(1, 4)):
        place = chance.randrange(len(data))
        data[place : place + chance.randint(0, 3)] = bytes(
            chance.choices(b'"{}[],:0-.eE \\\n\x00\xffa', k=chance.randint(0, 3))
        )
    checked(bytes(data))


@given(st.sampled_from(sorted(PATHS)), st.integers(0, 2**32))
def test_a_document_cut_short_is_never_sound(name: str, seed: int) -> None:
    data = PATHS[name].read_bytes().rstrip()
    assert checked(data[: random.Random(seed).randrange(len(data))]).outcome == "invalid"


@pytest.mark.parametrize("name", sorted(PATHS))
def test_sound_documents_are_found_sound(name: str) -> None:
    data = PATHS[name].read_bytes()
    ends = name in of_kind("waiver-list")  # the last day of a waiver is over by then
    report = check(data, as_of=None if ends else AS_OF)
    require_sound(report, data)
    assert (report.outcome, report.findings) == ("valid", None)


@pytest.mark.parametrize("name", of_kind("case"))
def test_each_entry_twice_is_found(name: str) -> None:
    value = base(name)
    for list_name, entries in value.items():
        if isinstance(entries, list) and isinstance(entries[0], dict):
            doubled = {**value, list_name: [*entries, entries[0]]}
            codes = {each.code for each in checked(written(doubled)).findings or ()}
            assert "id-reused" in codes, list_name


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xef\xbb\xbf",
        b"\xff\xfe{\x00}\x00",
        b"null",
        b"[" * 100_000,
        b'{"format":"shadefmt",' * 50_000,
        b'"' + b"a" * 1_000_000,
        b"1" * 1_000_000,
        b'{"a":' + b"9" * 400 + b"}",
        written({**HEAD, "id": "a" * 10_000}),
        written({**HEAD, "version": "1" * 10_000}),
        written({**HEAD, "kind": "a" * 10_000}),
        written({**HEAD, "~/\x00": {"/": "~1"}}),
        written({**HEAD, "specimens": [[]] * 3000}),
    ],
    ids=lambda data: f"{data[:30]!r} ({len(data)})",
)
def test_hostile_documents_give_a_report(data: bytes) -> None:
    assert checked(data).outcome == "invalid"


@pytest.mark.parametrize(
    "body",
    [
        {"parties": [{"id": "a" * 81, "role": "clinic"}]},
        {"parties": [{"id": "one\n", "role": "clinic"}]},
        {"attachments": [{"id": "one", "path": ""}]},
        {"attachments": [{"id": "!", "path": "a"}]},
        {"tolerances": [{"id": "one", "document": {"id": "a" * 201}}]},
        {"a" * 4001: 1},
    ],
    ids=lambda body: str(body)[:50],
)
def test_what_a_report_repeats_fits_the_report(body: Value) -> None:
    checked(written({**HEAD, **body}))
