"""JSON Pointer (RFC 6901): building, taking apart, following."""

import re
from collections.abc import Iterable
from typing import Any

from shadefmt.errors import WrongUse

_INDEX = re.compile(r"0|[1-9][0-9]*")
_MAX_INDEX_DIGITS = 18


def pointer_of(parts: Iterable[str | int]) -> str:
    """The pointer to what these steps lead to: member names and array indices (RFC 6901, section 3)."""
    return "".join(f"/{str(part).replace('~', '~0').replace('/', '~1')}" for part in parts)


def parts_of(pointer: str) -> list[str]:
    """The steps of a pointer, unescaped; array indices stay strings, since only the value tells what they
    are.

    Raises WrongUse where the text is no pointer: it does not begin with "/", or holds a "~" without 0 or 1
    behind it.
    """
    if pointer == "":
        return []
    if not pointer.startswith("/") or re.search(r"~(?![01])", pointer):
        raise WrongUse(f"not a JSON Pointer (RFC 6901): {pointer!r}")
    return [step.replace("~1", "/").replace("~0", "~") for step in pointer[1:].split("/")]


def resolve(value: Any, pointer: str) -> Any:
    """The value at `pointer` inside `value` (RFC 6901, section 4).

    Raises KeyError where there is no such member or entry, WrongUse where `pointer` is no pointer.
    """
    for step in parts_of(pointer):
        if isinstance(value, dict) and step in value:
            value = value[step]
        elif isinstance(value, list) and _is_index(step) and int(step) < len(value):
            value = value[int(step)]
        else:
            raise KeyError(pointer)
    return value


def _is_index(step: str) -> bool:
    return len(step) <= _MAX_INDEX_DIGITS and _INDEX.fullmatch(step) is not None
