"""The file form and the line form: layout by hand, and decoding as the inverse."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from json_strategies import documents, many, typed, values

from shadefmt.errors import WrongUse
from shadefmt.jsontext import decode, file_form, line_form

_DOCUMENT: dict[str, Any] = {
    "format": "shadefmt",
    "version": "1.0",
    "privacy": {"status": "pseudonymised", "dates": "exact"},
    "specimens": [{"id": "tooth-21", "kind": "tooth"}, {"id": "stump-11", "bands": [0.35, 1.0, 1e-7], "on": {}}],
    "labels": ["Oskin", "Värle"],
    "mixed": [1, {"a": 2.0}],
    "none": [],
    "nested": [[{"a": 1}], [2]],
    "note": 'a "quoted" \\ line\nand 2.0, 1e-07',
    "L": 74.0,
    "last": -0.0,
}
_FILE = """{
  "format": "shadefmt",
  "version": "1.0",
  "privacy": {"status": "pseudonymised", "dates": "exact"},
  "specimens": [
    {"id": "tooth-21", "kind": "tooth"},
    {"id": "stump-11", "bands": [0.35, 1, 1e-7], "on": {}}
  ],
  "labels": ["Oskin", "Värle"],
  "mixed": [
    1,
    {"a": 2}
  ],
  "none": [],
  "nested": [[{"a": 1}], [2]],
  "note": "a \\"quoted\\" \\\\ line\\nand 2.0, 1e-07",
  "L": 74,
  "last": 0
}
"""
_LINE = (
    '{"format":"shadefmt","version":"1.0","privacy":{"status":"pseudonymised","dates":"exact"},"specimens":[{"id":"tooth-21",'
    '"kind":"tooth"},{"id":"stump-11","bands":[0.35,1,1e-7],"on":{}}],"labels":["Oskin","Värle"],"mixed":[1,{"a":2}],'
    '"none":[],"nested":[[{"a":1}],[2]],"note":"a \\"quoted\\" \\\\ line\\nand 2.0, 1e-07","L":74,"last":0}\n'
)


def test_the_layout_of_the_file_form() -> None:
    assert file_form(_DOCUMENT).decode() == _FILE
    assert file_form({}) == b"{}\n"


def test_the_examples_of_the_specification_are_in_file_form() -> None:
    examples = sorted((Path(__file__).parents[2] / "schema" / "1.0" / "examples").glob("*.shade.json"))
    assert examples
    for example in examples:
        assert file_form(decode(example.read_bytes()).value) == example.read_bytes(), example.name


def test_the_layout_of_the_line_form() -> None:
    assert line_form(_DOCUMENT).decode() == _LINE
    assert line_form([]) == b"[]\n"


def test_root_members_that_are_named_come_first() -> None:
    document = {"z": 1, "a": [{"d": 1, "c": 2}], "m": 3}
    ordered = file_form(document, ("m", "absent", "a"))
    assert ordered == b'{\n  "m": 3,\n  "a": [\n    {"d": 1, "c": 2}\n  ],\n  "z": 1\n}\n'
    assert file_form(document, ()) == file_form(document)
    assert file_form(document, ("m", "a", "m")) == ordered


@pytest.mark.parametrize("text", ["\u2028", "\x7f", "\ufeff", "é", "😀", "/", "<&>", "\x80"])
def test_nothing_is_escaped_without_need(text: str) -> None:
    assert line_form(text) == f'"{text}"\n'.encode()


@pytest.mark.parametrize(
    ("text", "escaped"), [('"', '\\"'), ("\\", "\\\\"), ("\n", "\\n"), ("\x00", "\\u0000"), ("\x1f", "\\u001f")]
)
def test_what_must_be_escaped_is(text: str, escaped: str) -> None:
    assert line_form({text: text}) == f'{{"{escaped}":"{escaped}"}}\n'.encode()


@many(200)
@given(documents)
def test_decoding_is_the_inverse_of_both_forms(document: dict[str, Any]) -> None:
    for form in (file_form(document), line_form(document)):
        decoded = decode(form)
        assert decoded.faults == ()
        assert decoded.value == document
        assert json.loads(form) == document
        assert form.endswith(b"\n")
    assert list(decode(file_form(document)).value) == list(document)


@many(200)
@given(documents)
def test_writing_again_gives_the_same_bytes(document: dict[str, Any]) -> None:
    form = file_form(document)
    value = decode(form).value
    assert file_form(value) == form
    assert typed(decode(line_form(value)).value) == typed(value)


@many(100)
@given(values)
def test_a_line_holds_one_line_feed(value: Any) -> None:
    assert line_form(value).count(b"\n") == 1


def _deep(depth: int) -> Any:
    value: Any = 1
    for _ in range(depth):
        value = [value]
    return value


def _endless() -> dict[str, Any]:
    value: dict[str, Any] = {}
    value["a"] = [value]
    return value


@pytest.mark.parametrize(
    "value",
    [
        float("nan"),
        float("inf"),
        -float("inf"),
        2**53,
        -(2**53),
        10**5000,
        "\ud800",
        {"\udc00": 1},
        {1: 2},
        {None: 2},
        {"a": {"b": {True: 1}}},
        b"bytes",
        {1, 2},
        object(),
        _deep(65),
        _deep(5000),
        _endless(),
    ],
    ids=range(17),
)
def test_what_cannot_be_read_back_is_not_written(value: Any) -> None:
    with pytest.raises(WrongUse):
        line_form(value)
    with pytest.raises(WrongUse):
        file_form({"a": value})


def test_the_deepest_that_is_read_is_written() -> None:
    assert decode(line_form(_deep(64))).value == _deep(64)
    assert decode(file_form({"a": _deep(63)})).value == {"a": _deep(63)}
