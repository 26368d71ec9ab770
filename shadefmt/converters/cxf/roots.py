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

    No tree is built before that: lxml 6.1 hands out elements of declared entities that it frees itself, so a
    document type has to be refused before anything in it is parsed.

    Raises:
        Refused: a document type, another root, or none within `SNIFF_BYTES`.
        lxml.etree.XMLSyntaxError: not well-formed so far.
    """
    first = _FirstElement()
    parser = etree.XMLParser(target=first, **PARSER_OPTIONS)  # type: ignore[arg-type]  # any object will do
    head: list[bytes] = []
    size = 0
    for chunk in chunks:
        head.append(chunk)
        size += len(chunk)
        for start in range(0, len(chunk), _STEP_BYTES):
            try:
                parser.feed(chunk[start : start + _STEP_BYTES])
            finally:  # a document type or a wrong root says more than a fault further on
                first.check()
            if first.tag:
                return head, first.tag
        if size > SNIFF_BYTES:
            raise Refused(f"no element begins within the first {SNIFF_BYTES} bytes", where="line 1")
    try:
        parser.close()
    finally:
        first.check()
    raise Refused("no element is there")  # pragma: no cover - close() has raised


class _FirstElement:
    """Target of the parser: remembers the first thing that decides."""

    def __init__(self) -> None:
        self.tag = ""
        self._doctype = False

    def doctype(self, _name: str, _public: str | None, _system: str | None) -> None:
        """Stop at the declaration, before what it declares."""
        self._doctype = True
        raise _Stop

    def start(self, tag: str, _attributes: object) -> None:
        """Take the root."""
        self.tag = self.tag or tag

    def close(self) -> None:
        """Part of the interface."""

    def check(self) -> None:
        """Refuse what was met if it is a document type or the root of something else."""
        if self._doctype:
            raise Refused(
                "the file has a document type declaration (DOCTYPE), which a CxF file never needs",
                where="before the first element",
                remedy="Remove the declaration if the file comes from a source that you trust",
            )
        if self.tag:
            _check(self.tag)


class _Stop(Exception):
    """Ends the parsing of a file that is refused anyway."""


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


def _check(tag: str) -> None:
    namespace, local = split(tag)
    if namespace == NAMESPACE and local.casefold() == "cxf":
        return
    raise Refused(
        f"this is {_seems(namespace, local)}, not CxF3",
        where="first element",
        remedy=f"Export as CxF3 (namespace {NAMESPACE})",
    )


def _seems(namespace: str, local: str) -> str:
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
