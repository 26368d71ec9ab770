"""Delimited tables into cases, driven by a `table-mapping` document."""

from shadefmt.converters.table.converter import TableResult, read_table
from shadefmt.converters.table.notices import Notice

__all__ = ["Notice", "TableResult", "read_table"]
