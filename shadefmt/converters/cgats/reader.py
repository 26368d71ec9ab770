"""The public reader: one CGATS file into one case, its loss report, and what a person should know."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, BinaryIO, Literal

from shadefmt.collecting import collector_paused
from shadefmt.converters.base import Account, Notice, case_id, loss_report
from shadefmt.converters.cgats.building import TableBuilder
from shadefmt.converters.cgats.columns import Columns, columns_of
from shadefmt.converters.cgats.entries import Entries
from shadefmt.converters.cgats.facts import Facts, facts_of
from shadefmt.converters.cgats.header import Entry, Header, withheld
from shadefmt.converters.cgats.ledger import ASIDE, EXTENSION, Ledger
from shadefmt.converters.cgats.measured import Measured
from shadefmt.converters.cgats.options import OWN_FIELDS, Options
from shadefmt.converters.cgats.rows import Rows
from shadefmt.converters.cgats.sections import COUNTS, Sections, Table
from shadefmt.converters.cgats.source import Source
from shadefmt.converters.cgats.spectral_scale import in_percent, quantity_of
from shadefmt.converters.cgats.wavelengths import GridHeader, grid_header
from shadefmt.errors import Refused
from shadefmt.versions import FIRST_VERSION, FORMAT_NAME
from shadefmt.vocabulary import InstrumentKind, SpecimenKind, SpectralQuantity, TableEncoding, ToothNotation

Value = dict[str, Any]


@dataclass(frozen=True)
class CgatsResult:
    """`case` and `loss` as document values, and `notices`: what a person should know that is not a loss."""

    case: Value
    loss: Value
    notices: list[Notice]


def read_cgats(
    source: BinaryIO | bytes,
    *,
    full: bool = False,
    percent: bool | None = None,
    decimal_comma: bool = False,
    fields: Mapping[str, str] | None = None,
    notation: ToothNotation | None = None,
    specimen_kind: SpecimenKind = "material-disc",
    instrument_kind: InstrumentKind | None = None,
    quantity: SpectralQuantity | None = None,
    encoding: TableEncoding | None = None,
) -> CgatsResult:
    """Read a CGATS text file (ISO 28178) into one case with the readings of all its tables.

    The same bytes and arguments give the same result: ids follow from the digest of the source and from
    position. Illuminant and observer are unknown where the header of a table does not state them.

    Args:
        source: the file, or its bytes; a file is read from where it stands, in memory bounded by the result.
        full: list every loss instead of the first few of each kind.
        percent: whether the spectra are in percent (they are divided by 100 and gain two decimals) or factors;
            None takes them as field names or SPECTRAL_NORM say, else as factors.
        decimal_comma: numbers are written with a decimal comma.
        fields: which field of a row says what: member (one of `options.FIELD_MEMBERS`) to name of the field.
            `OWN_FIELDS` is that of the files that `write_cgats` makes.
        notation: notation of the teeth that a field names.
        specimen_kind: kind of specimens whose kind no field states; accounted for as assumed.
        instrument_kind: kind of the instruments; else it is assumed from what they measured.
        quantity: what the spectra are of; else what the file says, else reflectance factors, as assumed.
        encoding: encoding of the file; None takes UTF-8 where the file fits it, else windows-1252 with a notice.

    Raises:
        Refused: what is no whole CGATS file, or has rows or numbers that cannot be trusted; with place and
            remedy.
        WrongUse: an argument that makes no sense.
    """
    options = Options(
        percent, decimal_comma, fields or {}, notation, specimen_kind, instrument_kind, quantity, encoding
    )
    ledger = Ledger(Account(full))
    with collector_paused(), Source(source, options.encoding) as opened:
        reading = _Reading(opened, options, ledger)
        reading.read()
    info = reading.source.info
    count = len(reading.entries.readings)
    loss = loss_report(info, ledger.account, target_format="case", documents=1, readings=count)
    return CgatsResult(reading.case(), loss, ledger.notices)


class _Reading:
    """Reads the tables of one file, one after the other."""

    def __init__(self, source: Source, options: Options, ledger: Ledger) -> None:
        self.source = source
        self._options = options
        self._ledger = ledger
        self._sections = Sections(source.lines(), ledger)
        self.entries = Entries(ledger, options)
        self._tables: list[Value] = []
        self._behind: Value = {}
        self._identifier = ""
        self._texts: dict[str, Value] = {}
        self._mapped: set[str] = set()

    def read(self) -> None:
        """Read all tables.

        Raises:
            Refused: as for `read_cgats`.
        """
        while (table := self._sections.table()) is not None:
            self._identifier = self._identifier or table.header.identifier
            self._table(table)
        if not self.entries.readings:
            what = "the file holds no spectrum and no colour that a case has members for"
            raise Refused(what, where=f"line {self._sections.last_line}")
        if self._sections.after is not None:
            self._behind = self._kept_header(self._sections.after)
        self.entries.settle()
        self._close()

    def _table(self, table: Table) -> None:
        comma = self._options.decimal_comma
        grid = grid_header(table.header, comma=comma)
        columns = columns_of(table, grid, self._options, self._ledger)
        self._mapped |= set(columns.members)
        rows = Rows(self._sections, table)
        if not columns.measures:
            self._without_measurement(table, columns, rows)
            return
        facts = facts_of(table.header, self._ledger)
        measured = self._measured(table, columns, facts, grid)
        columns = measured.columns
        where = f"line {table.line}"
        number = table.number if table.number > 1 else None
        builder = TableBuilder(columns, facts, measured, self.entries, self._options, where, self._texts, number)
        for line, cells in rows:
            builder.add(line, cells)
        builder.account()
        if measured.has_colours:
            self._about_colours(facts, where)
        kept = self._kept_header(table.header, _upper(columns.names), facts)
        self._keep(table, kept | ({"rows": builder.strays} if builder.strays else {}))

    def _keep(self, table: Table, kept: Value) -> None:
        if kept:
            self._tables.append({"table": table.number, **kept})

    def _measured(self, table: Table, columns: Columns, facts: Facts, grid: GridHeader) -> Measured:
        where, comma = f"line {table.line}", self._options.decimal_comma
        percent = False
        quantity: SpectralQuantity | Literal["light"] = "reflectance-factor"
        spectrum = columns.spectrum
        if spectrum is not None:
            quantity = quantity_of(spectrum, table.header, self._options.quantity, self._ledger, where)
            percent = in_percent(spectrum, table.header, self._options.percent, self._ledger, comma=comma, where=where)
        if quantity == "light":
            message = "spectra are of light, not of what a specimen does to it; they were kept as texts"
            self._ledger.notice("spectra-of-light", where, message, "Nothing; a case has no member for them")
            columns = columns.without_spectrum()
        return Measured(columns, facts, grid, self._ledger, comma, percent, quantity)

    def _without_measurement(self, table: Table, columns: Columns, rows: Rows) -> None:
        reason = "the table holds no spectrum and no colour that a case has members for"
        lines = [line for line, _ in rows]
        listed = lines if self._ledger.account.full else lines[:1]
        for name in columns.names:
            for line in listed:
                count, where = len(lines) // len(listed), f"line {line}"
                path = f"fields/{name.upper()}"
                self._ledger.lost(path, "dropped", "table-without-colour", reason, where=where, count=count)
        self._keep(table, self._kept_header(table.header, _upper(columns.names)))

    def _about_colours(self, facts: Facts, where: str) -> None:
        if facts.origin is None:
            reason = "CGATS does not say who made the numbers of a colour"
            self._ledger.lost("table", "defaulted", "origin-assumed", reason, where=where, new="instrument")
        if "unknown" in (facts.illuminant, facts.observer):
            self._ledger.notice(
                "basis-unknown",
                where,
                "illuminant or observer of colours is not known; nothing is compared with them",
                "Ask whoever exported the file; it is never assumed",
            )

    def _kept_header(self, header: Header, names: Iterable[str] = (), facts: Facts | None = None) -> Value:
        """Account for a header, and return what the extension keeps of it."""
        kept = []
        known = {*names, *(each.keyword.upper() for each in header.entries)}
        for entry in header.entries:
            why = withheld(entry.keyword, entry.value)
            if why is not None:
                self._ledger.lost(entry.path, "dropped", why.code, why.reason, where=f"line {entry.line}")
                continue
            if entry.keyword.upper() in COUNTS or _declares(entry, known):
                self._ledger.kept(entry.path)
                continue
            self._ledger.kept(entry.path, (facts.targets.get(entry) if facts else None) or ASIDE)
            members = {"keyword": entry.keyword, "value": entry.value}
            kept.append({name: text for name, text in members.items() if text})
        if header.identifier:
            self._ledger.aside("identifier")
        self._ledger.aside("comment", len(header.comments))
        made: Value = {"header": kept} if kept else {}
        return made | ({"comments": header.comments} if header.comments else {})

    def _close(self) -> None:
        """Say what concerns the file as a whole."""
        if self.source.assumed:
            self._ledger.notice(
                "encoding-assumed",
                "line 1",
                f"the file is not UTF-8 and was read as {self.source.encoding}",
                "Look at letters with accents; if they are wrong, state the encoding",
            )
        if self.source.unended and self._sections.trailing:
            self._ledger.notice(
                "last-line-unended",
                f"line {self._sections.last_line}",
                "the last line has no line end; whether anything followed it cannot be known",
                "Ask whether the file is whole",
            )
        if self._texts or self._tables or self._behind:
            self._ledger.notice(
                "texts-as-written",
                "line 1",
                "names of samples and other texts of the file were carried over as they stand",
                "Look whether they name a person before the case is handed on",
            )
        for member in self._options.fields:
            if member not in self._mapped and self._options.fields != OWN_FIELDS:
                name = self._options.fields[member]
                self._ledger.notice("field-missing", "line 1", f"no table has the field {name}", "Look at its name")

    def case(self) -> Value:
        """Return the case made of everything that was read."""
        kept = {
            "identifier": self._identifier,
            "tables": self._tables,
            "behind_tables": self._behind,
            "readings": self._texts,
        }
        extension = {name: value for name, value in kept.items() if value}
        entries = self.entries
        lists = {
            "instruments": entries.instruments,
            "specimens": entries.specimens,
            "sessions": entries.sessions,
            "readings": entries.readings,
        }
        return {
            "format": FORMAT_NAME,
            "version": FIRST_VERSION,
            "kind": "case",
            "id": case_id(self.source.info.sha256, "case"),
            **{name: each for name, each in lists.items() if each},
            **({"extensions": {EXTENSION: extension}} if extension else {}),
        }


def _upper(names: Iterable[str]) -> list[str]:
    return [name.upper() for name in names]


def _declares(entry: Entry, known: set[str]) -> bool:
    """Whether an entry only declares a keyword or field that is there."""
    return entry.keyword.upper() == "KEYWORD" and entry.value.strip().upper() in known
