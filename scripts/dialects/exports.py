"""The exports: a sheet of invented readings, the tokens of Calc's filter, the mapping, and what is to come of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from scripts.dialects.sheets import Cell, Fault, Moment, Number, Sheet

Value = dict[str, Any]

READINGS = (
    ("21", "cervical", 71.05, 3.25, 20.4, "", (0.2338, 0.3127, 0.4416)),
    ("21", "middle", 74.1, 1.9, 16.2, "read twice", (0.2749, 0.3602, 0.4871)),
    ("21", "incisal", 70.66, -0.35, 11.08, "", (0.2751, 0.3397, 0.4203)),
    ("11", "cervical", 70.9, 3.4, 21.35, "", (0.2296, 0.3068, 0.4377)),
    ("11", "middle", 73.55, 2.02, 16.9, "lip touched", (0.2688, 0.3541, 0.4802)),
    ("11", "incisal", 70.2, -0.4, 11.5, "", (0.2699, 0.3342, 0.4155)),
)
"""Tooth, zone, L*, a*, b*, remark, reflectance factors at 400, 500, 600 nm: invented, nobody's."""

BANDS = (400, 500, 600)
ZONES = {
    "de": ("zervikal", "mittig", "inzisal"),
    "en": ("cervical", "middle", "incisal"),
    "fr": ("tiers cervical", "tiers médian", "tiers incisif"),
}
ENGLISH = ("Tooth", "Zone", "L*", "a*", "b*", "Remark")
COLOUR = {"illuminant": "D65", "observer": "2-degree", "origin": "instrument"}
LETTERS = ("L", "a", "b")


@dataclass(frozen=True)
class Export:
    """One file: `tokens` of Calc's filter and `mark`, bytes that it cannot write itself, before the file."""

    name: str
    why: str
    sheet: Sheet
    tokens: str
    mapping: Value
    expected: Value
    mark: bytes = b""


@dataclass
class Plain:
    """A sheet of the readings, one a row, and its mapping; what an export does otherwise is stated."""

    headers: Sequence[str] = ENGLISH
    language: str = "en"
    zones: str = "en"
    full: bool = False
    spectrum: str = ""
    notes: Sequence[str] | None = None
    dialect: Value = field(default_factory=dict)

    def number(self, value: float, decimals: int = 2) -> Number:
        """Return a cell that shows so many decimals, or the value as it is stored."""
        return Number(value, None if self.full else decimals, self.language)

    def rows(self) -> list[list[Cell]]:
        """Return the rows below the headers."""
        made: list[list[Cell]] = []
        for index, (tooth, zone, *lab, note, bands) in enumerate(READINGS):
            text = self.notes[index] if self.notes else note
            row: list[Cell] = [tooth, self.zone(str(zone)), *(self.number(each) for each in lab), text or None]
            if self.spectrum == "percent":
                row += [Number(each, 2, self.language, percent=True) for each in bands]
            made.append(row)
        return made

    def zone(self, word: str) -> str:
        """Return the word for a zone in the language of the sheet."""
        return ZONES[self.zones][ZONES["en"].index(word)]

    def sheet(self) -> list[list[Cell]]:
        """Return headers and rows."""
        bands = [f"R {band} nm" for band in BANDS] if self.spectrum else []
        return [[*self.headers, *bands], *self.rows()]

    def mapping(self, name: str, **members: Any) -> Value:
        """Return the mapping document."""
        dialect = {
            "encoding": "utf-8",
            "delimiter": "semicolon",
            "quote": "double",
            "decimal_mark": "comma" if self.language == "de" else "point",
        }
        paths = ("specimen.tooth", "reading.zone", *(f"reading.colour.lab.{each}" for each in LETTERS), "reading.note")
        columns = [{"column": text, "member": path} for text, path in zip(self.headers, paths, strict=True)]
        if self.zones != "en":
            words = zip(ZONES[self.zones], ZONES["en"], strict=True)
            columns[1]["vocabulary"] = [{"text": text, "value": value} for text, value in words]  # type: ignore[assignment]
        made = {
            "format": "shadefmt",
            "version": "1.0",
            "kind": "table-mapping",
            "id": f"urn:example:dialect:{name}",
            "title": f"dialect {name}",
            "dialect": dialect | self.dialect,
            "layout": {"header_line": 1},
            "tooth_notation": "iso-3950",
            "constants": [{"member": "specimen.kind", "value": "tooth"}],
            "colours": [COLOUR],
            "columns": columns,
        }
        if self.spectrum:
            made["spectra"] = [
                {
                    "quantity": "reflectance-factor",
                    "unit": self.spectrum,
                    "header_prefix": "R ",
                    "header_suffix": " nm",
                }
            ]
        return made | members

    def expected(self, decimals: int = 2, losses: Iterable[str] = (), notices: Iterable[str] = ()) -> Value:
        """Return what reading the export gives, from the invented readings alone."""
        readings = []
        for index, (tooth, zone, *lab, note, bands) in enumerate(READINGS):
            text = self.notes[index] if self.notes else note
            reading = {"tooth": tooth, "zone": zone, "lab": lab, "decimals": decimals}
            if text:
                reading["note"] = text
            if self.spectrum:
                reading["factors"] = list(bands)
            readings.append(reading)
        return {"readings": readings, "losses": sorted(losses), "notices": sorted(notices)}


def refused(where: str, what: str, remedy: str) -> Value:
    """Return the expectation that a file is refused: place, and words of what is wrong and what to do."""
    return {"refused": {"where": where, "what": what, "remedy": remedy}}


def plain(name: str, why: str, tokens: str, made: Plain, **more: Any) -> Export:
    """Return an export of a sheet as it is."""
    return Export(name, why, made.sheet(), tokens, made.mapping(name), made.expected(), **more)


def exports() -> list[Export]:
    """Return all exports that are read or refused."""
    return [*_dialects(), *_cells(), *_places(), *_refused()]


def _dialects() -> list[Export]:
    german = Plain(("Zahn", "Zone", "L*", "a*", "b*", "Bemerkung"), "de", "de")
    tabbed = Plain(dialect={"delimiter": "tab"})
    comma = Plain(dialect={"delimiter": "comma"})
    wide = Plain(dialect={"encoding": "utf-16", "delimiter": "tab"})
    many = Plain(
        ("Zähne", "Région", "Luminosità L*", "a*", "b*", "Observação"),
        zones="fr",
        notes=("“gemessen” – 5 €", "déjà lu", "più chiaro", "não", "größer", "œil"),
        dialect={"encoding": "windows-1252"},
    )
    single = Plain(
        notes=("the patient's lip", "", "a;b", "", "''", ""),
        dialect={"quote": "single"},
    )
    bars = Plain(language="de", zones="de", dialect={"quote": "none", "delimiter": "vertical-bar"})
    return [
        plain("semicolon-decimal-comma", "as written where the comma is the decimal mark", "59,34,76,1", german),
        plain("tab", "tabs between cells", "9,34,76,1", tabbed),
        plain("utf-8-mark", "UTF-8 with a byte order mark", "44,34,76,1", comma, mark=b"\xef\xbb\xbf"),
        plain("utf-16", "UTF-16 with a byte order mark", "9,34,65535,1", wide),
        plain("windows-1252", "names in four languages, one byte a letter", "59,34,1,1", many),
        plain("single-quote", "apostrophes around cells, and in them", "59,39,76,1", single),
        plain("no-quote", "nothing around cells", "124,0,76,1", bars),
    ]


def _cells() -> list[Export]:
    broken = Plain(
        ("Tooth", "Zone", "L*\nmean", "a*", "b*", "Remark\n(free)"),
        notes=("first\nsecond", "", 'say "ah"', "one\n\nthree", "", "a; b\n"),
    )
    texts = Plain(language="en")
    quoted = [[_as_text(cell) for cell in row] for row in texts.sheet()]
    stored = Plain(full=True)
    noisy = stored.sheet()
    noisy[1][2] = Number(71.0500030517578, None)  # 71.05 as a 32-bit float keeps it
    noise = stored.expected(losses=["table-number-rounded"])
    for reading in noise["readings"]:
        reading["decimals"] = max(len(repr(each).partition(".")[2]) for each in reading["lab"])
    noise["readings"][0] |= {"lab": [71.0500030518, 3.25, 20.4], "decimals": 10}
    shown = Plain(("Zahn", "Zone", "L*", "a*", "b*", "Bemerkung"), "de", "de", spectrum="percent")
    dated = shown.sheet()
    moments = [f"2026-03-0{4 + index // 3}T09:{12 + index}:00" for index in range(len(READINGS))]
    dated[0] += ["Zeitpunkt", "Minuten"]
    for row, moment in zip(dated[1:], moments, strict=True):
        row += [Moment(moment), Number(1440.5, 1, "de", grouped=True)]
    timed = shown.mapping("shown-forms")
    timed["dialect"]["thousands_mark"] = "point"
    timed["columns"] += [
        {"column": "Zeitpunkt", "member": "reading.at", "date_order": "day-month-year"},
        {"column": "Minuten", "member": "reading.minutes_since_isolation"},
    ]
    forms = shown.expected()
    for reading, moment in zip(forms["readings"], moments, strict=True):
        reading |= {"at": moment[:16], "minutes": 1440.5}
    science = Plain(language="de")
    exponents = science.sheet()
    for row in exponents[1:]:
        row[2:5] = [Number(each.value, 4, "de", scientific=True) for each in row[2:5] if isinstance(each, Number)]
    powers = science.expected(decimals=5)
    for reading in powers["readings"]:
        if all(abs(each) >= 1 for each in reading["lab"]):
            reading["decimals"] = 4
    return [
        plain("line-breaks", "line breaks, quotes and delimiters in cells and headers", "59,34,76,1", broken),
        Export(
            "all-quoted",
            "every cell is text and every text quoted",
            quoted,
            "59,34,76,1,,0,true,true",
            texts.mapping("all-quoted"),
            texts.expected(),
        ),
        Export(
            "as-stored",
            "numbers as they are stored, one of them through a 32-bit float",
            noisy,
            "59,34,76,1,,0,false,false",
            stored.mapping("as-stored"),
            noise,
        ),
        Export("shown-forms", "per cent signs, groups of thousands, dates as shown", dated, "59,34,76,1", timed, forms),
        Export(
            "exponents",
            "numbers with powers of ten, decimal comma",
            exponents,
            "59,34,76,1",
            science.mapping("exponents"),
            powers,
        ),
    ]


def _as_text(cell: Cell) -> Cell:
    return f"{cell.value:.2f}" if isinstance(cell, Number) else cell


def _places() -> list[Export]:
    gaps = Plain()
    holes = gaps.sheet()
    holes[0] += [None, None]
    for row in (2, 3, 5, 6):
        holes[row][0] = None  # one cell over three rows, as a merged one is written
    holes.insert(4, [None] * 6)
    merged = gaps.mapping("blank-cells")
    merged["columns"][0]["blank_repeats"] = True
    framed = Plain()
    table = framed.sheet()
    above: list[list[Cell]] = [
        ["Larch Lane; readings at the chair"],
        ["Taken", Moment("2026-03-04T09:12:00", "mdy", "/", "en")],
        [],
    ]
    below: list[list[Cell]] = [[], ["Sum of rows", Number(6, 0, "en")], ["printed by nobody"]]
    repeated = Plain()
    pages = repeated.sheet()
    pages.insert(4, list(pages[0]))
    return [
        Export(
            "blank-cells",
            "merged and empty cells, an empty row, empty columns",
            holes,
            "59,34,76,1",
            merged,
            gaps.expected(notices=["table-rows-blank"]),
        ),
        Export(
            "above-and-below",
            "a title and a label above, a sum below",
            [*above, *table, *below],
            "59,34,76,1",
            framed.mapping("above-and-below", layout={"header_line": 4, "ends_at_blank_row": True}),
            framed.expected(losses=["table-line-dropped"]),
        ),
        Export(
            "headers-again",
            "the headers stand again on the second page",
            pages,
            "59,34,76,1",
            repeated.mapping("headers-again", layout={"header_line": 1, "headers_repeat": True}),
            repeated.expected(notices=["table-headers-again"]),
        ),
    ]


def _refused() -> list[Export]:
    faulty = Plain()
    divided = faulty.sheet()
    divided[3][4] = Fault()
    open_commas = Plain(language="de", dialect={"quote": "none", "delimiter": "comma"})
    open_breaks = Plain(notes=("first\nsecond", *[""] * 5), dialect={"quote": "none"})
    return [
        Export(
            "cell-with-error",
            "a formula that divides by zero",
            divided,
            "59,34,76,1",
            faulty.mapping("cell-with-error"),
            refused("line 4, column 'b*'", "'#DIV/0!' is no number", "mend the cell"),
        ),
        Export(
            "open-commas",
            "decimal commas between commas without quotes",
            open_commas.sheet(),
            "44,0,76,1",
            open_commas.mapping("open-commas"),
            refused("line 2", "the row has 9 cells, the table 6 columns", "not quoted"),
        ),
        Export(
            "open-line-breaks",
            "a line break in a cell without quotes",
            open_breaks.sheet(),
            "59,0,76,1",
            open_breaks.mapping("open-line-breaks"),
            refused("line 3", "the row has 1 cells, the table 6 columns", "cells are missing"),
        ),
    ]
