"""The bytes of a CGATS file as numbered lines: digest, encoding and line ends settled before anything is read.

The source is looked at twice, once for digest and encoding, once for its lines; only the line at hand is kept.
Lines end with LF, CR LF or CR, also mixed in one file.
"""

import hashlib
import io
import tempfile
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE, IncrementalDecoder, getincrementaldecoder
from collections.abc import Iterator
from contextlib import ExitStack
from typing import BinaryIO, Final, Self

from shadefmt.converters.base import SourceInfo
from shadefmt.errors import Refused
from shadefmt.vocabulary import TableEncoding

MAX_BYTES: Final = 1024 * 1024 * 1024
"""Largest CGATS source, in bytes."""

MAX_LINE: Final = 200_000
"""Longest line, in characters."""

_BLOCK: Final = 1 << 18
_CODECS: Final = {"utf-8": "utf-8", "windows-1252": "cp1252", "iso-8859-1": "iso-8859-1"}
_MARKS: Final[tuple[tuple[bytes, TableEncoding], ...]] = (
    (BOM_UTF8, "utf-8"),
    (BOM_UTF16_LE, "utf-16"),
    (BOM_UTF16_BE, "utf-16"),
)

Line = tuple[int, str]
"""Number of a line, from 1, and its text without line end."""


class Source:
    """A CGATS file: `info` (digest, size), `encoding`, and whether that was `assumed`. Use it in a `with` statement.

    Without a stated encoding it is that of the byte order mark, else UTF-8 where the whole file fits it, else
    windows-1252. `unended` tells, once all lines are read, that the last one has no line end. A file that is
    given stays open.

    Raises:
        Refused: an empty or too large source, or one whose byte order mark contradicts the stated encoding.
    """

    def __init__(self, source: BinaryIO | bytes, encoding: TableEncoding | None = None) -> None:
        self._closing = ExitStack()
        self._file = self._rewindable(source)
        self._start = self._file.tell()
        self.unended = False
        with self._closing.pop_all() as closing:  # closes the copy of a source that turns out to be none
            self.info, fits_utf8, head = _looked_at(self._file)
            marked = next((name for mark, name in _MARKS if head.startswith(mark)), None)
            _demand_mark(marked, encoding)
            self._closing = closing.pop_all()
        self.assumed = encoding is None and marked is None and not fits_utf8
        self.encoding: TableEncoding = encoding or marked or ("utf-8" if fits_utf8 else "windows-1252")
        self._marked = marked == "utf-8"

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._closing.close()

    def _rewindable(self, source: BinaryIO | bytes) -> BinaryIO:
        """The source as a file that can be read twice; what cannot be is copied to a temporary file."""
        if isinstance(source, bytes):
            return io.BytesIO(source)
        if source.seekable():
            return source
        copy = tempfile.TemporaryFile()  # noqa: SIM115 - closed with the source
        self._closing.callback(copy.close)
        size = 0
        while size <= MAX_BYTES and (block := source.read(_BLOCK)):
            size += copy.write(block)
        copy.seek(0)
        return copy

    def lines(self) -> Iterator[Line]:
        """Yield the lines of the file.

        Raises:
            Refused: a line that is too long, holds NUL, or does not fit the encoding; with its number.
        """
        wide = self.encoding == "utf-16"
        codec = "" if wide else _CODECS[self.encoding]
        self._file.seek(self._start)
        stream = io.TextIOWrapper(self._file, encoding="utf-16" if wide else "iso-8859-1", newline=None)
        self._closing.callback(stream.detach)
        number = 0
        while text := _next_line(stream, number + 1):
            number += 1
            self.unended = text[-1] != "\n"
            text = text.rstrip("\n")
            if codec and not text.isascii():
                text = self._decoded(text, number, codec)
            if "\0" in text:
                remedy = "The file is damaged, or no text"
                raise Refused("the line holds the character NUL", where=f"line {number}", remedy=remedy)
            yield number, text

    def _decoded(self, text: str, number: int, codec: str) -> str:
        """The line in the file's encoding; it was read one byte a character."""
        raw = text.encode("iso-8859-1")
        if number == 1 and self._marked:
            raw = raw.removeprefix(BOM_UTF8)
        try:
            return raw.decode(codec)
        except UnicodeDecodeError as error:
            raise Refused(
                f"the byte {raw[error.start]:#04x} does not fit the encoding {self.encoding}",
                where=f"line {number}",
                remedy="State the encoding of the file, or save it as utf-8",
            ) from None


def _next_line(stream: io.TextIOWrapper, number: int) -> str:
    try:
        text = stream.readline(MAX_LINE + 2)
    except UnicodeDecodeError:
        raise Refused(
            "bytes do not fit the encoding utf-16",
            where=f"line {number} or soon after",
            remedy="The file is cut off or damaged: save it as utf-8",
        ) from None
    if len(text) > MAX_LINE + 1:
        raise Refused(
            f"the line has more than {MAX_LINE} characters",
            where=f"line {number}",
            remedy="This is no CGATS text, or its line ends were lost",
        )
    return text


def _demand_mark(marked: TableEncoding | None, encoding: TableEncoding | None) -> None:
    if encoding is not None and marked is not None and marked != encoding:
        raise Refused(
            f"the file begins with the byte order mark of {marked}, not of {encoding}",
            where="line 1",
            remedy="Leave the encoding out, the mark says it",
        )
    if encoding == "utf-16" and marked is None:
        raise Refused("the file has no byte order mark", where="line 1", remedy="Save it as utf-8")


def _looked_at(file: BinaryIO) -> tuple[SourceInfo, bool, bytes]:
    """Digest and size of what is left of a file, whether all of it fits UTF-8, and its first bytes."""
    digest, size, fits, head = hashlib.sha256(), 0, True, b""
    decoder = getincrementaldecoder("utf-8")("strict")
    while block := file.read(_BLOCK):
        head = head or block[:4]
        digest.update(block)
        size += len(block)
        if size > MAX_BYTES:
            raise Refused(f"the file has more than {MAX_BYTES} bytes", remedy="Export fewer readings at a time")
        if fits:
            fits = _fits(decoder, block)
    if not size:
        raise Refused("the file is empty", where="line 1", remedy="Export it again")
    return SourceInfo("cgats", digest.hexdigest(), size), fits and _fits(decoder, b"", final=True), head


def _fits(decoder: IncrementalDecoder, block: bytes, *, final: bool = False) -> bool:
    try:
        decoder.decode(block, final)
    except UnicodeDecodeError:
        return False
    return True
