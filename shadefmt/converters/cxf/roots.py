"""What kind of file is this? Looks at the first element only, and says what a broken file suffers from."""

from collections.abc import Iterator
from typing import TypedDict

from lxml import etree

from shadefmt.converters.cxf.names import NAMESPACE, split
from shadefmt.errors import Refused

SNIFF_BYTES = 1024 * 1024
"""The root element has to begin within this many bytes."""

_STEP_BYTES = 1024
_NOTHING_FOUND = 1  # codes of libxml2, xmlParserErrors
_NO_START_TAG = 4
_CONTENT_AFTER_END = 5
_TAGS_CROSSED = 76
_LIMITS = frozenset({110, 114})


class ParserOptions(TypedDict):
    """Settings that keep a hostile file harmless: no entities, no network, no DTD, the limits of libxml2."""

    resolve_entities: bool
    no_network: bool
    load_dtd: bool
    huge_tree: bool
    remove_comments: bool
    remove_pis: bool


PARSER_OPTIONS = ParserOptions(
    resolve_entities=False,
    no_network=True,
    load_dtd=False,
    huge_tree=False,
    remove_comments=True,  # else the text of an element ends at its first comment
    remove_pis=True,
)


def check_root(chunks: Iterator[bytes]) -> tuple[list[bytes], str]:
    """Return the chunks consumed and the tag of the root once it is known to be CxF3.

    Raises:
        Refused: a document type, another root, or none within `SNIFF_BYTES`.
        lxml.etree.XMLSyntaxError: not well-formed so far.
    """
    parser = etree.XMLPullParser(events=("start",), **PARSER_OPTIONS)
    head: list[bytes] = []
    size = 0
    for chunk in chunks:
        head.append(chunk)
        size += len(chunk)
        for start in range(0, len(chunk), _STEP_BYTES):
            try:
                parser.feed(chunk[start : start + _STEP_BYTES])
            finally:  # a wrong root says more than a fault further on
                root = _first(parser)
            if root is not None:
                return head, root.tag
        if size > SNIFF_BYTES:
            raise Refused(f"no element begins within the first {SNIFF_BYTES} bytes", where="line 1")
    parser.close()
    raise Refused("no element is there")  # pragma: no cover - close() has raised


def syntax_refusal(error: etree.XMLSyntaxError, size: int, *, at_end: bool) -> Refused:
    """Return what a syntax error of the parser means to the owner of the file."""
    line, column = error.position
    code = getattr(error, "code", _NOTHING_FOUND)
    where = f"line {line}, column {column}" if line else ""
    said = (error.msg or "").partition(", line ")[0].strip()
    if size == 0:
        return Refused("the file is empty", remedy="Export it again")
    if code in _LIMITS:
        return Refused(
            f"an element is too large or too deep ({said})",
            where=where,
            remedy="Export without pictures and profiles",
        )
    if code == _NOTHING_FOUND:
        return Refused("the XML names an entity that it does not declare", where=where)
    if code == _NO_START_TAG:
        return Refused(f"this is not XML ({said})", where=where, remedy="Give the CxF3 file itself, unpacked")
    if at_end and code not in (_CONTENT_AFTER_END, _TAGS_CROSSED):
        return Refused(f"the file is cut off ({said})", where=where, remedy="Copy or export it again; nothing was read")
    return Refused(f"this is not well-formed XML ({said})", where=where, remedy="Export it again")


def _first(parser: etree.XMLPullParser) -> etree._Element | None:
    for _, root in parser.read_events():
        if isinstance(root, etree._Element):
            _check(root)
            return root
    return None


def _check(root: etree._Element) -> None:
    if root.getroottree().docinfo.internalDTD is not None:
        raise Refused(
            "the file has a document type declaration (DOCTYPE), which a CxF file never needs",
            where="before the first element",
            remedy="Remove the declaration if the file comes from a source that you trust",
        )
    namespace, local = split(root.tag)
    if namespace == NAMESPACE and local.casefold() == "cxf":
        return
    raise Refused(
        f"this is {_seems(root)}, not CxF3",
        where=f"line {root.sourceline}",
        remedy=f"Export as CxF3 (namespace {NAMESPACE})",
    )


def _seems(root: etree._Element) -> str:
    namespace, local = split(root.tag)
    shown = f"the root element is {local[:80]}" + (f" in the namespace {namespace[:120]}" if namespace else "")
    if local == "CXF":
        return f"CxF of the first generation ({shown})"
    if local == "IESTM2714":
        return f"spectral data by IES TM-27 ({shown})"
    if namespace == NAMESPACE:
        return f"something else of CxF3's namespace ({shown})"
    if local.casefold() == "cxf":
        kind = "CxF2 or another CxF" if namespace else "CxF of an unstated generation"
        return f"{kind} ({shown})"
    return f"another kind of XML ({shown})"
