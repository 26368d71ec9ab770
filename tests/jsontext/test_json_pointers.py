"""JSON Pointers, by the examples of RFC 6901, section 5, and by going back and forth."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from json_strategies import many

from shadefmt.errors import WrongUse
from shadefmt.jsontext.pointers import parts_of, pointer_of, resolve

# RFC 6901, section 5: the document and the pointers into it
_DOCUMENT: dict[str, Any] = {
    "foo": ["bar", "baz"],
    "": 0,
    "a/b": 1,
    "c%d": 2,
    "e^f": 3,
    "g|h": 4,
    "i\\j": 5,
    'k"l': 6,
    " ": 7,
    "m~n": 8,
}
_EXAMPLES = [
    ("", _DOCUMENT),
    ("/foo", ["bar", "baz"]),
    ("/foo/0", "bar"),
    ("/", 0),
    ("/a~1b", 1),
    ("/c%d", 2),
    ("/e^f", 3),
    ("/g|h", 4),
    ("/i\\j", 5),
    ('/k"l', 6),
    ("/ ", 7),
    ("/m~0n", 8),
]


@pytest.mark.parametrize(("pointer", "value"), _EXAMPLES)
def test_examples_of_the_standard(pointer: str, value: Any) -> None:
    assert resolve(_DOCUMENT, pointer) == value
    assert pointer_of(parts_of(pointer)) == pointer


def test_the_order_of_unescaping_is_that_of_section_4() -> None:
    assert parts_of("/~01") == ["~1"]
    assert pointer_of(["~1", "/~"]) == "/~01/~1~0"


@pytest.mark.parametrize("pointer", ["foo", "foo/0", "/a~", "/~2", "/a~b", "#/foo", " "])
def test_what_is_no_pointer_is_wrong_use(pointer: str) -> None:
    with pytest.raises(WrongUse):
        parts_of(pointer)
    with pytest.raises(WrongUse):
        resolve(_DOCUMENT, pointer)


@pytest.mark.parametrize(
    "pointer", ["/foo/2", "/foo/-", "/foo/01", "/foo/-1", "/foo/+1", "/foo/١", "/foo/", "/foo/0/0", "/x", "/foo/1e0"]
)
def test_what_is_not_there_is_a_key_error(pointer: str) -> None:
    with pytest.raises(KeyError):
        resolve(_DOCUMENT, pointer)
    with pytest.raises(KeyError):
        resolve(_DOCUMENT, f"/foo/{'9' * 5000}")


@many(100)
@given(st.lists(st.one_of(st.text(), st.text("~/01"), st.integers(0, 10**20)), max_size=6))
def test_parts_come_back(parts: list[str | int]) -> None:
    assert parts_of(pointer_of(parts)) == [str(part) for part in parts]
