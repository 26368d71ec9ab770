"""The encodings of tables: what a file's first bytes give away, and where a byte does not fit."""

import codecs
import re
from typing import BinaryIO, Final

from shadefmt.errors import Refused
from shadefmt.vocabulary import TableEncoding

CODECS: Final = {
    "utf-8": "utf-8-sig",
    "utf-16": "utf-16",
    "windows-1252": "cp1252",
    "iso-8859-1": "iso-8859-1",
}
"""Codec of the standard library for each encoding."""

_MARKS: Final = (
    (codecs.BOM_UTF32_LE, "utf-32"),  # before the one of UTF-16, which it begins with
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_BREAK: Final = re.compile("\r\n|\r|\n")
_BLOCK: Final = 1 << 16


def demand_mark(head: bytes, encoding: TableEncoding) -> None:
    """Refuse an empty file, and one whose byte order mark speaks against the stated encoding.

    UTF-16 without a mark is refused: its byte order would be a guess.
    """
    if not head:
        raise Refused("the file is empty", where="line 1")
    marked = next((name for mark, name in _MARKS if head.startswith(mark)), None)
    if marked is not None and marked != encoding:
        raise Refused(
            f"the file begins with the byte order mark of {marked}, the mapping states {encoding}",
            where="line 1",
            remedy="mend the encoding in the mapping" if marked != "utf-32" else "save the file as utf-8",
        )
    if marked is None and encoding == "utf-16":
        raise Refused(
            "the file has no byte order mark, so that the order of its bytes is not known",
            where="line 1",
            remedy="save it as utf-8, or as utf-16 with the mark",
        )


def misencoded(file: BinaryIO, encoding: TableEncoding, reason: str) -> Refused:
    """Return the refusal of a file, from its start on, in which a byte does not fit the encoding."""
    decoder = codecs.getincrementaldecoder(CODECS[encoding])("strict")
    line, offset, last = 1, 0, ""
    while True:
        state = decoder.getstate()
        block = file.read(_BLOCK)
        try:
            text = decoder.decode(block, final=not block)
        except UnicodeDecodeError as error:
            decoder.setstate(state)
            sound = error.start - len(state[0])
            text = decoder.decode(block[: max(0, sound)])
            return _unfit(encoding, line + _breaks(last, text), offset + sound, reason, cut=not block)
        if not block:  # the source was changed while it was read
            return Refused(f"the file is not {encoding} throughout")
        line += _breaks(last, text)
        last = text[-1:] or last
        offset += len(block)


def _breaks(last: str, text: str) -> int:
    """Number of line ends in `text`; a CR LF that `last` begins was counted with it."""
    return len(_BREAK.findall(text)) - (last == "\r" and text.startswith("\n"))


def _unfit(encoding: TableEncoding, line: int, offset: int, reason: str, *, cut: bool) -> Refused:
    return Refused(
        f"the byte at offset {offset} does not fit the encoding {encoding} ({reason})",
        where=f"line {line}",
        remedy="the file is cut off inside a character" if cut else "mend the encoding in the mapping",
    )
