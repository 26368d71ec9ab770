"""The fast path of decoding: jiter, where cheap tests on the bytes show that it sees all there is to see.

jiter refuses what the grammar refuses, duplicate members and lone surrogates. It does not see numbers beyond
the doubles, integers beyond 2^53-1 and nesting between our limit and its own, and it leaves integral numbers
floats. Where the bytes may hold such things the value is walked. Text inside strings can cause a needless
walk, never a wrong value.
"""

import re
from typing import Any

import jiter

from shadefmt.jsontext.numbers import integral
from shadefmt.limits import MAX_DEPTH, MAX_SAFE_INTEGER

NOT_SURE: Any = object()
"""Stands for: not settled here, ask the exact reader."""


def _table(*classes: tuple[bytes, bytes]) -> tuple[bytes, bytes]:
    """Arguments of bytes.translate: every byte of a class becomes one byte, all others are dropped."""
    kept = b"".join(members for members, _ in classes)
    images = b"".join(image * len(members) for members, image in classes)
    return bytes.maketrans(kept, images), bytes(byte for byte in range(256) if byte not in kept)


_DIGIT, _DIGIT_DROPS = _table(
    (b"0123456789+-", b"0"), (b".", b"."), (b"eE", b"e"), (b"abcdfABCDF", b"x"), (b",:[", b","), (b'"', b'"')
)
"""Shows numbers by length and exponent. What can stand before one is a comma; hexadecimal letters are kept
apart, so that digests and UUIDs seldom look like numbers."""
_LONG = b"0" * 10
_LONG_INTEGER = b"," + _LONG
_LONG_FRACTION = b"." + b"0" * 7
_EXPONENT = b"0e0"

_SHAPE, _SHAPE_DROPS = _table(
    (b"123456789", b"1"), (b".", b"."), (b",", b","), (b"[{", b"["), (b"]}", b"]"), (b'"', b'"')
)
"""Shows brackets, and numbers without noughts: a fraction that holds nothing else leaves a point before what
can stand behind a number."""
_BRACKET, _BRACKET_DROPS = _table((b"[", b"["), (b"]", b"]"))
_QUOTED, _QUOTED_DROPS = _table((b"[", b"["), (b"]", b"]"), (b'"', b'"'))

_INTEGRAL = re.compile(rb"\.0++(?:[,\]} \t\r\n]|\Z)")
_ROUNDED = (b".0000", b".9999")
"""How a fraction begins that a double may lose. Up to 15 significant digits no two numbers share a double:
only longer ones can round to an integer, and with less than 10 digits before the point by at most 6e-8."""

_MAX_LOOKS = 100  # at exponents that turn out to be in strings; beyond, walking the value is cheaper
_MAX_LOOK_BACK = 24


def quick_value(data: bytes) -> Any:
    """The value of `data` as the exact reader gives it, or NOT_SURE."""
    try:
        value = jiter.from_json(data, catch_duplicate_keys=True, allow_inf_nan=False, cache_mode="keys")
    except ValueError:
        return NOT_SURE
    return value if _is_plain(data) else _settled(value)


def _is_plain(data: bytes) -> bool:
    """Whether the bytes surely hold no integral float, number to refuse, or nesting beyond the limit."""
    digits = data.translate(_DIGIT, _DIGIT_DROPS)
    if _LONG_INTEGER in digits or digits.startswith(_LONG) or _may_hold_exponent(digits):
        return False
    shape = data.translate(_SHAPE, _SHAPE_DROPS)
    if (b".," in shape or b".]" in shape or shape.endswith(b".")) and _INTEGRAL.search(data):
        return False
    if _LONG_FRACTION in digits and any(beginning in data for beginning in _ROUNDED):
        return False
    return _is_shallow(data, shape)


def _may_hold_exponent(digits: bytes) -> bool:
    """Whether an exponent may have digits before it that begin where a number can."""
    at = digits.find(_EXPONENT)
    looks = 0
    while at >= 0:
        looks += 1
        before = digits[at - _MAX_LOOK_BACK if at > _MAX_LOOK_BACK else 0 : at].rstrip(b"0.")
        if looks > _MAX_LOOKS or before[-1:] in b",":  # b"": a root, or digits as far as was looked
            return True
        at = digits.find(_EXPONENT, digits.find(b'"', at))  # this one stands in a string: go to its end
    return False


def _is_shallow(data: bytes, shape: bytes) -> bool:
    """Whether nesting is surely within the limit M.

    Closed pairs are taken out of the brackets, pass by pass: K passes take all if they nest K deep as they
    stand. They nest deeper without those in strings only if at least M + 1 - K closing ones, and as many
    opening ones, are in strings, beside M + 1 real pairs.
    """
    brackets = shape.translate(_BRACKET, _BRACKET_DROPS)
    number, passes = len(brackets), 0
    while brackets:
        left = brackets.replace(b"[]", b"")
        passes += 1
        if passes > MAX_DEPTH or len(left) == len(brackets):
            return False
        brackets = left
    return number < 4 * (MAX_DEPTH + 1) - 2 * passes or _strings_hold_no_brackets(data, shape)


def _strings_hold_no_brackets(data: bytes, shape: bytes) -> bool:
    """Whether quotes come in even runs between brackets and none is escaped: so no string holds a bracket."""
    quoted = shape.translate(_QUOTED, _QUOTED_DROPS)
    return 2 * quoted.count(b'""') == quoted.count(b'"') and b'\\"' not in data


def _settled(value: Any) -> Any:
    """`value` with integral numbers as int, in place; NOT_SURE where the exact reader has a fault to tell."""
    root = [value]
    level: list[Any] = [root]
    for _ in range(MAX_DEPTH + 1):
        below: list[Any] = []
        for container in level:
            if not _settle(container, below):
                return NOT_SURE
        if not below:
            return root[0]
        level = below
    return NOT_SURE


def _settle(container: Any, below: list[Any]) -> bool:
    """Settle the numbers directly in `container`, list its containers; False for a number to refuse."""
    for key, value in container.items() if type(container) is dict else enumerate(container):
        kind = type(value)
        if kind is str:
            continue
        if kind is float:
            if value.is_integer():
                container[key] = integral(value)
            elif value - value != 0:
                return False
        elif kind is dict or kind is list:
            below.append(value)
        elif kind is int and not -MAX_SAFE_INTEGER <= value <= MAX_SAFE_INTEGER:
            return False
    return True
