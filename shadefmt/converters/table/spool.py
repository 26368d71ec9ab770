"""A source that can be read twice, and its digest."""

import hashlib
import io
import shutil
import tempfile
from typing import BinaryIO, Final

from shadefmt.converters.base import SourceInfo

_BLOCK: Final = 1 << 16


class Borrowed(io.BufferedIOBase):
    """Reads from a file that belongs to somebody else and is left open whatever becomes of its readers."""

    name = "table"

    def __init__(self, file: BinaryIO) -> None:
        self._file = file

    def readable(self) -> bool:
        """Whether it can be read: always."""
        return True

    def read(self, size: int | None = -1, /) -> bytes:
        """Return up to so many bytes, none at the end."""
        return self._file.read(-1 if size is None else size)

    def read1(self, size: int = -1, /) -> bytes:
        """Return up to so many bytes, none at the end."""
        return self._file.read(size)


def rewindable(source: BinaryIO | bytes) -> BinaryIO:
    """Return the source as a file that can be rewound; what cannot be is copied to a temporary file."""
    if isinstance(source, bytes):
        return io.BytesIO(source)
    if source.seekable():
        return source
    copy = tempfile.TemporaryFile()  # noqa: SIM115 - lives as long as the rows that are read from it
    shutil.copyfileobj(source, copy, _BLOCK)
    copy.seek(0)
    return copy


def measured(file: BinaryIO) -> SourceInfo:
    """Return digest and size of what is left of a file, read in blocks."""
    digest, size = hashlib.sha256(), 0
    while block := file.read(_BLOCK):
        digest.update(block)
        size += len(block)
    return SourceInfo("table", digest.hexdigest(), size)
