"""Lines, columns and byte offsets of faults and of values."""

import json
import random
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from json_strategies import documents, many, spelled

from shadefmt.errors import WrongUse
from shadefmt.jsontext import decode, locate, pointer_of, resolve
from shadefmt.jsontext.faults import MAX_FAULTS, Position
from shadefmt.jsontext.places import positions

_DOCUMENT = '{\n  "é😀": [1,\r\n\t{"b": NaN, "b": 2}],\r  "c": "x\\ud800"\n}\n'.encode()


def test_faults_are_placed_by_line_character_and_byte() -> None:
    number, duplicate, surrogate = decode(_DOCUMENT).faults
    assert (number.line, number.column, number.offset) == (3, 8, 26)
    assert (number.pointer, dict(number.params)) == ("/é😀/1/b", {"number": "NaN"})
    assert (duplicate.line, duplicate.column, duplicate.offset) == (3, 13, 31)
    assert duplicate.related == Position(3, 3, 21)
    assert dict(duplicate.params) == {"name": "b", "first_line": 3, "first_column": 3}
    assert (surrogate.line, surrogate.column, surrogate.offset) == (4, 10, 50)
    assert (surrogate.pointer, dict(surrogate.params)) == ("/c", {"escape": "\\ud800"})


def test_columns_leave_a_byte_order_mark_out_and_offsets_do_not() -> None:
    mark, number = decode(b"\xef\xbb\xbf[NaN]").faults
    assert (mark.line, mark.column, mark.offset, mark.pointer) == (1, 1, 0, None)
    assert (number.line, number.column, number.offset) == (1, 2, 4)


def test_an_encoding_fault_tells_the_byte() -> None:
    (fault,) = decode('{"é":\n"'.encode() + b'\xe9"}').faults
    assert (fault.code, fault.line, fault.column, fault.offset) == ("syntax-encoding-not-utf8", 2, 2, 8)
    assert dict(fault.params) == {"detected": "unknown", "byte_offset": 8}


@pytest.mark.parametrize("name", ["UTF-16LE", "UTF-16BE", "UTF-32LE", "UTF-32BE"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_other_encodings_are_named(name: str, mark: str) -> None:
    (fault,) = decode(f'{mark}{{"a": "é"}}'.encode(name)).faults
    assert dict(fault.params) == {"detected": name, "byte_offset": 0}


@pytest.mark.parametrize(
    ("text", "what", "begun"),
    [
        ('{"a":\n[1, 2', "array", (2, 1)),
        ('{"a":\n 1, ', "object", (1, 1)),
        ('[\n"abc', "string", (2, 1)),
        ('["a\\u00', "string", (1, 2)),
        ('{"a', "string", (1, 2)),
        ("[\n -1.", "number", (2, 2)),
        ("[tru", "word", (1, 2)),
        ("[" * 64 + "\n{", "object", (2, 1)),
    ],
)
def test_an_unfinished_text_tells_what_was_open_and_since_when(text: str, what: str, begun: tuple[int, int]) -> None:
    fault = decode(text.encode()).faults[-1]
    assert (fault.code, fault.params["open"]) == ("syntax-text-unfinished", what)
    assert (fault.params["begun_line"], fault.params["begun_column"]) == begun
    assert fault.related is not None
    assert (fault.related.line, fault.related.column) == begun
    assert fault.offset == len(text)


@pytest.mark.parametrize(
    ("text", "found", "expected", "pointer"),
    [
        ("[1,]", "]", "a value", "/1"),
        ("[}", "}", "a value or ']'", "/0"),
        ("[1 2]", "2", "',' or ']'", ""),
        ('{"a":1,}', "}", "a member name in double quotes", ""),
        ("{'a':1}", "'", "a member name in double quotes or '}'", ""),
        ('{"a" 1}', "1", "':'", "/a"),
        ('{"a":True}', "True", "a value", "/a"),
        ('{"a":1 "b":2}', '"', "',' or '}'", ""),
        ("undefined", "undefined", "a value", None),
        ("[\x0c]", "U+000C", "a value or ']'", "/0"),
    ],
)
def test_what_was_found_and_what_was_expected(text: str, found: str, expected: str, pointer: str | None) -> None:
    (fault,) = decode(text.encode()).faults
    assert fault.code == "syntax-unexpected"
    assert dict(fault.params) == {"found": found, "expected": expected}
    assert fault.pointer == pointer


def test_excerpts_are_short_and_can_be_printed() -> None:
    (number,) = decode(b"[" + b"9" * 5000 + b"]").faults
    assert len(str(number.params["number"])) == 41
    (name,) = decode(b'{"\\u001b[31m":1,"\\u001b[31m":2}').faults
    assert name.params["name"] == "U+001B[31m"


def test_a_pointer_is_plain_text_of_sensible_length() -> None:
    odd = b'{"a":{"\\ud800":{"b":NaN}}}'
    assert [fault.pointer for fault in decode(odd).faults] == ["/a", "/a"]
    long = json.dumps({"a": {"x" * 5000: [0]}}).replace("0", "NaN").encode()
    assert [fault.pointer for fault in decode(long).faults] == ["/a"]


def test_listing_is_capped_and_the_last_fault_kept() -> None:
    decoded = decode(b"[" + b"NaN," * 2500)
    assert len(decoded.faults) == MAX_FAULTS + 1
    assert decoded.faults[-1].code == "syntax-text-unfinished"
    assert decoded.omitted == 2500 - MAX_FAULTS
    assert not decoded.has_value


@many(100)
@given(st.text("ab\n\ré😀", max_size=30), st.lists(st.integers(0, 30)))
def test_positions_are_those_counted_one_by_one(text: str, indices: list[int]) -> None:
    inside = [index for index in indices if index <= len(text) and text[index - 1 : index + 1] != "\r\n"]
    found = positions(text, inside, 3)
    for index in inside:
        ends = [end.end() for end in re.finditer(r"\r\n|\r|\n", text) if end.end() <= index]
        line_start = ends[-1] if ends else 0
        expected = Position(len(ends) + 1, index - line_start + 1, 3 + len(text[:index].encode()))
        assert found[index] == expected


def _pointers(value: Any, parts: tuple[str | int, ...] = ()) -> list[str]:
    children = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [pointer_of(parts), *(pointer for step, child in children for pointer in _pointers(child, (*parts, step)))]


@many(100)
@given(documents, st.integers(0, 9999))
def test_a_located_value_is_what_the_json_module_reads_there(document: dict[str, Any], seed: int) -> None:
    text = spelled(document, random.Random(seed))
    pointers = _pointers(document)
    places = locate(text.encode(), pointers)
    assert list(places) == list(dict.fromkeys(pointers))
    decoder = json.JSONDecoder()
    for pointer, place in places.items():
        rest = text.encode()[place.offset :].decode()
        assert decoder.raw_decode(rest)[0] == resolve(document, pointer)


def test_locate_falls_back_to_the_nearest_ancestor_that_exists() -> None:
    data = b'{"a": [10, {"b": 1}], "c/d": 2}'
    pointers = ["", "/a", "/a/1/b", "/a/1/x/y", "/a/2", "/a/-", "/a/01", "/x", "/c~1d", "/c~1d/0"]
    places = locate(data, pointers)
    assert [places[pointer].column for pointer in pointers] == [1, 7, 18, 12, 7, 7, 7, 1, 30, 30]


def test_locate_takes_the_first_of_two_members_and_stops_where_reading_stops() -> None:
    assert locate(b'{"a":1,"a":2}', ["/a"])["/a"].offset == 5
    assert locate(b' {"a":1,"b":}', ["/b/c", "/a", "/z"]) == {
        "/b/c": Position(1, 13, 12),
        "/a": Position(1, 7, 6),
        "/z": Position(1, 2, 1),
    }
    assert locate(b"\xff", ["/a"]) == {"/a": Position(1, 1, 0)}
    assert locate(b"", [""]) == {"": Position(1, 1, 0)}
    assert locate(b"{}", []) == {}


def test_locate_counts_a_byte_order_mark_in_offsets_only() -> None:
    assert locate(b'\xef\xbb\xbf{"a":1}', ["/a"]) == {"/a": Position(1, 6, 8)}


def test_locate_refuses_what_is_no_pointer() -> None:
    with pytest.raises(WrongUse):
        locate(b"{}", ["a"])
