"""The canonical form, by the examples of RFC 8785 and by the rfc8785 package; digests by hashlib over typed bytes."""

import hashlib
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st
from json_strategies import many, texts, values

from shadefmt.errors import WrongUse
from shadefmt.jsontext import canonical, decode, digest, file_form

# RFC 8785, section 3.2.2 (input) and 3.2.4 (output, in hexadecimal), typed by hand
_INPUT = rb"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
_OUTPUT = """
    7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d 2c 22 6e
    75 6d 62 65 72 73 22 3a 5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31 65 2b 33 30
    2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37 5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24
    5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
"""
# RFC 8785, section 3.2.3: names in the order of their UTF-16 code units
_SORTED = [
    ("\r", "Carriage Return"),
    ("1", "One"),
    ("\u0080", "Control"),
    ("\u00f6", "Latin Small Letter O With Diaeresis"),
    ("\u20ac", "Euro Sign"),
    ("\U0001f600", "Emoji: Grinning Face"),
    ("\ufb33", "Hebrew Letter Dalet With Dagesh"),
]


def test_the_example_of_sections_3_2_2_to_3_2_4() -> None:
    expected = bytes.fromhex(_OUTPUT)
    value = decode(_INPUT).value
    assert canonical(value) == expected
    assert digest(value) == hashlib.sha256(expected).hexdigest()


def test_names_sort_by_utf_16_code_units_as_in_section_3_2_3() -> None:
    written = canonical(dict(reversed(_SORTED))).decode()
    places = [written.index(f'"{meaning}"') for _, meaning in _SORTED]
    assert places == sorted(places)


def test_strings_are_escaped_as_in_section_3_2_2_2() -> None:
    assert (
        canonical('\b\t\n\f\r"\\\x00\x1f/\x7f\u2028é')
        == b'"\\b\\t\\n\\f\\r\\"\\\\\\u0000\\u001f/\x7f\xe2\x80\xa8\xc3\xa9"'
    )


def test_the_digest_of_small_values() -> None:
    # the two bytes {} given to sha256sum (GNU coreutils)
    assert digest({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
    assert digest({"b": 2.0, "a": [1e3, -0.0]}) == hashlib.sha256(b'{"a":[1000,0],"b":2}').hexdigest()


def test_the_digest_does_not_depend_on_the_writing() -> None:
    first = decode(b'{"L": 2.0, "a": [1e1, "\\u00e9"]}').value
    second = decode('{"a":[10,"é"],"L":2}'.encode()).value
    assert digest(first) == digest(second) == digest(decode(file_form(first)).value)


@many(300)
@given(values)
def test_equal_to_the_rfc8785_package(value: Any) -> None:
    assert canonical(value) == rfc8785.dumps(value)


@many(300)
@given(st.lists(st.floats(allow_nan=False, allow_infinity=False), min_size=1, max_size=4))
def test_equal_for_floats_of_all_magnitudes(numbers: list[float]) -> None:
    assert canonical(numbers) == rfc8785.dumps(numbers)
    assert canonical({"a": numbers[0], "b": {"c": numbers[-1]}}) == rfc8785.dumps(
        {"a": numbers[0], "b": {"c": numbers[-1]}}
    )


@many(200)
@given(st.dictionaries(st.one_of(texts, st.text("a\ue000\ufb33\U0001f600\U0010ffff", max_size=3)), st.integers(-9, 9)))
def test_equal_for_names_of_all_kinds(value: dict[str, int]) -> None:
    assert canonical(value) == rfc8785.dumps(value)


def test_tuples_are_arrays() -> None:
    assert canonical((1, (2.5,))) == b"[1,[2.5]]"


def _deep() -> Any:
    value: Any = 1
    for _ in range(100_000):
        value = [value]
    return value


@pytest.mark.parametrize(
    "value",
    [float("nan"), [float("inf")], 2**53, {"a": -(2**53)}, 10**30, "\ud800", {"\udfff": 1}, b"x", object(), {"a": {1}}],
    ids=range(10),
)
def test_what_has_no_canonical_form_is_wrong_use(value: Any) -> None:
    with pytest.raises(WrongUse):
        canonical(value)
    with pytest.raises(WrongUse):
        digest(value)


def test_endless_and_bottomless_values_are_wrong_use() -> None:
    endless: list[Any] = []
    endless.append(endless)
    for value in (endless, _deep()):
        with pytest.raises(WrongUse):
            canonical(value)
