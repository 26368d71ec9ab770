"""Whether bytes seem to be CGATS text, by the words that begin its parts; first lines and file names say nothing."""

import re
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from typing import Final

LOOKED_AT: Final = 1 << 18
"""Bytes that are looked at: a header with its keywords is shorter."""

_BEGINS: Final = re.compile(rb'(?:^|[\r\n])[ \t"]*BEGIN_DATA(?:_FORMAT)?(?![A-Z0-9_])', re.IGNORECASE)


def seems_cgats(data: bytes) -> bool:
    """Return whether bytes, or the beginning of a file, hold a line that begins the names or rows of a table."""
    head = data[:LOOKED_AT]
    if head.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        head = head[2:].replace(b"\0", b"")
    return _BEGINS.search(head) is not None
