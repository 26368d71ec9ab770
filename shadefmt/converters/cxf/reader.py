"""The public reader: a CxF3 file into a case, or those it was written of; loss report, and what one should know."""

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from itertools import chain
from typing import Any, BinaryIO

from lxml import etree

from shadefmt.collecting import collector_paused
from shadefmt.converters.base import Account, Notice, case_id, loss_report
from shadefmt.converters.cxf import own
from shadefmt.converters.cxf.building import Builder
from shadefmt.converters.cxf.flatten import Flattener, named
from shadefmt.converters.cxf.ledger import EXTENSION, Ledger
from shadefmt.converters.cxf.objects import ObjectReader
from shadefmt.converters.cxf.options import Options
from shadefmt.converters.cxf.parts import ObjectRecord
from shadefmt.converters.cxf.specifications import Specification, SpecificationReader
from shadefmt.converters.cxf.stream import Container, Stream, container
from shadefmt.converters.cxf.targets import TARGETS
from shadefmt.errors import Refused, WrongUse
from shadefmt.versions import FIRST_VERSION, FORMAT_NAME
from shadefmt.vocabulary import InstrumentKind, SpecimenKind

_FILE = Flattener(
    named(["CreationDate", "Description", "Comment", "Tag", "Creator"]),
    ("Name", "Value"),
    {"Creator": ("creator", "may name a person, and a case names none")},
)

_TEXTS = frozenset({"object_name", "comment", "tags", "Description", "Comment"})
"""Members of the extension that may hold anybody's words."""


@dataclass(frozen=True)
class CxfResult:
    """`cases` and `loss` as document values, and `notices`: what a person should know that is not a loss.

    There is one case, unless the file was written by `CxfFile` from several and read with `own_tags`.
    """

    cases: list[dict[str, Any]]
    loss: dict[str, Any]
    notices: list[Notice]

    @property
    def case(self) -> dict[str, Any]:
        """The one case.

        Raises:
            WrongUse: there are several.
        """
        if len(self.cases) > 1:
            raise WrongUse(f"the file was written from {len(self.cases)} cases: take `cases`")
        return self.cases[0]


def read_cxf(
    source: BinaryIO | bytes,
    *,
    full: bool = False,
    percent: bool = False,
    decimal_comma: bool = False,
    tags: Mapping[str, str] | None = None,
    notation: str | None = None,
    specimen_kind: SpecimenKind = "material-disc",
    instrument_kind: InstrumentKind | None = None,
    own_tags: bool = False,
) -> CxfResult:
    """Read a CxF3 file into one case with all its readings; one of our own into the cases that it was written from.

    The same bytes and arguments give the same result: ids follow from the digest of the source and from
    position. No date, revision or privacy statement is made up.

    Args:
        source: the file, or its bytes; a file is read once, from where it stands, in bounded memory.
        full: list every loss instead of the first few of each kind.
        percent: the spectra are in percent; they are divided by 100 and gain two decimals.
        decimal_comma: numbers are written with a decimal comma.
        tags: which tag of an object says what: member (`specimen`, `tooth`, `zone` and the others of
            `options.TAG_MEMBERS`) to name of the tag. Its value has to be a word of the vocabulary.
        notation: notation of the teeth that a tag names; only `iso-3950`.
        specimen_kind: kind of specimens whose kind no tag states; accounted for as assumed.
        instrument_kind: kind of the instruments; else it follows from the type of measurement, as assumed.
        own_tags: the file was written by `write_cxf`: every object is the reading that its tags say.

    Raises:
        Refused: what is no whole CxF3 file, or has numbers that cannot be trusted; with place and remedy.
        WrongUse: an argument that makes no sense.
    """
    options = Options(percent, decimal_comma, tags or {}, notation, specimen_kind, instrument_kind, own_tags)
    with collector_paused():
        return _result(BytesIO(source) if isinstance(source, bytes) else source, options, full)


def _result(source: BinaryIO, options: Options, full: bool) -> CxfResult:
    ledger = Ledger(Account(full), TARGETS)
    reading = _Reading(ledger, options)
    stream = Stream(ledger)
    stream.read(source, reading.top())
    made = reading.link()
    info = stream.info()
    notices = ledger.close()
    parts = [["case"], *(["case", str(number)] for number in range(2, len(made) + 1))]
    cases = [_case(case_id(info.sha256, *name), each) for name, each in zip(parts, made, strict=True)]
    readings = sum(len(each.builder.readings) for each in made)
    account = loss_report(info, ledger.account, target_format="case", documents=len(cases), readings=readings)
    return CxfResult(cases, account, notices)


@dataclass
class _Made:
    """What becomes one case: its entries, the specifications that they name, and what the file says of itself."""

    builder: Builder
    used: set[str] = field(default_factory=set)
    specifications: list[Specification] = field(default_factory=list)
    file: dict[str, str] = field(default_factory=dict)


class _Reading:
    """Takes the pieces of one file as they come; links them once all are there."""

    def __init__(self, ledger: Ledger, options: Options) -> None:
        self._ledger = ledger
        self._options = options
        self._objects = ObjectReader(ledger, options)
        self._specifications = SpecificationReader(ledger, options.decimal_comma)
        self._records: deque[ObjectRecord] = deque()
        self.by_id: dict[str, Specification] = {}
        self.file: dict[str, str] = {}

    def top(self) -> Container:
        """Return the root of CxF3 with the handlers of its pieces."""
        resources = "CxF/Resources"
        profiles = "colour profiles of devices have no place in a case"
        children = {
            "ObjectCollection": container(f"{resources}/ObjectCollection", {"Object": self._object}),
            "ColorSpecificationCollection": container(
                f"{resources}/ColorSpecificationCollection", {"ColorSpecification": self._specification}
            ),
            "ProfileCollection": container(f"{resources}/ProfileCollection", drop=profiles),
        }
        return container(
            "CxF",
            {
                "FileInformation": self._file_information,
                "Resources": container(resources, children),
                "CustomResources": container("CxF/CustomResources", drop="data of another format"),
            },
        )

    def _object(self, element: etree._Element) -> None:
        self._records.append(self._objects.read(element))

    def _specification(self, element: etree._Element) -> None:
        made = self._specifications.read(element)
        known = self.by_id.setdefault(made.id, made)
        if known is made:
            return
        if known.fields != made.fields or known.measurement != made.measurement:
            raise Refused(
                f"two different ColorSpecifications have the Id {made.id[:60]!r}",
                where=made.where,
                remedy="Export the file again: it cannot be told which of them a measurement means",
            )
        message = "a ColorSpecification is there twice, with the same content"
        self._ledger.notice("specification-repeated", made.where, message, "Nothing to do")

    def _file_information(self, element: etree._Element) -> None:
        texts = _FILE.flatten(element, "CxF/FileInformation", self._ledger, f"line {element.sourceline}")
        self._ledger.aside.append(tuple(texts.paths))
        self.file |= texts.fields

    def link(self) -> list[_Made]:
        """Return what is made of all records, by case.

        Raises:
            Refused: nothing measured is there, or it refers to nothing.
        """
        made: dict[str, _Made] = {}
        none_at_all = not self._records
        while self._records:
            record = self._records.popleft()
            prefix = own.taken_prefix(record.attributes) if self._options.own_tags else ""
            found = made.get(prefix)
            if found is None:
                found = made[prefix] = _Made(Builder(self._ledger, self._options, self.by_id))
            found.used.update(part.specification for part in record.spectra)
            found.used.update(part.specification for part in record.colours)
            found.builder.add(record)
            if len(self._records) % 1000 == 0:
                self._ledger.flush()
        for each in made.values():
            each.builder.finish()
        if not any(each.builder.readings for each in made.values()):
            what = "no Object" if none_at_all else "no spectrum and no colour that a case has members for"
            remedy = "See whether the export was meant to hold measurements; a spectrum has two values or more"
            raise Refused(f"the file holds {what}", where="CxF/Resources/ObjectCollection", remedy=remedy)
        self._look_at_texts(made.values())
        return self._shared_out(list(made.values()))

    def _shared_out(self, everything: list[_Made]) -> list[_Made]:
        """Give each case its specifications; the first what belongs to none: others, objects, texts of the file."""
        made = [each for each in everything if each.builder.readings]
        first, others = made[0], made[1:]
        for each in everything:
            if not each.builder.readings:
                first.builder.kept_objects += each.builder.kept_objects
        first.file = self.file
        named = set[str]().union(*(each.used for each in others))
        for found in self.by_id.values():
            if found.id in first.used or found.id not in named:
                first.specifications.append(found)
            for other in others:
                if found.id in other.used:
                    other.specifications.append(found)
        return made

    def _look_at_texts(self, made: Iterable[_Made]) -> None:
        kept = chain.from_iterable((*each.builder.kept.values(), *each.builder.kept_objects) for each in made)
        entries = [*kept, self.file]
        if any(not _TEXTS.isdisjoint(each) for each in entries):
            self._ledger.notice(
                "texts-kept",
                f"extension {EXTENSION}",
                "names, comments and tags of the file were kept as written",
                "look whether they name a person before the case is handed on",
            )


def _case(identity: str, made: _Made) -> dict[str, Any]:
    builder = made.builder
    specifications = [{"id": each.id, "texts": each.fields} for each in made.specifications if each.fields]
    kept = {
        "case_id": builder.own.case_id if builder.own else "",
        "file": made.file,
        "specifications": specifications,
        "readings": builder.kept,
        "objects": builder.kept_objects,
    }
    kept = {name: value for name, value in kept.items() if value}
    return {
        "format": FORMAT_NAME,
        "version": FIRST_VERSION,
        "kind": "case",
        "id": identity,
        **{name: entries for name, entries in builder.lists().items() if entries},
        **({"extensions": {EXTENSION: kept}} if kept else {}),
    }
