"""The public writer: the readings of cases as one CxF3 file, with the account of what it cannot carry."""

import hashlib
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any, Final

from shadefmt.collecting import collector_paused
from shadefmt.converters.base import Account, ForeignFile, SourceInfo, loss_report
from shadefmt.converters.cxf.names import NAMESPACE
from shadefmt.converters.cxf.own import prefix_of
from shadefmt.converters.cxf.writing.carrying import CaseObjects
from shadefmt.converters.cxf.writing.describing import Specifications
from shadefmt.converters.cxf.writing.restoring import KEYED, file_lines
from shadefmt.converters.cxf.writing.xmltext import PREFIX, attribute
from shadefmt.converters.demanding import demand_case
from shadefmt.converters.leaving import Leaving, Reason
from shadefmt.errors import Refused
from shadefmt.jsontext import canonical

Value = dict[str, Any]

_NO_PLACE: Final = Reason("no-place-in-cxf", "CxF3 has no place for it")
_PIECE: Final = 512
"""Lines that are put out at a time."""


def write_cxf(case: Value, *, full: bool = False) -> ForeignFile:
    """Write the readings of a case as CxF3 (ISO 17972-1): an object each, with tags for what has no other place.

    `read_cxf` with `own_tags=True` reads back what the loss report does not list. The same case gives the same bytes.

    Args:
        case: a case as a document value.
        full: list every loss instead of the first few of each kind.

    Raises:
        WrongUse: not a case, or not one that fits the format.
        Refused: the case has no reading with numbers that counts.
    """
    file = CxfFile([case], full=full)
    data = b"".join(file)
    return ForeignFile(data, file.loss())


class CxfFile:
    """The readings of many cases as one file, in pieces; once all are taken its loss report.

    One case is held at a time; beside it the specifications, each of which is there once. The digest of the
    source is that of the cases in canonical form (RFC 8785), with a line feed after each where there are several.

    Args:
        cases: cases as document values, taken while the pieces are.
        full: list every loss instead of the first few of each kind.
    """

    def __init__(self, cases: Iterable[Value], *, full: bool = False) -> None:
        self._cases = cases
        self._account = Account(full)
        self._specifications = Specifications()
        self._digest = hashlib.sha256()
        self._size = 0
        self._documents = 0
        self._readings = 0

    def __iter__(self) -> Iterator[bytes]:
        """Yield the bytes of the file, once.

        Raises:
            WrongUse: something is not a case, or does not fit the format.
            Refused: no case has a reading with numbers that counts.
        """
        for case in self._cases:
            with collector_paused():
                yield from self._case(case)
        if not self._readings:
            raise Refused(
                "no case has a reading with a spectrum or a colour that counts",
                where="/readings",
                remedy="CxF3 holds measured numbers and nothing else",
            )
        collection = f"{PREFIX}:ColorSpecificationCollection"
        yield _bytes([f"  </{PREFIX}:ObjectCollection>", f"  <{collection}>", *self._specifications.lines()])
        yield _bytes([f"  </{collection}>", f" </{PREFIX}:Resources>", f"</{PREFIX}:CxF>"])

    def loss(self) -> Value:
        """Return the loss report of what was written."""
        source = SourceInfo("case", self._digest.hexdigest(), self._size)
        return loss_report(
            source, self._account, target_format="cxf3", documents=self._documents, readings=self._readings
        )

    def _case(self, case: Value) -> Iterator[bytes]:
        demand_case(case, "CxF3")
        self._source(canonical(case))
        self._documents += 1
        leaving = Leaving(case, self._account, KEYED)
        for name in ("format", "version", "kind"):
            leaving.restated((name,), "CxF", "the file says what it is in the words of CxF3")
        leaving.wrote(("id",), "Object/TagCollection/Tag")
        prefix = prefix_of(self._documents)
        if self._documents == 1:
            yield _bytes([*_HEAD[:2], *file_lines(case, leaving), *_HEAD[2:]])
        objects = CaseObjects(case, leaving, self._specifications, prefix)
        for lines in _batched(objects.lines(), _PIECE):
            yield _bytes(lines)
        self._readings += objects.written
        leaving.leave_rest(_NO_PLACE)

    def _source(self, data: bytes) -> None:
        """Take the canonical form of a case into the digest; the line feed of the first comes with the second."""
        pieces = (data,) if self._documents == 0 else (b"\n" * (self._documents == 1), data, b"\n")
        for piece in pieces:
            self._digest.update(piece)
            self._size += len(piece)


def _bytes(lines: Iterable[str]) -> bytes:
    return ("\n".join(lines) + "\n").encode("utf-8")


def _batched(lines: Iterable[str], most: int) -> Iterator[list[str]]:
    """Yield lines in lists of so many."""
    taken = iter(lines)
    while piece := list(islice(taken, most)):
        yield piece


_HEAD: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>',
    f"<{PREFIX}:CxF{attribute(f'xmlns:{PREFIX}', NAMESPACE)}>",
    f" <{PREFIX}:Resources>",
    f"  <{PREFIX}:ObjectCollection>",
)
