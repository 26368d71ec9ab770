"""Documents as values: the file form, the digest, strict reading, recognition by kind, embedded copies."""

import contextlib
import hashlib
import json
import random
from pathlib import Path
from typing import Any

import pytest
import rfc8785
from bases import PATHS, base, written
from hypothesis import given, settings
from hypothesis import strategies as st
from model_values import JSON_VALUES, values_of
from pydantic import ValidationError

from shadefmt.checking import check
from shadefmt.documents import as_model, dump, dumps, embedded_set, embedded_tolerance, load, loads, pin
from shadefmt.errors import CannotRead, CannotWrite, Refused, WrongUse
from shadefmt.history import add_entries
from shadefmt.jsontext import digest, line_form
from shadefmt.model.kinds import KINDS, model_of

Value = dict[str, Any]


def decoded(value: Value) -> Value:
    return loads(json.dumps(value).encode())


@pytest.mark.parametrize("kind", KINDS)
def test_what_fits_comes_back_from_its_model_and_from_its_file(kind: str) -> None:
    model = model_of(kind)

    @settings(max_examples=settings().max_examples // 2)
    @given(values_of(model))
    def comes_back(drawn: Value) -> None:
        value = decoded(drawn)
        made = model.model_validate(value)
        assert made.to_value() == value
        assert list(made.to_value()) == [name for name in model.model_fields if name in value]
        for data in (dumps(value), dumps(made), line_form(value)):
            assert loads(data) == value
            assert json.loads(data) == value
        assert dumps(loads(dumps(value))) == dumps(value)
        assert made == model.model_validate(loads(dumps(made)))

    comes_back()


@pytest.mark.parametrize("name", sorted(PATHS))
def test_published_documents_come_back_byte_for_byte(name: str) -> None:
    data = PATHS[name].read_bytes()
    assert dumps(loads(data)) == data


@pytest.mark.parametrize(
    "name",
    [name for name in sorted(PATHS) if PATHS[name].parent.name == "examples"],
)
def test_members_of_published_examples_stand_in_the_order_of_the_models(name: str) -> None:
    data = PATHS[name].read_bytes()
    assert dumps(as_model(loads(data))) == data


def shuffled(item: Any, chance: random.Random) -> Any:
    """Return a value with the members of its objects in another order."""
    if isinstance(item, dict):
        members = list(item.items())
        chance.shuffle(members)
        return {name: shuffled(each, chance) for name, each in members}
    return [shuffled(each, chance) for each in item] if isinstance(item, list) else item


@given(st.sampled_from(sorted(PATHS)), st.integers(0, 2**32), st.sampled_from([None, 0, 1, 4, "\t"]), st.booleans())
def test_a_digest_does_not_see_how_a_document_is_written(name: str, seed: int, indent: Any, ascii_only: bool) -> None:
    value = base(name)
    text = json.dumps(shuffled(value, random.Random(seed)), indent=indent, ensure_ascii=ascii_only)
    text = text.replace(": 2,", ": 2.0,").replace(": 1,", ": 10e-1,")
    assert digest(loads(text)) == digest(loads(PATHS[name].read_bytes()))


@given(st.dictionaries(st.text(), JSON_VALUES))
def test_a_digest_is_sha_256_of_rfc_8785(value: Value) -> None:
    assert digest(decoded(value)) == hashlib.sha256(rfc8785.dumps(decoded(value))).hexdigest()


def test_a_digest_sees_every_change() -> None:
    value = base("crown")
    seen = {digest(value)}
    for name in value:
        seen.add(digest({other: item for other, item in value.items() if other != name}))
    value["readings"][0]["colours"][0]["lab"]["L"] += 0.01
    seen.add(digest(value))
    assert len(seen) == len(value) + 2


def test_the_file_form_has_root_members_and_entries_on_lines_of_their_own() -> None:
    value = {"kind": "case", "parties": [{"id": "a", "x": [1, 2.50]}, {"id": "b"}], "list": [1, 2], "n": 2.0}
    assert dumps(value) == (
        b'{\n  "kind": "case",\n  "parties": [\n    {"id": "a", "x": [1, 2.5]},\n    {"id": "b"}\n  ],\n'
        b'  "list": [1, 2],\n  "n": 2\n}\n'
    )


@pytest.mark.parametrize(
    ("data", "where"),
    [
        (b"", "line 1, column 1"),
        (b'{"a": 1,\n "a": 2}', "line 2, column 2"),
        (b'{"a": NaN}', "line 1, column 7"),
        (b"[1]", "line 1, column 1"),
        ("\ud800", "line 1, column 1"),
        (b'\xef\xbb\xbf{"a": 01}', "line 1, column 7"),
    ],
)
def test_what_is_no_document_is_refused_with_its_place(data: bytes | str, where: str) -> None:
    with pytest.raises(Refused) as refusal:
        loads(data)
    assert refusal.value.where == where


@given(st.one_of(st.binary(), st.text()))
def test_reading_raises_nothing_but_our_own(data: bytes | str) -> None:
    with contextlib.suppress(Refused):
        assert isinstance(loads(data), dict)


def test_a_file_is_read_and_written_whole(tmp_path: Path) -> None:
    path = str(tmp_path / "a.shade.json")
    dump(base("crown"), path)
    assert load(path) == loads(PATHS["crown"].read_bytes())
    with pytest.raises(CannotWrite):
        dump(base("smallest"), path)
    dump(as_model(base("smallest")), path, replace=True)
    assert load(path) == base("smallest")
    (tmp_path / "b").write_bytes(b"{")
    with pytest.raises(Refused, match="b: line 1, column 2"):
        load(str(tmp_path / "b"))
    with pytest.raises(CannotRead):
        load(str(tmp_path))


def test_documents_are_recognised_by_their_kind() -> None:
    for name in PATHS:
        assert type(as_model(base(name))) is model_of(base(name)["kind"])


@pytest.mark.parametrize(
    "value",
    [
        {},
        {"format": "shadefmt"},
        {"format": "other", "kind": "case"},
        {"format": "shadefmt", "kind": ["case"]},
    ],
)
def test_what_is_of_no_known_kind_is_wrong_use(value: Value) -> None:
    with pytest.raises(WrongUse):
        as_model(value)


def test_what_does_not_fit_its_kind_is_said_by_the_model() -> None:
    with pytest.raises(ValidationError):
        as_model({"format": "shadefmt", "kind": "case"})


def test_models_do_not_change() -> None:
    made: Any = as_model(base("smallest"))
    with pytest.raises(ValidationError):
        made.id = "urn:x:y"


def test_embedded_copies_are_pinned_and_sound() -> None:
    case, guide, limits = base("smallest"), base("guide"), base("limits")
    assert pin(guide) == {"id": guide["id"], "sha256": hashlib.sha256(rfc8785.dumps(guide)).hexdigest()}
    grown = add_entries(
        case,
        {
            "parties": [{"id": "clinic", "role": "clinic"}],
            "reference_sets": [embedded_set(guide, "guide")],
            "tolerances": [embedded_tolerance(limits, "limits", ["clinic"], "2026-01-02")],
        },
    )
    documents = {each["id"]: digest(each) for each in (guide, limits)}
    report = check(written(grown), documents=documents)
    assert (report.outcome, report.totals.errors, report.not_supplied) == ("valid", 0, None)
    assert grown["tolerances"][0]["grades"] == limits["grades"]
    assert grown["reference_sets"][0]["references"] == guide["references"]
