"""A source that can be read twice, and its digest."""

import hashlib
import io
import shutil
import tempfile
from typing import BinaryIO, Final

from shadefmt.converters.base import SourceInfo

_BLOCK: Final = 1 << 18


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
