"""Rows of one case that lie apart in a table, brought together on disk so that memory does not follow the table."""

import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from itertools import islice
from typing import Final

from shadefmt.converters.table.fields import Cells
from shadefmt.converters.table.source import Row

_BATCH: Final = 1000
_TABLES: Final = """
CREATE TABLE cases (key TEXT PRIMARY KEY, place INTEGER) WITHOUT ROWID;
CREATE TABLE kept (place INTEGER, line INTEGER, cells TEXT);
"""


def gathered(rows: Iterator[Row], case_key: Callable[[Cells], tuple[str, ...]]) -> Iterator[Row]:
    """Yield rows case by case: cases in the order of their first rows, the rows of each in their own order.

    They wait in a private database of the standard library, which lies in a temporary file and is deleted with it.
    """
    with closing(sqlite3.connect("", isolation_level=None)) as disk:
        disk.executescript(_TABLES)
        disk.execute("BEGIN")
        while batch := list(islice(rows, _BATCH)):
            keyed = [(json.dumps(case_key(row)), line, json.dumps(row)) for line, row in batch]
            disk.executemany("INSERT OR IGNORE INTO cases VALUES (?, ?)", (each[:2] for each in keyed))
            disk.executemany("INSERT INTO kept SELECT place, ?2, ?3 FROM cases WHERE key = ?1", keyed)
        for line, cells in disk.execute("SELECT line, cells FROM kept ORDER BY place, line"):
            yield line, json.loads(cells)
