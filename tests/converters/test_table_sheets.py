"""Spreadsheets: what openpyxl, odfpy, pandas and polars write is read right, and they read what is written here."""

import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from typing import Any

import openpyxl
import pandas
import polars
import pytest
import python_calamine
from odf import table as odf_table
from odf.opendocument import OpenDocumentSpreadsheet
from odf.text import P
from table_mappings import KIND, Value, mapping, read, readings

from shadefmt.converters.detecting import seems_spreadsheet
from shadefmt.converters.leaving import Reason
from shadefmt.converters.table import read_table, write_table
from shadefmt.converters.table.sheets.source import SheetForm
from shadefmt.converters.table.sheets.target import SheetTarget
from shadefmt.errors import Refused, WrongUse

BY = mapping(
    {"column": "At", "member": "reading.at", "date_order": "day-month-year"},
    {"column": "Note", "member": "reading.note"},
    spectra=[{"quantity": "reflectance-factor", "unit": "percent", "header_prefix": "R"}],
    constants=[KIND],
)
HEADER = ["Tooth", "Zone", "L*", "a*", "b*", "At", "Note", "R400", "R410"]
ROWS: list[list[Any]] = [
    ["21", "middle", 74.31, -1.25, 16, datetime(2026, 3, 4, 9, 12, 30), "=1+1", 61.25, 62],
    ["11", "cervical", 70, 0.5, 18.75, date(2026, 3, 5), " é  two", 58.5, 60.03],
]
NUMBERS = [[74.31, -1.25, 16], [70, 0.5, 18.75]]
SPECTRA = [[0.6125, 0.62], [0.585, 0.6003]]
MOMENTS = ["2026-03-04T09:12:30", "2026-03-05"]


def xlsx_of(rows: list[list[Any]], change: Callable[[Any], None] = lambda book: None) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for cell in book.active["G"]:
        cell.data_type = "s"
    change(book)
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def odf_cell(value: Any, **members: str) -> Any:
    if isinstance(value, str):
        members |= {"valuetype": "string"}
    elif isinstance(value, date):
        members |= {"valuetype": "date", "datevalue": value.isoformat()}
    elif value is not None:
        members |= {"valuetype": "float", "value": repr(value)}
    cell = odf_table.TableCell(**members)
    if value is not None:
        cell.addElement(P(text=str(value)))
    return cell


def ods_of(rows: list[list[Any]], change: Callable[[Any], None] = lambda table: None) -> bytes:
    document = OpenDocumentSpreadsheet()
    table = odf_table.Table(name="Sheet")
    document.spreadsheet.addElement(table)
    for row in rows:
        line = odf_table.TableRow()
        table.addElement(line)
        for value in row:
            line.addElement(odf_cell(value))
    change(table)
    data = io.BytesIO()
    document.save(data)
    return data.getvalue()


def by_pandas(engine: str) -> bytes:
    data = io.BytesIO()
    frame = pandas.DataFrame([[*row[:6], "calm", *row[7:]] for row in ROWS], columns=HEADER)
    frame["At"] = [None, None]
    frame.to_excel(data, index=False, engine=engine)
    return data.getvalue()


def by_csv(text: str) -> bytes:
    return text.encode()


WRITERS = {
    "openpyxl": lambda: xlsx_of([HEADER, *ROWS]),
    "odfpy": lambda: ods_of([HEADER, *ROWS]),
    "pandas xlsx": lambda: by_pandas("openpyxl"),
    "pandas ods": lambda: by_pandas("odf"),
}


@pytest.mark.parametrize("writer", WRITERS)
def test_what_others_write_is_read(writer: str) -> None:
    data = WRITERS[writer]()
    assert seems_spreadsheet(data) == ("ods" if writer.endswith(("ods", "odfpy")) else "xlsx")
    found = readings(data, BY)
    assert [list(each["colours"][0]["lab"].values()) for each in found] == NUMBERS
    assert [each["spectrum"]["values"] for each in found] == SPECTRA
    if not writer.startswith("pandas"):
        assert [each["at"] for each in found] == MOMENTS
        assert [each["note"] for each in found] == ["=1+1", " é  two"]


@pytest.mark.parametrize("library", ["pandas", "polars"])
def test_delimited_text_of_others_is_read(library: str) -> None:
    rows = [[*row[:5], row[7], row[8]] for row in ROWS]
    header = [*HEADER[:5], *HEADER[7:]]
    if library == "pandas":
        text = pandas.DataFrame(rows, columns=header).to_csv(index=False, sep=";", decimal=",")
    else:
        columns = dict(zip(header, zip(*rows, strict=True), strict=True))
        text = polars.DataFrame({name: list(map(str, each)) for name, each in columns.items()}).write_csv(separator=";")
        text = text.replace(".", ",")
    by = {**BY, "columns": BY["columns"][:5]}
    found = readings(text.encode(), by)
    assert [list(each["colours"][0]["lab"].values()) for each in found] == NUMBERS
    assert [each["spectrum"]["values"] for each in found] == SPECTRA


def a_case() -> Value:
    [case] = read_table(xlsx_of([HEADER, *ROWS]), BY).cases
    return case


@pytest.mark.parametrize("form", ["xlsx", "ods"])
def test_what_is_written_is_read_by_pandas(form: Any) -> None:
    made = write_table([a_case()], BY, form=form)
    for engine in ("calamine", "openpyxl" if form == "xlsx" else "odf"):
        frame = pandas.read_excel(io.BytesIO(made.data), engine=engine, dtype={"Tooth": str})
        assert list(frame.columns) == HEADER
        assert frame[["L*", "a*", "b*"]].to_numpy().tolist() == NUMBERS
        assert frame[["R400", "R410"]].to_numpy().tolist() == [row[7:] for row in ROWS]
        assert list(frame["Tooth"]) == ["21", "11"]
        assert [str(each)[:19].replace(" 00:00:00", "") for each in frame["At"]] == [
            "2026-03-04 09:12:30",
            "2026-03-05",
        ]
        assert list(frame["Note"]) == ["=1+1", " é  two"]
    assert write_table([a_case()], BY, form=form).data == made.data


def test_what_is_written_is_read_by_polars() -> None:
    by = {**BY, "dialect": {**BY["dialect"], "decimal_mark": "point", "formula_guard": "apostrophe"}}
    made = write_table([a_case()], by)
    frame = polars.read_csv(io.BytesIO(made.data), separator=";", schema_overrides={"Tooth": polars.String})
    assert frame.columns == HEADER
    assert [list(row) for row in frame.select("L*", "a*", "b*").iter_rows()] == NUMBERS
    assert frame["Note"].to_list() == ["'=1+1", " é  two"]
    assert [each["note"] for each in readings(made.data, by)] == ["=1+1", " é  two"]


def test_without_a_guard_a_formula_is_left_out_and_told() -> None:
    made = write_table([a_case()], BY)
    assert b"=1+1" not in made.data
    lost = [item for item in made.loss["items"] if item.get("code") == "text-like-formula"]
    assert [(item["path"], item["count"]) for item in lost] == [("/readings/*/note", 1)]
    assert b"-1,25" in made.data, "a negative number is no formula"


def marked(book: Any) -> None:
    sheet = book.active
    sheet["L1"] = "x"
    sheet.merge_cells("L1:M1")
    sheet.row_dimensions[3].hidden = True
    sheet["H2"].number_format = "0.00%"
    book.create_sheet("Other").append([1])


def test_what_values_do_not_show_is_told() -> None:
    _, loss, result = read(xlsx_of([HEADER, *ROWS], marked), BY)
    told = {each.code: each.where for each in result.notices}
    assert told["table-cells-merged"] == "Sheet!L1:M1"
    assert told["table-rows-hidden"] == "Sheet!3"
    assert told["table-cells-percent"] == "Sheet!H2"
    assert [item["path"] for item in loss["items"] if item.get("code") == "table-sheet-not-read"] == ["sheet 'Other'"]


def with_error(book: Any) -> None:
    book.active["H3"] = "#DIV/0!"
    book.active["H3"].data_type = "e"


def with_formula(book: Any) -> None:
    book.active["H2"] = "=70+4"


def ods_error(table: Any) -> None:
    row = odf_table.TableRow()
    table.addElement(row)
    for value in ("21", "middle", 70, 1, 16, None, None):
        row.addElement(odf_cell(value))
    row.addElement(odf_cell("#DIV/0!", formula="of:=1/0"))


@pytest.mark.parametrize(
    ("data", "where"),
    [
        (xlsx_of([HEADER, *ROWS], with_error), "Sheet!H3"),
        (xlsx_of([HEADER, *ROWS], with_formula), "Sheet!H2"),
        (ods_of([HEADER, *ROWS], ods_error), "Sheet!H4"),
    ],
)
def test_a_cell_without_a_value_is_refused_with_its_address(data: bytes, where: str) -> None:
    with pytest.raises(Refused) as caught:
        read(data, BY)
    assert caught.value.where == where


def test_the_sheet_that_the_mapping_names_is_read() -> None:
    def second(book: Any) -> None:
        sheet = book.create_sheet("Readings")
        for row in (HEADER, ROWS[1]):
            sheet.append(row)

    data = xlsx_of([["nothing"]], second)
    by = {**BY, "layout": {"sheet": "Readings", "header_line": 1}}
    assert [each["zone"] for each in readings(data, by)] == ["cervical"]
    assert write_table([a_case()], by, form="xlsx").data.startswith(b"PK")
    with pytest.raises(Refused, match="'Sheet', 'Readings'"):
        read(data, {**BY, "layout": {"sheet": "Elsewhere", "header_line": 1}})


@pytest.mark.parametrize("form", ["xlsx", "ods"])
def test_a_cut_spreadsheet_is_refused_wherever_it_is_cut(form: Any) -> None:
    data = write_table([a_case()], BY, form=form).data
    for length in range(len(data)):
        with pytest.raises(Refused):
            read_table(data[:length], BY)


def replaced(data: bytes, part: str, change: Callable[[bytes], bytes]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, change(old.read(name)) if name == part else old.read(name))
    return made.getvalue()


SHEET = "xl/worksheets/sheet1.xml"
FAR = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
REPEATED = (
    b'<table:table-row table:number-rows-repeated="1000000"><table:table-cell table:number-columns-repeated="9000" '
    b'office:value-type="float" office:value="1"/></table:table-row></table:table>'
)
DOCTYPE = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">]><worksheet'


@pytest.mark.parametrize(
    ("form", "part", "old", "new", "what"),
    [
        ("xlsx", SHEET, b"</sheetData>", FAR, "more than"),
        ("ods", "content.xml", b"</table:table>", REPEATED, "more than"),
        ("xlsx", SHEET, b"<worksheet", DOCTYPE, "document type"),
        ("xlsx", SHEET, b"</worksheet>", b"", "well-formed"),
    ],
)
def test_a_hostile_sheet_is_refused(form: Any, part: str, old: bytes, new: bytes, what: str) -> None:
    data = replaced(write_table([a_case()], BY, form=form).data, part, lambda content: content.replace(old, new))
    with pytest.raises(Refused, match=what):
        read_table(data, BY)


def test_what_inflates_beyond_the_limit_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shadefmt.converters.table.sheets.archive.MAX_SPREADSHEET_BYTES", 100_000)
    data = replaced(xlsx_of([HEADER, *ROWS]), SHEET, lambda content: content + b" " * 200_000)
    assert len(data) < 100_000
    with pytest.raises(Refused, match="larger"):
        read_table(data, BY)


def test_a_missing_library_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "python_calamine", None)
    with pytest.raises(WrongUse, match="spreadsheets"):
        read_table(xlsx_of([HEADER, *ROWS]), BY)


def test_rows_that_repeat_or_contradict_are_noticed() -> None:
    by = mapping({"column": "No", "member": "reading.order"})
    lines = ["21;middle;74;1;16;1", "21;middle;74;1;16;2", "21;middle;74;1;16;1", "21;middle;70;1;16;2"]
    data = "\n".join(["Tooth;Zone;L*;a*;b*;No", *lines, ""]).encode()
    _, _, result = read(data, by)
    told = {each.code: each.where for each in result.notices}
    assert told == {"table-row-repeated": "line 4", "table-rows-contradict": "line 5"}
    assert not [each for each in read(data[: data.index(lines[2].encode(), 60)], by)[2].notices if "row" in each.code]


def test_cut_text_is_refused_or_doubted_and_a_closing_word_tells_every_cut() -> None:
    """Cut between two rows, text without a closing word is a shorter table: only there."""
    data = write_table([a_case()], BY).data
    ends = {place + 2 for place in range(len(data)) if data[place : place + 2] == b"\r\n"}
    for length in range(len(data)):
        try:
            _, _, result = read(data[:length], BY)
        except Refused:
            continue
        assert length in ends or "table-last-line-unended" in {each.code for each in result.notices}
    closed = {**BY, "layout": {"header_line": 1, "end_word": "END"}}
    whole = write_table([a_case()], closed).data
    assert whole.endswith(b"END\r\n")
    for length in range(len(whole) - len(b"\r\n")):
        with pytest.raises(Refused):
            list(read_table(whole[:length], closed).cases)


@pytest.mark.parametrize("form", ["xlsx", "ods"])
def test_every_character_comes_back_or_is_refused(form: SheetForm) -> None:
    """All of the first blocks, and the last of each plane; read back by an independent library."""
    points = [*range(0x3100), *(plane << 16 | low for plane in range(17) for low in range(0xD7F0, 0x10000, 13))]
    points += [plane << 16 | low for plane in range(17) for low in range(0xFFF0, 0x10000)]
    target = SheetTarget(form, "point")
    texts = [f"a{chr(point)}b" for point in dict.fromkeys(points)]
    held = [text for text in texts if not isinstance(target.cell(text, "text"), Reason)]
    assert len(held) > 0.8 * len(texts)
    book = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(target.written([[text] for text in held])))
    assert [row[0] for row in book.get_sheet_by_index(0).to_python(skip_empty_area=False)] == held
