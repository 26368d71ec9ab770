"""Tables into cases and cases into tables, driven by a `table-mapping` document."""

from shadefmt.converters.table.converter import TableResult, read_table
from shadefmt.converters.table.notices import Notice
from shadefmt.converters.table.writing.writer import TableFile, write_table

__all__ = ["Notice", "TableFile", "TableResult", "read_table", "write_table"]
