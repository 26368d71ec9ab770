"""What a foreign file is, by its first bytes and never by its name."""

from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE


def seems_xml(data: bytes) -> bool:
    """Return whether bytes begin like XML: an angle bracket, after a byte order mark and white space."""
    start = data[:200]
    if start.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        start = start[2:].replace(b"\0", b"")
    return start.removeprefix(BOM_UTF8).lstrip().startswith(b"<")
