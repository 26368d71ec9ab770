"""Values to JSON text: the file form for people and version control, the line form for many in one file."""

import json
from collections.abc import Callable, Sequence
from typing import Any

from shadefmt.errors import WrongUse
from shadefmt.jsontext.spelling import may_differ, respelled
from shadefmt.limits import MAX_DEPTH

_TOO_DEEP = f"nested deeper than {MAX_DEPTH} arrays and objects"

Encode = Callable[[Any], str]

_SPACED: Encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(", ", ": ")).encode
_COMPACT: Encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode


def file_form(value: dict[str, Any], member_order: Sequence[str] | None = None) -> bytes:
    """A document as a file holds it: UTF-8, LF, a line feed at the end.

    Each root member has a line of its own, and so has each entry of a root list that holds objects;
    everything deeper is inline. Numbers are shortest (`2`, not `2.0`), nothing is escaped that JSON does not
    require. Members stay in the order in which `value` has them; with `member_order` the root members it
    names come first, in that order. What `decode` makes of the result equals `value`. Raises WrongUse for
    what JSON cannot hold or `decode` would refuse: other types, NaN, infinities, integers beyond 2^53-1, lone
    surrogates, names that are no strings, nesting beyond the limit.
    """
    names = dict.fromkeys([*(name for name in member_order or () if name in value), *value])
    return _bytes(value, lambda: _file_lines([(name, value[name]) for name in names]))


def line_form(value: Any) -> bytes:
    """A document as one compact line of NDJSON with its line feed; otherwise as the file form."""
    return _bytes(value, lambda: f"{_COMPACT(value)}\n")


def _file_lines(members: list[tuple[str, Any]]) -> str:
    if not members:
        return "{}\n"
    lines = (f"  {_SPACED(name)}: {_root_value(value)}" for name, value in members)
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _root_value(value: Any) -> str:
    if isinstance(value, list | tuple) and any(isinstance(entry, dict) for entry in value):
        return "[\n" + ",\n".join(f"    {_SPACED(entry)}" for entry in value) + "\n  ]"
    return _SPACED(value)


def _bytes(value: Any, write: Callable[[], str]) -> bytes:
    """What `write` makes of `value`, in UTF-8 with shortest numbers; what cannot be written is wrong use."""
    try:
        text = write()  # first: it notices a value that holds itself
        data = text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise WrongUse(f"a lone surrogate cannot be written: {error.object[error.start : error.end]!r}") from error
    except RecursionError as error:
        raise WrongUse(_TOO_DEEP) from error
    except (TypeError, ValueError) as error:
        raise WrongUse(f"not a JSON value: {error}") from error
    _require_writable(value)
    return respelled(text).encode("utf-8") if may_differ(data) else data


def _require_writable(value: Any) -> None:
    """Raise WrongUse for names that are no strings and for nesting beyond the limit."""
    level = [value]
    for _ in range(MAX_DEPTH):
        level = [child for container in level for child in _children(container)]
        if not level:
            return
    raise WrongUse(_TOO_DEEP)


def _children(container: Any) -> list[Any]:
    """The arrays and objects directly inside `container`; nothing where it is neither."""
    if isinstance(container, dict):
        if not all(isinstance(name, str) for name in container):
            raise WrongUse("a member name that is no string cannot be written")
        return [child for child in container.values() if isinstance(child, dict | list | tuple)]
    if isinstance(container, list | tuple):
        return [child for child in container if isinstance(child, dict | list | tuple)]
    return []
