"""Hostile or broken XML in, completed pieces of a CxF3 file out, in memory that does not grow with the file.

lxml's feed parser (the machine beneath `iterparse`) builds the tree chunk by chunk. Between chunks every
completed element is handed over and removed; what is unknown is counted and removed as well. Elements still
open, always the last child of their parent, stay.
"""

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain
from typing import BinaryIO

from lxml import etree

from shadefmt.converters.base import SourceInfo
from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.names import Attributes, Elements, shown
from shadefmt.converters.cxf.roots import PARSER_OPTIONS, check_root, syntax_refusal
from shadefmt.errors import Refused, WrongUse
from shadefmt.limits import MAX_DOCUMENT_BYTES, MAX_XML_BYTES

CHUNK_BYTES = 32 * 1024

Handler = Callable[[etree._Element], None]


@dataclass(frozen=True)
class Container:
    """An element that only holds others: its path and attributes, and what its children are.

    A child is another container, or a piece with its handler. `known` is False where everything is dropped.
    """

    attributes: Attributes
    children: Elements["Container | Handler"]
    reason: str = ""
    known: bool = True


def container(path: str, children: "Mapping[str, Container | Handler] | None" = None, *, drop: str = "") -> Container:
    """Return a container; `drop` is the reason why all that it holds is left out."""
    return Container(Attributes(path, ()), Elements(children or {}), drop, not drop)


@dataclass
class Stream:
    """Reads one source once, and then knows its digest and size."""

    ledger: Ledger
    _digest: "hashlib._Hash" = field(default_factory=hashlib.sha256)
    _size: int = 0
    _pieces: int = 0
    _at_end: bool = False

    def info(self) -> SourceInfo:
        """Return digest and size of what was read."""
        return SourceInfo("cxf3", self._digest.hexdigest(), self._size)

    def read(self, source: BinaryIO, top: Container) -> None:
        """Feed the source to the parser and every piece to its handler.

        Raises:
            Refused: not XML, not CxF3, with a document type, cut off, malformed, too large or too deep.
        """
        try:
            self._read(self._chunks(source), top)
        except etree.XMLSyntaxError as error:
            raise syntax_refusal(error, self._size, at_end=self._at_end) from None

    def _read(self, chunks: Iterator[bytes], top: Container) -> None:
        head, tag = check_root(chunks)
        parser = etree.XMLPullParser(events=("start",), tag=tag, **PARSER_OPTIONS)
        root: etree._Element | None = None
        mark, pieces = self._size, 0
        for chunk in chain(head, chunks):
            parser.feed(chunk)
            for _, element in parser.read_events():
                if root is None and isinstance(element, etree._Element):
                    root = element
            if root is not None:
                self._sweep(root, top, whole=False)
                self.ledger.flush()
            if self._pieces != pieces:
                mark, pieces = self._size, self._pieces
            elif self._size - mark > MAX_DOCUMENT_BYTES:
                raise Refused(f"one element is larger than {MAX_DOCUMENT_BYTES} bytes", where=f"byte {mark}")
        root = parser.close()
        self._sweep(root, top, whole=True)
        self._close(root, top)

    def _chunks(self, source: BinaryIO) -> Iterator[bytes]:
        while chunk := source.read(CHUNK_BYTES):
            if not isinstance(chunk, bytes):
                raise WrongUse("a CxF3 source is read as bytes: open the file in binary mode")
            self._digest.update(chunk)
            self._size += len(chunk)
            if self._size > MAX_XML_BYTES:
                raise Refused(f"the file is larger than {MAX_XML_BYTES} bytes", remedy="Split the export")
            yield chunk
        self._at_end = True

    def _sweep(self, parent: etree._Element, place: Container, *, whole: bool) -> None:
        """Hand over and remove the completed children; the last may still be open unless the parent is whole."""
        done = list(parent)
        if not whole and done:
            done.pop()
        for child in done:
            self._finish(child, place)
        if done:
            self._pieces += len(done)
            del parent[: len(done)]
        if not whole and len(parent):
            inner = self._place_of(parent[0], place)
            if isinstance(inner, Container):
                self._sweep(parent[0], inner, whole=False)

    def _finish(self, child: etree._Element, place: Container) -> None:
        inner = self._place_of(child, place)
        if isinstance(inner, Container):
            self._sweep(child, inner, whole=True)
            self._close(child, inner)
        else:
            inner(child)
        tail = child.tail
        if place.known and tail and not tail.isspace():
            self.ledger.stray(tail, place.attributes.path, f"line {child.sourceline}")

    def _place_of(self, child: etree._Element, place: Container) -> Container | Handler:
        known = place.children.exact.get(child.tag)
        if known is not None:
            return known
        respelled = place.children.respelled(child.tag)
        if respelled is not None:
            return respelled[1]
        path = f"{place.attributes.path}/{shown(child.tag)}"
        return container(path, drop=place.reason or "CxF3 has no such element here")

    def _close(self, element: etree._Element, place: Container) -> None:
        """Account for a container itself, once all it held is done."""
        where = f"line {element.sourceline}"
        path = place.attributes.path
        if place.known:
            self.ledger.seen.append((path,))
            self.ledger.attributes(element, place.attributes, where, self.ledger.seen)
            self.ledger.stray(element.text, path, where)
            local = path.rpartition("/")[2]
            if shown(element.tag) != local:
                self.ledger.respelling(element.tag, local, where)
        else:
            self.ledger.drop_shell(element, path, "not-carried", place.reason, where)
