"""Tables into cases and cases into tables, driven by a `table-mapping` document."""

from shadefmt.converters.base import ForeignFile, Notice
from shadefmt.converters.table.converter import TableResult, read_table
from shadefmt.converters.table.writing.writer import write_table

__all__ = ["ForeignFile", "Notice", "TableResult", "read_table", "write_table"]
