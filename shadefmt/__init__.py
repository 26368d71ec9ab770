"""shadefmt: an open record for tooth colour, with the tools that make it trustworthy.

The names below are the public face; they are loaded when they are first used. Everything else may change with
any release.
"""

from importlib import import_module

TYPE_CHECKING = False  # type checkers take it for typing's; importing that costs more than this whole module
if TYPE_CHECKING:
    from typing import Any

    from shadefmt import colour as colour
    from shadefmt.amending import add_revision as add_revision
    from shadefmt.checking import check as check
    from shadefmt.converters.cgats import read_cgats as read_cgats
    from shadefmt.converters.cgats import write_cgats as write_cgats
    from shadefmt.converters.cxf import read_cxf as read_cxf
    from shadefmt.converters.cxf import write_cxf as write_cxf
    from shadefmt.converters.table import read_table as read_table
    from shadefmt.converters.table import write_table as write_table
    from shadefmt.deriving import Request as Request
    from shadefmt.deriving import derive as derive
    from shadefmt.documents import as_model as as_model
    from shadefmt.documents import dump as dump
    from shadefmt.documents import dumps as dumps
    from shadefmt.documents import load as load
    from shadefmt.documents import loads as loads
    from shadefmt.errors import Refused as Refused
    from shadefmt.errors import ShadefmtError as ShadefmtError
    from shadefmt.errors import WrongUse as WrongUse
    from shadefmt.intake import desk_of as desk_of
    from shadefmt.intake import receive as receive
    from shadefmt.jsontext import digest as digest
    from shadefmt.merging import merge as merge
    from shadefmt.migrating import migrate as migrate
    from shadefmt.model.schema import schema_of as schema_of

_HOMES = {
    "load": "shadefmt.documents",
    "loads": "shadefmt.documents",
    "dump": "shadefmt.documents",
    "dumps": "shadefmt.documents",
    "as_model": "shadefmt.documents",
    "digest": "shadefmt.jsontext",
    "check": "shadefmt.checking",
    "desk_of": "shadefmt.intake",
    "receive": "shadefmt.intake",
    "derive": "shadefmt.deriving",
    "Request": "shadefmt.deriving",
    "add_revision": "shadefmt.amending",
    "merge": "shadefmt.merging",
    "migrate": "shadefmt.migrating",
    "read_cxf": "shadefmt.converters.cxf",
    "write_cxf": "shadefmt.converters.cxf",
    "read_cgats": "shadefmt.converters.cgats",
    "write_cgats": "shadefmt.converters.cgats",
    "read_table": "shadefmt.converters.table",
    "write_table": "shadefmt.converters.table",
    "schema_of": "shadefmt.model.schema",
    "ShadefmtError": "shadefmt.errors",
    "Refused": "shadefmt.errors",
    "WrongUse": "shadefmt.errors",
}

__all__ = [*_HOMES, "colour"]  # noqa: PLE0604 - names of strings, listed once


def __getattr__(name: str) -> "Any":
    """Load a public name (PEP 562)."""
    if name == "colour":
        return import_module("shadefmt.colour")
    if name not in _HOMES:
        raise AttributeError(f"module 'shadefmt' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
