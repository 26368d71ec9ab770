"""A document as the bytes of its file form, and its digest; by the standard library and the rfc8785 package."""

import hashlib
import json
from typing import Any

import rfc8785

Value = dict[str, Any]


def shortest(item: Any) -> Any:
    """The same value with whole floats as integers."""
    if isinstance(item, dict):
        return {name: shortest(each) for name, each in item.items()}
    if isinstance(item, list):
        return [shortest(each) for each in item]
    return int(item) if isinstance(item, float) and item.is_integer() else item


def file_bytes(document: Value) -> bytes:
    """Members on lines of their own, entries of root lists too, everything deeper inline."""
    lines = []
    for name, item in shortest(document).items():
        if isinstance(item, list) and isinstance(item[0], dict):
            entries = ",\n".join(f"    {_inline(entry)}" for entry in item)
            lines.append(f"  {_inline(name)}: [\n{entries}\n  ]")
        else:
            lines.append(f"  {_inline(name)}: {_inline(item)}")
    return ("{\n" + ",\n".join(lines) + "\n}\n").encode()


def digest_of(document: Value) -> str:
    """SHA-256 of the canonical form (RFC 8785)."""
    return hashlib.sha256(rfc8785.dumps(shortest(document))).hexdigest()


def _inline(item: Any) -> str:
    return json.dumps(item, ensure_ascii=False, separators=(", ", ": "))
