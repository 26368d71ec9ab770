"""The register of foreign formats: what each is called, what it can do, which options it takes. One entry a format.

Readers and writers are imported when they are used: the command line asks for names on every start.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, BinaryIO, Final, Literal

from shadefmt.converters.detecting import seems_foreign, seems_spreadsheet, seems_xml
from shadefmt.errors import WrongUse

Value = dict[str, Any]

LOOKED_AT: Final = 1 << 18
"""Bytes of a file that its format is told by."""


@dataclass(frozen=True)
class Stated:
    """What a user states about a file because the file cannot, and whether each loss is listed (`full`)."""

    full: bool = False
    percent: bool = False
    decimal_comma: bool = False
    tags: Mapping[str, str] = field(default_factory=dict)
    notation: Any = None
    own_fields: bool = False
    mapping: Value | None = None
    group: bool = False


@dataclass(frozen=True)
class Conversion:
    """Cases as they are read; once all are taken the loss report, and notices: what a person should know besides."""

    cases: Iterable[Value]
    loss: Callable[[], Value]
    notices: Iterable[Any]


@dataclass(frozen=True)
class Written:
    """A file in pieces; once all are taken its loss report. `back` is what to state so that it is read again."""

    data: Iterable[bytes]
    loss: Callable[[], Value]
    back: Stated = field(default_factory=Stated)


@dataclass(frozen=True)
class Format:
    """One foreign format.

    `seems` tells it by the first bytes of a file (up to `LOOKED_AT`) and what is stated about it; the first entry of
    the register that says yes is taken. `read` takes a file that can be read again from where it stands.
    `options` are the members of `Stated` that mean something to the reader, besides `full`. `media_type` is what a
    file of the format is called where it is attached to a case.
    """

    name: str
    title: str
    seems: Callable[[bytes, Stated], bool] = lambda head, stated: False
    read: Callable[[BinaryIO, Stated], Conversion] | None = None
    write: Callable[[Iterable[Value], Stated], Written] | None = None
    options: frozenset[str] = frozenset()
    media_type: str = "application/octet-stream"

    def strange_options(self, stated: Stated) -> list[str]:
        """Return what was stated that means nothing to the reader of this format."""
        usual = Stated()
        return [
            name
            for name in vars(usual)
            if name not in {"full", *self.options} and getattr(stated, name) != getattr(usual, name)
        ]


def _read_cxf(file: BinaryIO, stated: Stated) -> Conversion:
    from shadefmt.converters.cxf import read_cxf

    made = read_cxf(
        file,
        full=stated.full,
        percent=stated.percent,
        decimal_comma=stated.decimal_comma,
        tags=stated.tags,
        notation=stated.notation,
        own_tags=stated.own_fields,
    )
    return Conversion(made.cases, lambda: made.loss, made.notices)


def _write_cxf(cases: Iterable[Value], stated: Stated) -> Written:
    from shadefmt.converters.cxf import CxfFile

    made = CxfFile(cases, full=stated.full)
    return Written(made, made.loss, Stated(own_fields=True))


def _seems_cgats(head: bytes, stated: Stated) -> bool:
    from shadefmt.converters.cgats import seems_cgats

    return stated.mapping is None and seems_cgats(head)


def _read_cgats(file: BinaryIO, stated: Stated) -> Conversion:
    from shadefmt.converters.cgats import OWN_FIELDS, read_cgats

    made = read_cgats(
        file,
        full=stated.full,
        percent=stated.percent or None,
        decimal_comma=stated.decimal_comma,
        fields={**(OWN_FIELDS if stated.own_fields else {}), **stated.tags},
        notation="iso-3950" if stated.own_fields else stated.notation,
    )
    return Conversion([made.case], lambda: made.loss, made.notices)


def _write_cgats(cases: Iterable[Value], stated: Stated) -> Written:
    from shadefmt.converters.cgats import write_cgats

    made = write_cgats(the_only_case(cases, "CGATS text"), full=stated.full)
    return Written([made.data], lambda: made.loss, Stated(own_fields=True))


def _seems_table(head: bytes, stated: Stated) -> bool:
    return stated.mapping is not None and seems_foreign(head) is None


def _read_table(file: BinaryIO, stated: Stated) -> Conversion:
    from shadefmt.converters.table import read_table

    if stated.mapping is None:
        raise WrongUse("a table or spreadsheet needs --mapping FILE, which says what its columns are")
    made = read_table(file, stated.mapping, full=stated.full, group=stated.group)
    return Conversion(made.cases, made.loss, made.notices)


def _writes_table(form: Literal["table", "xlsx", "ods"]) -> Callable[[Iterable[Value], Stated], Written]:
    def write(cases: Iterable[Value], stated: Stated) -> Written:
        from shadefmt.converters.table import write_table

        if stated.mapping is None:
            raise WrongUse("a table is written by the mapping that reads it: say --mapping FILE")
        made = write_table(cases, stated.mapping, form=form, full=stated.full)
        return Written([made.data], lambda: made.loss, Stated(mapping=stated.mapping))

    return write


_OBJECTS: Final = frozenset({"percent", "decimal_comma", "tags", "notation", "own_fields"})
_TABLES: Final = frozenset({"mapping", "group"})

FORMATS: Final = {
    each.name: each
    for each in (
        Format(
            "cxf",
            "CxF3 (ISO 17972-1)",
            lambda head, _: seems_xml(head),
            _read_cxf,
            _write_cxf,
            _OBJECTS,
            "application/xml",
        ),
        Format(
            "cgats",
            "CGATS text (ISO 28178)",
            _seems_cgats,
            _read_cgats,
            _write_cgats,
            _OBJECTS,
            "text/plain",
        ),
        Format("table", "a delimited table", _seems_table, _read_table, _writes_table("table"), _TABLES, "text/csv"),
        Format(
            "xlsx",
            "an XLSX spreadsheet (ISO/IEC 29500)",
            lambda head, _: seems_spreadsheet(head) == "xlsx",
            _read_table,
            _writes_table("xlsx"),
            _TABLES,
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        ),
        Format(
            "ods",
            "an ODS spreadsheet (ISO/IEC 26300)",
            lambda head, _: seems_spreadsheet(head) == "ods",
            _read_table,
            _writes_table("ods"),
            _TABLES,
            "application/vnd.oasis.opendocument.spreadsheet",
        ),
    )
}
"""Every foreign format by name, in the order in which they are tried on a file."""

READ: Final = tuple(name for name, each in FORMATS.items() if each.read is not None)
"""Names of the formats that are read."""

WRITTEN: Final = tuple(name for name, each in FORMATS.items() if each.write is not None)
"""Names of the formats that are written."""

BOTH_WAYS: Final = tuple(name for name in WRITTEN if name in READ)
"""Names of the formats that a case can go through and come back from."""


def format_of(head: bytes, stated: Stated) -> Format | None:
    """Return the format that the first bytes of a file are in, None where no reader takes it."""
    return next((each for each in FORMATS.values() if each.seems(head, stated)), None)


def the_only_case(cases: Iterable[Value], target: str) -> Value:
    """Return the one case of a source.

    Raises:
        WrongUse: there is none, or more than one; the target holds one case.
    """
    taken = iter(cases)
    first = next(taken, None)
    if first is None or next(taken, None) is not None:
        raise WrongUse(f"{target} holds one case, and the source holds {'none' if first is None else 'more'}")
    return first
