"""Generated JSON: values, texts that spell them in many ways, texts with something broken; and an independent reading.

The reading is by Python's own `json` module, which shares no code with ours; what it lacks (duplicates, numbers beyond
the doubles or 2^53-1, lone surrogates, depth) is added by its hooks and by a walk over what it gives.
"""

import json
import os
import random
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st

from shadefmt.limits import MAX_DEPTH, MAX_SAFE_INTEGER

_IS_LONG = os.environ.get("SHADEFMT_PROFILE") == "long"


def many(examples: int) -> settings:
    """Settings for this number of examples, thirty times as many in the long profile."""
    return settings(deadline=None, max_examples=examples * 30 if _IS_LONG else examples)


_TRICKY = [
    "1e5",
    ":3e5",
    ", 2.0,",
    "[",
    "]",
    "{}",
    '"',
    "\\",
    'a"]',
    "0.0000",
    "é",
    "😀",
    "\ufb33",
    "\x00",
    "\x1f",
    "\x7f",
]
texts = st.one_of(st.text(max_size=8), st.sampled_from(_TRICKY), st.text("abcdef0123456789-", max_size=36))
integers = st.integers(-MAX_SAFE_INTEGER, MAX_SAFE_INTEGER)
floats = st.one_of(
    st.floats(allow_nan=False, allow_infinity=False),
    st.floats(-200, 200).map(lambda number: round(number, 2)),
    st.integers(-1000, 1000).map(float),
    st.sampled_from([0.0, -0.0, 1e-7, 1e-6, 1e16, 1e20, 1e21, 1e22, 5e-324, 2.0**53, 2.0**53 - 1, 1e-5, 123456.0]),
)
scalars = st.one_of(st.none(), st.booleans(), integers, floats, texts)
values = st.recursive(
    scalars,
    lambda children: st.one_of(st.lists(children, max_size=5), st.dictionaries(texts, children, max_size=5)),
    max_leaves=25,
)
documents = st.dictionaries(texts, values, max_size=6)

_NUMBERS = [
    "-0", "0.0", "2.0", "2.00", "2.5", "1e2", "1E-2", "15e-1", "0e9", "1e400", "-1e999", "9007199254740991",
    "9007199254740992", "12345678901234567890", "9007199254740993.0", "2.00000000000000000000001",
    "1.9999999999999999999", "123456789.99999999999", "999999999.00000001", "0.00000000000000000000001", "1e-400",
    "0.1234567890123456789", "20260304", "1234567890", "NaN", "-Infinity", "01", "1.", ".5", "-", "1e", "+1", "0x1",
    "1" * 320, "0." + "0" * 330 + "1",
]  # fmt: skip
_STRINGS = [
    '"a"', '"b"', '"\\u0061"', '""',
    '"\\ud800"', '"\\ud83d\\ude00"', '"\\udc00"', '"\\n"', '"]"', '"["', '"}{"', '"\\"]"',
    '"\\\\"', '"1.0"', '", 1e5,"', '"😀"', '"a\tb"', '"\\x"', '"urn:uuid:5f0c9f0e-8f5e-4b5c-9a55-0d9a3f1c7e21"',
]  # fmt: skip
_SPACES = ["", "", "", " ", "\n", "\r\n", "\t", " \n "]


def spelled(value: Any, rng: random.Random) -> str:
    """A JSON text of `value` with random white space and escapes."""
    if isinstance(value, dict):
        members = (f"{_spelled_text(n, rng)}{_space(rng)}:{spelled(v, rng)}" for n, v in value.items())
        return f"{_space(rng)}{{{_space(rng)}{','.join(f'{_space(rng)}{m}' for m in members)}}}{_space(rng)}"
    if isinstance(value, list):
        return f"{_space(rng)}[{','.join(spelled(entry, rng) for entry in value)}{_space(rng)}]"
    if isinstance(value, str):
        return _space(rng) + _spelled_text(value, rng) + _space(rng)
    return _space(rng) + json.dumps(value) + _space(rng)


def _space(rng: random.Random) -> str:
    return rng.choice(_SPACES)


def _spelled_text(text: str, rng: random.Random) -> str:
    return json.dumps(text, ensure_ascii=rng.random() < 0.5)


spelled_values = st.builds(
    lambda value, seed: (value, spelled(value, random.Random(seed))), values, st.integers(0, 9999)
)
"""Values without lone surrogates (st.text has none), each with a text that spells it."""

_pieces = st.sampled_from([*_NUMBERS, *_STRINGS, "true", "false", "null", "nul", "[]", "{}"])
_members = st.tuples(st.sampled_from(_STRINGS), _pieces).map(lambda pair: f"{pair[0]}:{pair[1]}")
loose_texts = st.recursive(
    _pieces,
    lambda children: st.one_of(
        st.lists(children, max_size=5).map(lambda parts: f"[{','.join(parts)}]"),
        st.lists(st.one_of(_members, st.tuples(st.sampled_from(_STRINGS), children).map(":".join)), max_size=5).map(
            lambda parts: f"{{{', '.join(parts)}}}"
        ),
    ),
    max_leaves=20,
)
"""Texts that are JSON at first sight, with anything in the places of numbers and strings."""

_tokens = st.sampled_from([*"[]{},:", *"[]{},:", *_NUMBERS[:12], *_STRINGS, " ", "\n", "true", "\ufeff", "/*", "é"])
token_soup = st.lists(_tokens, max_size=40).map("".join)


def changed(data: bytes, rng: random.Random) -> bytes:
    """`data` with a few bytes dropped, replaced, inserted or repeated."""
    body = bytearray(data)
    for _ in range(rng.randint(1, 3)):
        at = rng.randint(0, len(body))
        width = rng.randint(0, 3)
        insert = rng.choice(
            [b"", b"\xff", b"\0", b'"', b"\\", b",", b"0", b".", b"e", b"]", b"}", bytes([rng.randrange(256)])]
        )
        body[at : at + width] = rng.choice([insert, bytes(body[at : at + 8])])
    return bytes(body)


def reading(data: bytes) -> tuple[bool, Any]:
    """Whether `data` is to be accepted, and its value, told by Python's json module."""
    try:
        value = json.loads(
            data.decode("utf-8"),
            object_pairs_hook=_members_once,
            parse_constant=_refuse,
            parse_float=_finite,
            parse_int=_safe,
        )
    except (ValueError, RecursionError):
        return False, None
    return _is_within_limits(value), value


def _members_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) < len(pairs):
        raise ValueError("duplicate")
    return members


def _refuse(text: str) -> None:
    raise ValueError(text)


def _finite(text: str) -> float | int:
    number = float(text)
    if number in (float("inf"), float("-inf")):
        raise ValueError(text)
    return int(number) if number == int(number) and abs(number) <= MAX_SAFE_INTEGER else number


def _safe(text: str) -> int:
    if len(text) > 17 or abs(int(text)) > MAX_SAFE_INTEGER:
        raise ValueError(text)
    return int(text)


def _is_within_limits(value: Any, depth: int = 0) -> bool:
    if isinstance(value, str):
        return not any("\ud800" <= character <= "\udfff" for character in value)
    if isinstance(value, dict):
        return depth < MAX_DEPTH and all(
            _is_within_limits(part, depth + 1) for member in value.items() for part in member
        )
    if isinstance(value, list):
        return depth < MAX_DEPTH and all(_is_within_limits(entry, depth + 1) for entry in value)
    return True


def typed(value: Any) -> Any:
    """The value with the type of every scalar beside it, so that 2, 2.0 and True differ."""
    if isinstance(value, dict):
        return {name: typed(member) for name, member in value.items()}
    if isinstance(value, list):
        return [typed(entry) for entry in value]
    return type(value).__name__, value
