"""Large and hostile texts: refused or read without an exception and in time linear in their size.

The bound is loose, so that a slow machine passes: what takes time as the square of its size would take minutes.
"""

import time
from collections.abc import Callable

import pytest

from shadefmt.jsontext import decode, locate
from shadefmt.limits import MAX_DOCUMENT_BYTES

_SECONDS = 15
_N = 10**6
_DEEP = ("syntax-too-deep",)
_UNFINISHED = ("syntax-text-unfinished",)
_UNEXPECTED = ("syntax-unexpected",)
_TEXTS: dict[str, tuple[Callable[[], bytes], tuple[str, ...]]] = {
    "100,000 open arrays": (lambda: b"[" * 10**5, _DEEP + _UNFINISHED),
    "1,000,000 open arrays": (lambda: b"[" * _N, _DEEP + _UNFINISHED),
    "1,000,000 arrays, closed": (lambda: b"[" * _N + b"]" * _N, _DEEP),
    "1,000,000 open objects": (lambda: b'{"a":' * _N, _DEEP + _UNFINISHED),
    "arrays and objects in turn": (lambda: b'[{"":' * (_N // 2), _DEEP + _UNFINISHED),
    "closed by the wrong brackets": (lambda: b"[" * _N + b"}" * _N, _DEEP + _UNEXPECTED),
    "escaped quotes behind the limit": (lambda: b"[" * 65 + b'\\"' * _N, _DEEP + _UNFINISHED),
    "1,000,000 digits": (lambda: b"1" * _N, ("syntax-integer-unsafe",)),
    "1,000,000 digits before a fraction": (lambda: b"1" * _N + b".5", ("syntax-number-not-finite",)),
    "1,000,000 digits of an exponent": (lambda: b"1e" + b"9" * _N, ("syntax-number-not-finite",)),
    "1,000,000 digits and no number": (lambda: b"1" * _N + b".", _UNFINISHED),
    "1,000,000 signs": (lambda: b"-" * _N, ("syntax-number-malformed",)),
    "a string of 4,000,000 characters, unfinished": (lambda: b'"' + b"a" * 4 * _N, _UNFINISHED),
    "1,000,000 escapes, unfinished": (lambda: b'"' + b"\\\\" * _N, _UNFINISHED),
    "200,000 lone surrogates": (lambda: b'"' + b"\\ud800" * 200_000 + b'"', ("syntax-surrogate-lone",) * 1000),
    "200,000 duplicates": (lambda: b'{"a":0' + b',"a":0' * 200_000 + b"}", ("syntax-member-duplicate",) * 1000),
    "duplicates of a long name": (
        lambda: b"{" + b",".join([b'"' + b"n" * 10**4 + b'":0'] * 500) + b"}",
        ("syntax-member-duplicate",) * 499,
    ),
    "faults below a long name": (
        lambda: b'{"' + b"n" * _N + b'":[' + b",".join([b"NaN"] * 20_000) + b"]}",
        ("syntax-number-not-finite",) * 1000,
    ),
    "white space": (lambda: b" \n" * _N, ("syntax-empty",)),
    "lines": (
        lambda: b"[" + b"\n" * _N + b"NaN" + b"\r\n" * _N + b"NaN]",
        ("syntax-number-not-finite", "syntax-unexpected"),
    ),
    "a letter in Latin-1 at the end": (lambda: b'"' + b"a" * 4 * _N + b'\xe9"', ("syntax-encoding-not-utf8",)),
    "brackets in strings": (lambda: b'["' + b"]" * _N + b"[" * _N + b'"]', ()),
    "exponents in strings": (lambda: b'["' + b"1e5 " * _N + b'"]', ()),
    "noughts in strings": (lambda: b'["' + b".0000, " * _N + b'"]', ()),
    "1,000,000 digits of a fraction": (lambda: b"[0." + b"1" * _N + b"]", ()),
    "1,000,000 noughts": (lambda: b"[0." + b"0" * _N + b"1]", ()),
}


@pytest.mark.parametrize("name", _TEXTS)
def test_hostile_texts_are_settled_in_linear_time(name: str) -> None:
    make, codes = _TEXTS[name]
    data = make()
    started = time.perf_counter()
    decoded = decode(data)
    took = time.perf_counter() - started
    assert tuple(fault.code for fault in decoded.faults) == codes
    assert took < _SECONDS


def test_locating_in_a_hostile_text_is_linear_too() -> None:
    started = time.perf_counter()
    places = locate(b"[" * _N, [f"/{'0/' * 500}0", "/0/0/0"])
    assert places["/0/0/0"].column == 4
    assert time.perf_counter() - started < _SECONDS


def test_a_document_beyond_the_size_limit_is_not_read() -> None:
    (fault,) = decode(bytes(MAX_DOCUMENT_BYTES + 1)).faults
    assert fault.code == "syntax-too-large"
    assert dict(fault.params) == {"size_bytes": MAX_DOCUMENT_BYTES + 1, "limit_bytes": MAX_DOCUMENT_BYTES}
    assert (fault.line, fault.column, fault.offset) == (1, 1, 0)
