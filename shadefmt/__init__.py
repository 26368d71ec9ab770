"""shadefmt: an open record for tooth colour, with the tools that make it trustworthy.

The names below are the public face; they are loaded when they are first used. Everything else may change with
any release.
"""

from importlib import import_module
from typing import Any, Final

_HOMES: Final = {
    "load": "shadefmt.documents",
    "loads": "shadefmt.documents",
    "dump": "shadefmt.documents",
    "dumps": "shadefmt.documents",
    "as_model": "shadefmt.documents",
    "digest": "shadefmt.jsontext",
    "check": "shadefmt.checking",
    "derive": "shadefmt.deriving",
    "Request": "shadefmt.deriving",
    "add_revision": "shadefmt.amending",
    "read_cxf": "shadefmt.converters.cxf",
    "read_table": "shadefmt.converters.table",
    "schema_of": "shadefmt.model.schema",
    "ShadefmtError": "shadefmt.errors",
    "Refused": "shadefmt.errors",
    "WrongUse": "shadefmt.errors",
}

__all__ = [*_HOMES, "colour"]  # noqa: PLE0604 - names of strings, listed once


def __getattr__(name: str) -> Any:
    """Load a public name (PEP 562)."""
    if name == "colour":
        return import_module("shadefmt.colour")
    if name not in _HOMES:
        raise AttributeError(f"module 'shadefmt' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
