"""Mappings and tables that the tests of the table reader start from. All values are invented."""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

import jsonschema

from shadefmt.converters.table import TableResult, read_table
from shadefmt.model.case import Case
from shadefmt.model.schema import schema_of

Value = dict[str, Any]

LAB = [
    {"column": "L*", "member": "reading.colour.lab.L"},
    {"column": "a*", "member": "reading.colour.lab.a"},
    {"column": "b*", "member": "reading.colour.lab.b"},
]
COLOUR = {"illuminant": "D65", "observer": "2-degree", "origin": "instrument"}
ZONE = {"column": "Zone", "member": "reading.zone"}
TOOTH = {"column": "Tooth", "member": "specimen.tooth"}
KIND = {"member": "specimen.kind", "value": "tooth"}

_CASE = jsonschema.Draft202012Validator(schema_of("case"))
_LOSS = jsonschema.Draft202012Validator(schema_of("loss-report"))


def mapping(*columns: Value, **members: Any) -> Value:
    """Return a mapping of `Tooth;Zone;L*;a*;b*` and more columns; members given as None are left out."""
    made = {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "table-mapping",
        "id": "urn:uuid:0b9f7f3e-0a0d-4a6c-9d2c-2b1f6f1c8e55",
        "title": "of a test",
        "dialect": {"encoding": "utf-8", "delimiter": "semicolon", "quote": "double", "decimal_mark": "comma"},
        "layout": {"header_line": 1},
        "tooth_notation": "iso-3950",
        "constants": [KIND],
        "colours": [COLOUR],
        "columns": [TOOTH, ZONE, *LAB, *columns],
    }
    made |= members
    return {name: value for name, value in made.items() if value is not None}


def table(*rows: str, header: str = "Tooth;Zone;L*;a*;b*") -> bytes:
    """Return lines as a file."""
    return "".join(f"{line}\n" for line in (header, *rows)).encode()


def read(data: bytes, by: Value, *, full: bool = False) -> tuple[list[Value], Value, TableResult]:
    """Return cases, loss report and result; all are held against their schemas, cases against the models too."""
    result = read_table(data, by, full=full)
    cases = list(result.cases)
    for case in cases:
        Case.model_validate(case)
        _CASE.validate(case)
        assert list(case) == [name for name in Case.model_fields if name in case]
    loss = result.loss()
    _LOSS.validate(loss)
    return cases, loss, result


def one(data: bytes, by: Value) -> Value:
    """Return the only case of a table."""
    cases, _, _ = read(data, by)
    assert len(cases) == 1
    return cases[0]


def readings(data: bytes, by: Value) -> list[Value]:
    """Return the readings of the only case of a table."""
    found: list[Value] = one(data, by)["readings"]
    return found


def item(loss: Value, path: str, fate: str | None = None) -> Value:
    """Return the only item of a loss report at a path."""
    found = [each for each in loss["items"] if each["path"] == path and fate in (None, each["fate"])]
    assert len(found) == 1, loss["items"]
    return found[0]


def written(rows: Iterable[Sequence[str]], *, encoding: str = "utf-8", **dialect: Any) -> bytes:
    """Return rows as the csv module of the standard library writes them."""
    text = io.StringIO(newline="")
    csv.writer(text, **dialect).writerows(rows)
    return text.getvalue().encode(encoding)
