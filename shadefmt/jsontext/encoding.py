"""Bytes to characters: JSON that is exchanged is UTF-8 without a byte order mark (RFC 8259, section 8.1)."""

import codecs
from dataclasses import dataclass

from shadefmt.jsontext import faults

_MARKS = (  # the longer first: the UTF-32LE mark begins like the UTF-16LE one
    (codecs.BOM_UTF32_LE, "UTF-32LE"),
    (codecs.BOM_UTF32_BE, "UTF-32BE"),
    (codecs.BOM_UTF16_LE, "UTF-16LE"),
    (codecs.BOM_UTF16_BE, "UTF-16BE"),
)

_BY_ZERO_BYTES = {
    (True, True, True, False): "UTF-32BE",
    (False, True, True, True): "UTF-32LE",
    (True, False, True, False): "UTF-16BE",
    (False, True, False, True): "UTF-16LE",
    (True, False): "UTF-16BE",  # data of two bytes: three would as well be UTF-8 with a NUL
    (False, True): "UTF-16LE",
}


@dataclass(frozen=True, slots=True)
class Text:
    """The characters of some data.

    `characters` is all of it, or what stands before the first fault of encoding. `skipped` is the length in
    bytes of the mark before it. `fault` is the code of a fault of encoding at its end, with `params`, or
    None.
    """

    characters: str
    skipped: int = 0
    fault: str | None = None
    params: dict[str, faults.Param] | None = None


def text_of(data: bytes) -> Text:
    """Decode UTF-8; where that fails say which encoding it seems to be and at which byte."""
    detected = _detected(data)
    if detected:
        return _not_utf8("", 0, detected, 0)
    skipped = len(codecs.BOM_UTF8) if data.startswith(codecs.BOM_UTF8) else 0
    body = data[skipped:] if skipped else data
    try:
        return Text(body.decode("utf-8"), skipped)
    except UnicodeDecodeError as error:
        before = body[: error.start].decode("utf-8")
        if error.end == len(body) and error.reason == "unexpected end of data":
            return Text(before, skipped, faults.TEXT_UNFINISHED, {"open": "character"})
        return _not_utf8(before, skipped, "unknown", skipped + error.start)


def _not_utf8(before: str, skipped: int, detected: str, offset: int) -> Text:
    return Text(before, skipped, faults.ENCODING_NOT_UTF8, {"detected": detected, "byte_offset": offset})


def _detected(data: bytes) -> str | None:
    """UTF-16 or UTF-32 by its mark, or by where the zero bytes of leading ASCII characters are."""
    for mark, name in _MARKS:
        if data.startswith(mark):
            return name
    return _BY_ZERO_BYTES.get(tuple(byte == 0 for byte in data[:4]))
