"""Many documents in one file: one a line, plain, gzip or zstd, read and written line by line."""

import gzip
import io
import sys
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, BinaryIO, Final, cast

from shadefmt.errors import CannotRead, Refused, WrongUse
from shadefmt.files import STANDARD
from shadefmt.limits import MAX_DOCUMENT_BYTES

GZIP_MAGIC: Final = b"\x1f\x8b"
ZSTD_MAGIC: Final = b"\x28\xb5\x2f\xfd"
PIECE: Final = 64 * 1024
"""Bytes of packed data that are unpacked at a time."""

LINE_NAMES: Final = (".ndjson", ".ndjson.gz", ".ndjson.zst")
"""Endings of files that hold one document a line."""


def holds_lines(path: str) -> bool:
    """Return whether a file holds one document a line, by its name."""
    return path.endswith(LINE_NAMES)


def document_lines(path: str) -> Iterator[tuple[int, bytes]]:
    """Yield line number and bytes of every document of a file, `-` for standard input; blank lines are passed over.

    A line longer than a document may be is yielded cut one byte beyond that, so that the checker says so.

    Raises:
        CannotRead: the file cannot be opened.
        Refused: the compressed data is damaged or cut off.
        WrongUse: the file is zstd and the package `zstandard` is not installed.
    """
    with _opened(path) as stream:
        number = 0
        try:
            while line := stream.readline(MAX_DOCUMENT_BYTES + 2):
                number += 1
                if len(line) > MAX_DOCUMENT_BYTES + 1 and not line.endswith(b"\n"):
                    _skip_line(stream)
                if line.strip():
                    yield number, line.rstrip(b"\r\n")
        except (EOFError, OSError, zlib.error) as failure:
            what = f"the compressed data is damaged or cut off ({failure})"
            raise Refused(what, where=f"{path}: after line {number}", remedy="Ask for the file again") from failure


@contextmanager
def packed(stream: BinaryIO, path: str) -> Iterator[IO[bytes]]:
    """Yield a stream that packs lines as the name of their file says; the same lines give the same bytes.

    Raises:
        WrongUse: the name says zstd and the package `zstandard` is not installed.
    """
    if path.endswith(".gz"):
        with gzip.GzipFile(filename="", mode="wb", fileobj=stream, mtime=0) as packing:
            yield cast(IO[bytes], packing)
    elif path.endswith(".zst"):
        with _zstandard(path).ZstdCompressor().stream_writer(stream, closefd=False) as packing:
            yield packing
    else:
        yield stream


def _zstandard(path: str) -> Any:
    try:
        import zstandard
    except ImportError as failure:
        raise WrongUse(f"{path} is zstd. Install it with: python -m pip install 'shadefmt[zstd]'") from failure
    return zstandard


def _skip_line(stream: IO[bytes]) -> None:
    while (piece := stream.readline(MAX_DOCUMENT_BYTES)) and not piece.endswith(b"\n"):
        pass


@contextmanager
def _opened(path: str) -> Iterator[IO[bytes]]:
    if path == STANDARD and sys.stdin is None:
        raise CannotRead("standard input is closed. Name a file")
    try:
        stream = sys.stdin.buffer if path == STANDARD else Path(path).open("rb")  # noqa: SIM115 - closed below
    except OSError as failure:
        reason = (failure.strerror or str(failure)).lower()
        raise CannotRead(f"{path}: {reason}. Check the name and the permissions") from failure
    with stream:
        magic = stream.peek(4)[:4] if isinstance(stream, io.BufferedReader) else b""
        if magic.startswith(GZIP_MAGIC):
            yield cast(IO[bytes], gzip.GzipFile(fileobj=stream))
        elif magic == ZSTD_MAGIC:
            yield cast(IO[bytes], io.BufferedReader(_Zstd(stream, path)))
        else:
            yield stream


class _Zstd(io.RawIOBase):
    """Unpacks zstd frames as they are read, and knows when the last one was cut off."""

    def __init__(self, packed: IO[bytes], path: str) -> None:
        zstandard = _zstandard(path)
        self._packed = packed
        self._unpacker = zstandard.ZstdDecompressor(max_window_size=2**27)
        self._damaged = zstandard.ZstdError
        self._frame = self._unpacker.decompressobj()
        self._ready = b""
        self._begun = False

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        while not self._ready:
            if self._frame.eof:
                rest, self._frame = self._frame.unused_data, self._unpacker.decompressobj()
                self._begun = bool(rest)
            else:
                rest = b""
            piece = rest or self._packed.read(PIECE)
            if not piece:
                if self._begun:
                    raise EOFError("the last frame is not complete")
                return 0
            self._begun = True
            try:
                self._ready = self._frame.decompress(piece)
            except self._damaged as failure:
                raise EOFError(str(failure)) from failure
            if self._frame.eof and not self._frame.unused_data:
                self._begun = False
        size = min(len(buffer), len(self._ready))
        buffer[:size], self._ready = self._ready[:size], self._ready[size:]
        return size
