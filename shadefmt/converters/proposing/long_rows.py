"""Tables whose rows hold one number each: recognised, and unfolded so that they are looked at like others."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from shadefmt.converters.proposing.headers import heading
from shadefmt.converters.proposing.region import is_number
from shadefmt.converters.proposing.words import NAMES, VALUES, plain
from shadefmt.converters.table.fields import Cells
from shadefmt.converters.table.header import Header
from shadefmt.converters.table.reshaping import LongTable
from shadefmt.converters.table.source import Row
from shadefmt.model.table_mapping import LongRows

_LEAST_NAMES: Final = 3


@dataclass(frozen=True)
class Wide:
    """Headers and rows; `spent` are the columns that names and values were taken from."""

    headers: Sequence[str]
    rows: Sequence[Cells]
    spent: Sequence[int] = ()


def unfolded(headers: Sequence[str], rows: Sequence[Row]) -> tuple[Wide, dict[str, Any]]:
    """Return the table with one row a reading, and `long_rows` of the mapping where it has not (empty otherwise)."""
    cells = [row for _, row in rows]
    name = _name_column(headers, cells)
    value = None if name is None else _value_column(headers, cells, name)
    if name is None or value is None:
        return Wide(headers, cells), {}
    by = {
        "name_column": _choice(headers, name),
        "value_column": _choice(headers, value),
        "headers": list(dict.fromkeys(row[name].strip() for row in cells)),
    }
    table = LongTable(LongRows.model_validate(by), Header(headers, len(headers), 1))
    made = [row for _, row in table.rows((line, [*row]) for line, row in rows)]
    return Wide(table.wide.names or (), made, (name, value)), by


def _choice(headers: Sequence[str], index: int) -> dict[str, Any]:
    named = headers[index] and list(headers).count(headers[index]) == 1
    return {"column": headers[index]} if named else {"column_number": index + 1}


def _name_column(headers: Sequence[str], rows: Sequence[Cells]) -> int | None:
    """The column that names coordinates or wavelengths, the same few again and again."""
    for index, header in enumerate(headers):
        texts = list(dict.fromkeys(row[index].strip() for row in rows))
        if not _LEAST_NAMES <= len(texts) <= max(_LEAST_NAMES, len(rows)) or "" in texts:
            continue
        found = [heading(text) for text in texts]
        if {"lab.L", "lab.a", "lab.b"} <= {each.coordinate for each in found}:
            return index
        waves = all(each.wavelength for each in found)
        if waves and (NAMES | {"nm"}).intersection(plain(header)) and len(texts) > _LEAST_NAMES:
            return index
    return None


def _value_column(headers: Sequence[str], rows: Sequence[Cells], name: int) -> int | None:
    numeric = [
        index for index in range(len(headers)) if index != name and all(is_number(row[index]) for row in rows[:200])
    ]
    said = [index for index in numeric if VALUES.intersection(plain(headers[index]))]
    fractional = [index for index in numeric if any(mark in row[index] for mark in ".," for row in rows)]
    chosen = said or fractional
    return chosen[0] if len(chosen) == 1 else None
