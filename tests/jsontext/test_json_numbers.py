"""Numbers written at their shortest.

The pairs of bit pattern and text are those of RFC 8785, appendix B, typed by hand. Where they are integers beyond
2^53-1 the file form differs on purpose; the test says how.
"""

import json
import struct

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st
from json_strategies import floats, many

from shadefmt.errors import WrongUse
from shadefmt.jsontext import canonical, decode, line_form
from shadefmt.jsontext.numbers import text_of_float

_APPENDIX_B = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]
_WITH_EXPONENT = {  # the same values in the file form, counted by hand
    "9007199254740992": "9.007199254740992e+15",
    "-9007199254740992": "-9.007199254740992e+15",
    "295147905179352830000": "2.9514790517935283e+20",
    "999999999999999700000": "9.999999999999997e+20",
    "999999999999999900000": "9.999999999999999e+20",
}


@pytest.mark.parametrize(("bits", "text"), _APPENDIX_B)
def test_numbers_of_rfc_8785_appendix_b(bits: str, text: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical(number).decode() == text
    assert text_of_float(number) == _WITH_EXPONENT.get(text, text)


@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000", "fff0000000000000"])
def test_numbers_that_rfc_8785_appendix_b_calls_errors(bits: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    for write in (canonical, line_form):
        with pytest.raises(WrongUse):
            write(number)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (2.0, "2"),
        (-0.0, "0"),
        (75.04, "75.04"),
        (0.1, "0.1"),
        (100000.0, "100000"),
        (0.0001, "0.0001"),
        (0.00001, "0.00001"),
        (-0.0000012, "-0.0000012"),
        (1.5e-7, "1.5e-7"),
        (9007199254740991.0, "9007199254740991"),
        (1e16, "1e+16"),
        (-1.25e20, "-1.25e+20"),
        (1e100, "1e+100"),
    ],
)
def test_numbers_by_hand(number: float, text: str) -> None:
    assert text_of_float(number) == text
    assert line_form([number]).decode() == f"[{text}]\n"


@many(300)
@given(floats)
def test_a_written_number_is_read_back_and_no_longer_than_needed(number: float) -> None:
    text = text_of_float(number)
    assert float(text) == number
    assert decode(text.encode()).value == number
    assert len(text) <= len(repr(number)) + 4  # 0.0000012 is longer than 1.2e-06
    if not (number.is_integer() and 2**53 <= abs(number) < 1e21):
        assert text == rfc8785.dumps(number).decode()


@many(300)
@given(st.one_of(floats, st.integers(-(10**17), 10**17)))
def test_python_json_reads_what_is_written(number: float) -> None:
    if isinstance(number, int) and abs(number) >= 2**53:
        with pytest.raises(WrongUse):
            line_form({"n": number})
    else:
        assert json.loads(line_form({"n": number})) == {"n": number}
