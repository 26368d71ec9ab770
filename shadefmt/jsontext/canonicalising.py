"""The canonical form of a value (RFC 8785, JSON Canonicalization Scheme) and the digest of documents."""

import hashlib
import json
from typing import Any

import rfc8785

from shadefmt.errors import WrongUse
from shadefmt.jsontext.spelling import may_differ

_SORTED = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def canonical(value: Any) -> bytes:
    """`value` as RFC 8785 writes it: members sorted by UTF-16 code units, ECMAScript numbers, UTF-8.

    `value` is made of dict (names must be str; they are not looked at one by one), list, tuple, str, int, float, bool
    and None. Raises WrongUse for other types, NaN, infinities, integers beyond 2^53-1, lone surrogates, and nesting
    beyond what Python can follow. Depth and repetition are otherwise the caller's concern: `decode` has bounded both.
    """
    try:
        text = _SORTED.encode(value)
        data = text.encode("utf-8")
        if may_differ(data) or not _sorts_by_code_point(text):
            return rfc8785.dumps(value)
    except RecursionError as error:
        raise WrongUse("no canonical form: nested too deeply") from error
    except (TypeError, ValueError) as error:
        raise WrongUse(f"no canonical form (RFC 8785): {error}") from error
    return data


def digest(value: Any) -> str:
    """SHA-256 of the canonical form, in 64 lower-case hexadecimal digits."""
    return hashlib.sha256(canonical(value)).hexdigest()


def _sorts_by_code_point(text: str) -> bool:
    """Whether no name can sort otherwise by UTF-16 code units: true where no character needs two of them."""
    return text.isascii() or len(text.encode("utf-16-le")) == 2 * len(text)
