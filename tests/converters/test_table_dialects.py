"""Tables in every dialect that a mapping can state: written by the test itself, read back to the same numbers."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from table_mappings import COLOUR, LAB, TOOTH, ZONE, Value, mapping, one, read, readings, table, written

from shadefmt.errors import Refused

DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "vertical-bar": "|"}
QUOTES = {"double": '"', "single": "'"}
CODECS = {"utf-8": "utf-8", "utf-16": "utf-16", "windows-1252": "cp1252", "iso-8859-1": "latin-1"}
BANDS = (400, 420, 440, 460)
TEETH = [f"{quadrant}{place}" for quadrant in "1234" for place in "12345678"]
WORDS = {"Hals": "cervical", "Mitte": "middle", "Schneide; rand": "incisal"}
LATIN = st.characters(min_codepoint=0x20, max_codepoint=0xFF, exclude_categories=["Cc"])


@dataclass(frozen=True)
class Dialect:
    """How a table is written: the words of the mapping, and what no mapping needs to say."""

    encoding: str
    delimiter: str
    quote: str
    decimal_mark: str
    line_end: str
    quote_all: bool
    mark: bool
    trailing: int
    blank_rows: bool
    ended: bool

    def cell(self, text: str) -> str:
        quote = QUOTES[self.quote]
        special = any(each in text for each in (DELIMITERS[self.delimiter], quote, "\r", "\n"))
        if self.quote_all or special or text != text.strip():
            return quote + text.replace(quote, quote * 2) + quote
        return text

    def number(self, value: Decimal) -> str:
        return f"{value:f}".replace(".", "," if self.decimal_mark == "comma" else ".")

    def file(self, rows: list[list[str]]) -> bytes:
        lines = [DELIMITERS[self.delimiter].join([*map(self.cell, row), *[""] * self.trailing]) for row in rows]
        if self.blank_rows:
            lines[1:1] = ["", DELIMITERS[self.delimiter] * 3]
        text = self.line_end.join(lines) + (self.line_end if self.ended else "")
        head = b"\xef\xbb\xbf" if self.mark and self.encoding == "utf-8" else b""
        return head + text.encode(CODECS[self.encoding])


dialects = st.builds(
    Dialect,
    encoding=st.sampled_from(sorted(CODECS)),
    delimiter=st.sampled_from(sorted(DELIMITERS)),
    quote=st.sampled_from(sorted(QUOTES)),
    decimal_mark=st.sampled_from(["point", "comma"]),
    line_end=st.sampled_from(["\n", "\r\n", "\r"]),
    quote_all=st.booleans(),
    mark=st.booleans(),
    trailing=st.integers(0, 2),
    blank_rows=st.booleans(),
    ended=st.booleans(),
)


@dataclass(frozen=True)
class Row:
    """What one row says."""

    tooth: str
    zone: str
    lab: tuple[Decimal, ...] | None
    percent: tuple[Decimal, ...]
    note: str


def decimals(least: int, most: int) -> st.SearchStrategy[Decimal]:
    return st.integers(0, 4).flatmap(
        lambda places: st.integers(least * 10**places, most * 10**places).map(lambda n: Decimal(n).scaleb(-places))
    )


rows = st.builds(
    Row,
    tooth=st.sampled_from(TEETH),
    zone=st.sampled_from(sorted(WORDS)),
    lab=st.none() | st.tuples(decimals(0, 100), decimals(-20, 20), decimals(-20, 40)),
    percent=st.tuples(*(decimals(0, 110) for _ in BANDS)),
    note=st.text(LATIN | st.sampled_from("\n;,\t|\"'"), max_size=20),
)


def mapping_of(dialect: Dialect) -> Value:
    return mapping(
        {"column": "Note", "member": "reading.note"},
        columns=[
            TOOTH,
            {**ZONE, "vocabulary": [{"text": text, "value": value} for text, value in WORDS.items()]},
            *LAB,
            {"column": "Note", "member": "reading.note"},
        ],
        dialect={name: getattr(dialect, name) for name in ("encoding", "delimiter", "quote", "decimal_mark")},
        spectra=[{"quantity": "reflectance-factor", "unit": "percent", "header_suffix": "nm"}],
    )


def places(numbers: tuple[Decimal, ...]) -> int:
    return max(-int(number.as_tuple().exponent) for number in numbers)


def expected(row: Row) -> Value:
    """What a row means, by the decimal module; a text that is written is a text that is read."""
    made: Value = {
        "zone": WORDS[row.zone],
        "spectrum": {
            "quantity": "reflectance-factor",
            "start_nm": 400,
            "step_nm": 20,
            "decimals": places(row.percent) + 2,
            "values": [float(number.scaleb(-2)) for number in row.percent],
        },
    }
    if row.lab is not None:
        lab = dict(zip("Lab", map(float, row.lab), strict=True))
        made["colours"] = [{**COLOUR, "decimals": places(row.lab), "lab": lab}]
    if row.note.strip():
        made["note"] = row.note
    return made


@given(dialects, st.lists(rows, min_size=1, max_size=6))
def test_what_is_written_in_any_dialect_is_read_back(dialect: Dialect, content: list[Row]) -> None:
    header = ["Tooth", "Zone", "L*", "a*", "b*", "Note", *(f"{band}nm" for band in BANDS)]
    lines = [
        [
            row.tooth,
            row.zone,
            *(map(dialect.number, row.lab) if row.lab else ("", "", "")),
            row.note,
            *map(dialect.number, row.percent),
        ]
        for row in content
    ]
    by = mapping_of(dialect)
    cases, loss, result = read(dialect.file([header, *lines]), by)
    [case] = cases
    teeth = {each["id"]: each["tooth"] for each in case["specimens"]}
    assert [teeth[each["specimen_id"]] for each in case["readings"]] == [row.tooth for row in content]
    found = [{name: each[name] for name in each if name not in ("id", "specimen_id")} for each in case["readings"]]
    assert found == list(map(expected, content))
    assert loss["lossless"]
    codes = {each.code for each in result.notices} - {"table-scale-doubtful"}
    assert ("table-last-line-unended" in codes) == (not dialect.ended)


def test_tables_of_the_csv_module_are_read() -> None:
    """The other side of the standard library as an independent writer: minimal and full quoting, three delimiters."""
    rows = [["Tooth", "Zone", "L*", "a*", "b*", "Note"], ["21", "middle", "74.10", "1", "16", 'a "b"\nc, d; e']]
    for delimiter, word in ((",", "comma"), (";", "semicolon"), ("\t", "tab")):
        for quoting in (0, 1, 2):
            data = written(rows, delimiter=delimiter, quoting=quoting)
            by = mapping({"column": "Note", "member": "reading.note"}, dialect=plain(delimiter=word))
            assert readings(data, by)[0]["note"] == rows[1][5]


def plain(**words: Any) -> Value:
    return {"encoding": "utf-8", "delimiter": "semicolon", "quote": "double", "decimal_mark": "point", **words}


def test_names_in_four_languages_in_windows_1252() -> None:
    by = mapping(
        dialect=plain(encoding="windows-1252", delimiter="comma"),
        columns=[
            {"column": "Zähne", "member": "specimen.tooth"},
            {"column": "Région", "member": "reading.zone", "vocabulary": [{"text": "tiers médian", "value": "middle"}]},
            *LAB,
            {"column": "Observação", "member": "reading.note"},
        ],
    )
    text = "Zähne,Région,L*,a*,b*,Observação\r\n21,tiers médian,74.1,1.9,16.2,“køligere” – 5 €\r\n"
    assert readings(text.encode("cp1252"), by)[0]["note"] == "“køligere” – 5 €"
    with pytest.raises(Refused, match=r"line 2.*windows-1252"):
        read(text.encode("cp1252"), {**by, "dialect": {**by["dialect"], "encoding": "iso-8859-1"}})
    with pytest.raises(Refused, match="line 1"):
        read(text.encode("cp1252"), {**by, "dialect": {**by["dialect"], "encoding": "utf-8"}})


def test_line_ends_may_be_mixed() -> None:
    data = b"Tooth;Zone;L*;a*;b*\r21;middle;74;1;16\r\n21;middle;75;1;16\n21;middle;76;1;16\n"
    assert [each["colours"][0]["lab"]["L"] for each in readings(data, mapping())] == [74, 75, 76]
    with pytest.raises(Refused, match="line 5, column 'a"):
        read(data + b"21;middle;77;x;16\n", mapping())


def test_line_numbers_count_the_lines_inside_quoted_cells() -> None:
    by = mapping({"column": "Note", "member": "reading.note"})
    data = table('21;middle;74;1;16;"a\nb\r\nc"', "21;middle;74;x;16;", header="Tooth;Zone;L*;a*;b*;Note")
    with pytest.raises(Refused, match="line 5, column 'a"):
        read(data, by)


def test_line_breaks_in_cells_may_differ_from_those_between_rows() -> None:
    """As spreadsheet programs write them: CR LF after rows, LF in cells."""
    by = mapping({"column": "Note", "member": "reading.note"})
    data = b'Tooth;Zone;L*;a*;b*;Note\r\n21;middle;74;1;16;"a\nb"\r\n'
    cases, _, result = read(data, by)
    assert cases[0]["readings"][0]["note"] == "a\nb"
    assert result.notices == []


def test_headers_may_hold_line_breaks() -> None:
    by = mapping(columns=[TOOTH, ZONE, {**LAB[0], "column": "L*\nmean"}, *LAB[1:]])
    data = table("21;middle;74;1;16", header='Tooth;Zone;"L*\nmean";a*;b*')
    cases, loss, _ = read(data, by)
    assert len(cases[0]["readings"]) == 1
    assert {each["path"] for each in loss["items"]} >= {r"column 'L*\nmean'"}
    with pytest.raises(Refused, match="reach down to line 2"):
        read(data, {**by, "layout": {"header_line": 1, "first_row_line": 2}})
    assert len(readings(data, {**by, "layout": {"header_line": 1, "first_row_line": 3}})) == 1


def test_without_quotes_a_quote_is_a_character() -> None:
    by = mapping({"column": "Note", "member": "reading.note"}, dialect=plain(quote="none", delimiter="tab"))
    data = b'Tooth\tZone\tL*\ta*\tb*\tNote\n21\tmiddle\t74\t1\t16\t"5" wide\n'
    assert readings(data, by)[0]["note"] == '"5" wide'


def test_blanks_after_the_delimiter_are_no_part_of_the_cell_where_the_mapping_says_so() -> None:
    by = mapping({"column": "Note", "member": "reading.note"}, dialect=plain(blank_after_delimiter=True))
    data = table('21; middle; 74; 1; 16; "a; b"', header="Tooth; Zone; L*; a*; b*; Note")
    assert readings(data, by)[0]["note"] == "a; b"


def test_thousands_and_decimals() -> None:
    by = mapping(
        {"column": "t", "member": "reading.minutes_since_isolation"},
        dialect={**plain(decimal_mark="comma"), "thousands_mark": "point"},
    )
    data = table("21;middle;74,5;1;16;1.440,5", header="Tooth;Zone;L*;a*;b*;t")
    assert readings(data, by)[0]["minutes_since_isolation"] == 1440.5


def test_vocabulary_beside_the_words_of_the_format() -> None:
    by = mapping()
    by["columns"] = [
        {**TOOTH, "vocabulary": [{"text": "left front", "value": "21"}]},
        ZONE,
        *LAB,
        {
            "column": "Anew",
            "member": "reading.repositioned",
            "vocabulary": [{"text": "yes", "value": "true"}, {"text": "no", "value": "false"}],
        },
        {"column": "Under", "member": "reading.backing", "vocabulary": [{"text": "black", "value": "grey"}]},
    ]
    header = "Tooth;Zone;L*;a*;b*;Anew;Under"
    case = one(table("left front;middle;74;1;16;yes;black", "11;middle;74;1;16;false;white", header=header), by)
    assert [each["tooth"] for each in case["specimens"]] == ["21", "11"]
    assert [(each["repositioned"], each["backing"]) for each in case["readings"]] == [(True, "grey"), (False, "white")]
    for row, where in (
        ("21;middle;74;1;16;Yes;", "Anew"),
        ("21;Middle;74;1;16;;", "Zone"),
        ("21;middle;74;1;16;;mouths", "Under"),
    ):
        with pytest.raises(Refused, match=f"line 2, column '{where}'") as caught:
            read(table(row, header=header), by)
        assert "vocabulary" in caught.value.remedy
