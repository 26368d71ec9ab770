"""Decoding against Python's json module, and the fast path against the exact one, on generated and broken texts."""

import json
import random
from typing import Any

from hypothesis import example, given
from hypothesis import strategies as st
from json_strategies import changed, loose_texts, many, reading, spelled_values, token_soup, typed

from shadefmt.jsontext.decoding import decode, decode_exactly
from shadefmt.jsontext.faults import BYTE_ORDER_MARK, SyntaxFault

_MANY = many(100)


def agree(data: bytes) -> None:
    """Same faults and value on both paths, same verdict and value as the independent reading."""
    quick, exact = decode(data), decode_exactly(data)
    assert quick.faults == exact.faults
    assert typed(quick.value) == typed(exact.value)
    accepted, value = reading(data)
    assert (quick.faults == ()) == accepted, (data, quick.faults)
    if accepted:
        assert typed(quick.value) == typed(value)
    else:
        assert all(_is_placed(fault, data) for fault in quick.faults)
        assert quick.value is None or [fault.code for fault in quick.faults] == [BYTE_ORDER_MARK]


def _is_placed(fault: SyntaxFault, data: bytes) -> bool:
    return 0 <= fault.offset <= len(data) and fault.line >= 1 and fault.column >= 1


@_MANY
@given(spelled_values)
def test_a_spelled_value_is_read_back(pair: tuple[Any, str]) -> None:
    value, text = pair
    decoded = decode(text.encode())
    accepted, expected = reading(text.encode())
    assert (decoded.faults == ()) == accepted
    assert decoded.value == value
    assert typed(decoded.value) == typed(expected)
    agree(text.encode())


@_MANY
@given(loose_texts)
def test_texts_with_odd_numbers_and_strings(text: str) -> None:
    agree(text.encode())


@_MANY
@given(token_soup)
def test_tokens_in_any_order(text: str) -> None:
    agree(text.encode())


@_MANY
@given(spelled_values, st.integers(0, 2**32))
def test_damaged_texts(pair: tuple[Any, str], seed: int) -> None:
    agree(changed(pair[1].encode(), random.Random(seed)))


@_MANY
@given(loose_texts, st.integers(0, 2**32))
def test_damaged_odd_texts(text: str, seed: int) -> None:
    agree(changed(text.encode(), random.Random(seed)))


@_MANY
@given(st.binary(max_size=40))
@example(b"\xef\xbb\xbf")
@example(b"\xff\xfe\0\0")
@example(b"\0\0\0")
def test_any_bytes(data: bytes) -> None:
    agree(data)


@_MANY
@given(st.text(max_size=40))
def test_any_text_in_the_encodings_that_are_not_utf8(text: str) -> None:
    for encoding in ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-32-le", "utf-32-be"):
        agree(text.encode(encoding))
        agree(f'{{"a":"{text}"}}'.encode(encoding))


_digits = st.text("0123456789", min_size=1, max_size=25)
_numbers = st.builds(
    lambda sign, whole, fraction, exponent: f"{sign}{whole}{fraction}{exponent}",
    st.sampled_from(["", "-"]),
    st.one_of(st.just("0"), _digits.map(lambda digits: digits.lstrip("0") or "0"), st.integers(0, 2**54).map(str)),
    st.one_of(
        st.just(""),
        _digits.map(lambda digits: f".{digits}"),
        st.builds(lambda run, width, tail: f".{run * width}{tail}", st.sampled_from("09"), st.integers(1, 30), _digits),
        st.sampled_from([".0", ".00", ".9999999999999999", ".50"]),
    ),
    st.one_of(st.just(""), st.just(""), st.integers(-400, 400).map(lambda power: f"e{power}"), st.just("E+03")),
)


@many(400)
@given(_numbers, st.sampled_from(["{}", "[{}]", '{{"a":{}}}', '{{"a": {} }}', "[1.5,{}\n]", '["x",{},"y"]', " {} "]))
def test_numbers_of_all_shapes_and_places(number: str, frame: str) -> None:
    agree(frame.format(number).encode())


@many(200)
@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_double_is_read_exactly(number: float) -> None:
    for text in (repr(number), f"{number:.17g}", f"{number:.25e}"):
        if text.lstrip("-").isdigit() and len(text.lstrip("-")) > 15:
            continue  # an integer text beyond 2^53-1 is refused; the grammar table has it
        assert decode(text.encode()).value == number
        assert decode(f"[{text}]".encode()).value == [number]


@_MANY
@given(st.integers(60, 70), st.integers(0, 3), st.sampled_from(["]", "[", "}", "{", "[]", "]["]))
def test_depth_is_counted_without_brackets_in_strings(depth: int, strings: int, inside: str) -> None:
    filling = ",".join([json.dumps(inside)] * strings + ["0"])
    agree(f"{'[' * depth}{filling}{']' * depth}".encode())
    agree(f"{('[' + json.dumps(inside) + ',') * depth}0{(',' + json.dumps(inside[::-1]) + ']') * depth}".encode())
