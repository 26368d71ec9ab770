"""What a foreign file is, by its first bytes and never by its name."""

import io
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from typing import Final, Literal

_SIGNATURES: Final[tuple[tuple[bytes, str], ...]] = (
    (b"PK\x03\x04", "a ZIP archive, but no XLSX or ODS spreadsheet: unpack it, or save the sheet as XLSX or CSV"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old spreadsheet or text document: save the sheet as CSV"),
    (b"%PDF-", "a PDF: ask for the numbers as CSV, CxF3 or CGATS text"),
    (b"\x1f\x8b", "compressed with gzip: unpack it first"),
    (b"\x28\xb5\x2f\xfd", "compressed with Zstandard: unpack it first"),
    (b"\x89PNG", "a PNG picture: colours are not read from pictures"),
    (b"\xff\xd8\xff", "a JPEG picture: colours are not read from pictures"),
    (b"{", "JSON: if it is a shadefmt document it needs no conversion"),
)
"""What files of no use here begin with, and what they are."""

_FIRST_PARTS: Final = 1 << 16
"""Where the names of a cut archive are looked for."""


def seems_xml(data: bytes) -> bool:
    """Return whether bytes begin like XML: an angle bracket, after a byte order mark and white space."""
    start = data[:200]
    if start.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        start = start[2:].replace(b"\0", b"")
    return start.removeprefix(BOM_UTF8).lstrip().startswith(b"<")


def seems_spreadsheet(data: bytes) -> Literal["xlsx", "ods"] | None:
    """Return which spreadsheet a ZIP archive is, by its parts; None for anything else, or where it is cut off."""
    if not data.startswith(b"PK\x03\x04"):
        return None
    if data[30:90].startswith(b"mimetypeapplication/vnd.oasis.opendocument.spreadsheet"):
        return "ods"
    import zipfile  # slow to import; the command line loads this module on every start

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = set(archive.namelist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        names = set()
    if "xl/workbook.xml" in names or (not names and b"xl/" in data[:_FIRST_PARTS]):
        return "xlsx"
    return "ods" if {"content.xml", "mimetype"} <= names else None


def seems_foreign(data: bytes) -> str | None:
    """Return what a file seems to be that no converter reads, with what to do; None where it may be a table."""
    start = data.removeprefix(BOM_UTF8).lstrip()[:8]
    if not start:
        return "empty: ask for the file again"
    return next((what for signature, what in _SIGNATURES if start.startswith(signature)), None)
