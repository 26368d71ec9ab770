"""Two readers of CGATS text that share nothing with ours: Little CMS (a C library), and the csv module.

Little CMS comes inside the wheel of Pillow, which scikit-image installs, or from the system; it reads and writes
CGATS.17 and IT8 files for colour management. It knows no doubled quotes.
"""

import csv
import ctypes
import ctypes.util
import io
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any

Value = dict[str, Any]


def library() -> ctypes.CDLL | None:
    """Return Little CMS, None where this system has none."""
    spec = find_spec("PIL")
    folder = Path(spec.origin).parent.parent / "pillow.libs" if spec is not None and spec.origin else None
    bundled = sorted(map(str, folder.glob("liblcms2*"))) if folder is not None and folder.is_dir() else []
    name = bundled[0] if bundled else ctypes.util.find_library("lcms2")
    if name is None:
        return None
    found = ctypes.CDLL(name)
    for function in ("cmsIT8LoadFromMem", "cmsIT8Alloc"):
        getattr(found, function).restype = ctypes.c_void_p
    for function in ("GetProperty", "GetPropertyMulti", "GetDataRowCol", "GetSheetType"):
        getattr(found, f"cmsIT8{function}").restype = ctypes.c_char_p
    return found


class LittleCms:
    """Files of CGATS text, read and written by Little CMS."""

    def __init__(self, found: ctypes.CDLL) -> None:
        self._library = found

    def _call(self, name: str, handle: int, *arguments: Any) -> Any:
        return getattr(self._library, f"cmsIT8{name}")(ctypes.c_void_p(handle), *arguments)

    def read(self, data: bytes) -> list[Value]:
        """Return keyword lookups, field names and rows of each table."""
        handle = self._library.cmsIT8LoadFromMem(None, data, ctypes.c_uint32(len(data)))
        assert handle, "Little CMS does not read this file"
        tables = []
        for number in range(self._call("TableCount", handle)):
            self._call("SetTable", handle, ctypes.c_uint32(number))
            pointer = ctypes.POINTER(ctypes.c_char_p)()
            count = self._call("EnumDataFormat", handle, ctypes.byref(pointer))
            names = [pointer[place].decode() for place in range(count)]
            sets = int(self._property(handle, "NUMBER_OF_SETS") or 0)
            rows = [[self._cell(handle, row, column) for column in range(count)] for row in range(sets)]
            keywords = {
                name: self._property(handle, name)
                for name in ("SAMPLE_BACKING", "MEASUREMENT_GEOMETRY", "ORIGINATOR", "APERTURE", "CASE_ID")
            }
            keywords |= {
                name: self._property(handle, "WEIGHTING_FUNCTION", name) for name in ("ILLUMINANT", "OBSERVER")
            }
            tables.append({"names": names, "rows": rows, "keywords": keywords})
        self._call("Free", handle)
        return tables

    def _property(self, handle: int, *keys: str) -> str | None:
        name = "GetPropertyMulti" if len(keys) > 1 else "GetProperty"
        found: bytes | None = self._call(name, handle, *[key.encode() for key in keys])
        return found.decode() if found is not None else None

    def _cell(self, handle: int, row: int, column: int) -> str:
        found: bytes = self._call("GetDataRowCol", handle, row, column)
        return found.decode()

    def write(self, names: list[str], rows: list[list[str]], texts: dict[str, str], pairs: dict[str, str]) -> bytes:
        """Return a file with one table, keywords, and parameters of the weighting function."""
        handle = self._library.cmsIT8Alloc(None)
        self._call("SetSheetType", handle, b"CGATS.17")
        for key, text in texts.items():
            self._call("SetPropertyStr", handle, key.encode(), text.encode())
        for key, text in pairs.items():
            self._call("SetPropertyMulti", handle, b"WEIGHTING_FUNCTION", key.encode(), text.encode())
        for key, count in (("NUMBER_OF_FIELDS", len(names)), ("NUMBER_OF_SETS", len(rows))):
            self._call("SetPropertyDbl", handle, key.encode(), ctypes.c_double(count))
        for place, name in enumerate(names):
            self._call("SetDataFormat", handle, place, name.encode())
        for number, row in enumerate(rows):
            for place, cell in enumerate(row):
                self._call("SetDataRowCol", handle, number, place, cell.encode())
        size = ctypes.c_uint32(0)
        assert self._call("SaveToMem", handle, None, ctypes.byref(size))
        buffer = ctypes.create_string_buffer(size.value)
        assert self._call("SaveToMem", handle, buffer, ctypes.byref(size))
        self._call("Free", handle)
        return buffer.raw[: size.value].rstrip(b"\0")


def by_csv(data: bytes) -> Iterator[Value]:
    """Yield header, field names and rows of each table, cut at tabs by the csv module."""
    header: dict[str, list[str]] = {}
    names: list[str] = []
    rows: list[list[str]] | None = None
    state = ""
    for cells in csv.reader(io.StringIO(data.decode("utf-8"), newline=""), delimiter="\t"):
        word = cells[0] if cells else ""
        if word in ("BEGIN_DATA_FORMAT", "BEGIN_DATA"):
            state = word
            rows = [] if word == "BEGIN_DATA" else rows
        elif word == "END_DATA":
            yield {"header": header, "names": names, "rows": rows}
            header, names, state = {}, [], ""
        elif word == "END_DATA_FORMAT":
            state = ""
        elif state == "BEGIN_DATA_FORMAT":
            names += cells
        elif state and rows is not None:
            rows.append(cells)
        elif cells:
            header.setdefault(word, []).append("\t".join(cells[1:]))
