"""Bounds on untrusted input. Meeting one is a finding that makes the outcome incomplete or invalid, never a pass."""

MAX_DOCUMENT_BYTES = 64 * 1024 * 1024
"""Largest single document, in bytes."""

MAX_DECIMALS = 10
"""Most decimals that a block of numbers can state."""

MAX_NUMBER = 1e6
"""Largest magnitude of a number that a case holds."""

MAX_DEPTH = 64
"""Deepest nesting of arrays and objects (specification, section on syntax)."""

MAX_ID_CHARACTERS = 80
"""Longest id of an entry."""

MAX_SAFE_INTEGER = 2**53 - 1
"""Largest magnitude of a JSON integer that every implementation keeps exactly (RFC 8259, section 6)."""

MAX_XML_BYTES = 1024 * 1024 * 1024
"""Largest CxF3 source, in bytes."""

MAX_TABLE_LINE_CHARACTERS = 1024 * 1024
"""Longest logical row of a delimited table, in characters."""

MAX_BUNDLE_ENTRIES = 10_000
"""Most files in one bundle."""

MAX_BUNDLE_BYTES = 4 * 1024 * 1024 * 1024
"""Largest bundle when unpacked, and largest file in one, in bytes."""

MAX_SPREADSHEET_BYTES = 512 * 1024 * 1024
"""Largest spreadsheet, packed, and unpacked again, in bytes."""

MAX_SHEET_CELLS = 4_000_000
"""Most cells of a sheet, empty ones between others included."""

MAX_SHEET_CHARACTERS = 256 * 1024 * 1024
"""Most characters of all cells of a sheet; a text that many cells share counts for each of them."""

MAX_TABLE_COLUMNS = 16_384
"""Most columns of a table that is written; spreadsheets have no more."""
