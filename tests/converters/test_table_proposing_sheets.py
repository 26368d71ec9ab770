"""Mappings proposed from spreadsheets: of files that LibreOffice Calc wrote, and of sheets made with openpyxl."""

import io
import json
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.utils import get_column_letter
from table_mappings import COLOUR, Value, read
from test_table_proposing import answered

from shadefmt.cli.main import main
from shadefmt.converters.proposing import propose_mapping
from shadefmt.errors import Refused

DATA = Path(__file__).resolve().parent / "table"
HEAD = ["Tooth", "Zone", "L*", "a*", "b*"]
ROWS: list[list[Any]] = [["21", "cervical", 71.05, 3.25, 20.4], ["21", "middle", 74.1, 1.9, 16.2]]


def book(**sheets: list[list[Any]]) -> bytes:
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    data = io.BytesIO()
    made.save(data)
    return data.getvalue()


def answers(data: bytes, **more: Any) -> Value:
    proposal = propose_mapping(data).mapping
    known = {"tooth_notation": "iso-3950", "specimen.kind": "tooth", "date_order": "day-month-year"}
    return answered(proposal, **COLOUR, **known, **more)


def labs(data: bytes, by: Value) -> list[list[float]]:
    return [list(each["colours"][0]["lab"].values()) for each in read(data, by)[0][0]["readings"]]


@pytest.mark.parametrize("form", ["xlsx", "ods"])
def test_a_sheet_that_a_spreadsheet_program_wrote_is_read_by_the_proposed_mapping(form: str) -> None:
    data = (DATA / f"sheet.{form}").read_bytes()
    expected = json.loads((DATA / "semicolon-decimal-comma.expected.json").read_text(encoding="utf-8"))["readings"]
    [case], _, _ = read(data, answers(data))
    teeth = {each["id"]: each["tooth"] for each in case["specimens"]}
    found = [(teeth[each["specimen_id"]], each["zone"], each.get("note")) for each in case["readings"]]
    assert found == [(each["tooth"], each["zone"], each.get("note")) for each in expected]
    assert labs(data, answers(data)) == [each["lab"] for each in expected]


def test_numbers_of_cells_have_no_mark_and_those_of_texts_do() -> None:
    mixed = [[*ROWS[0][:2], "71,05", 3.125, 20.4], ROWS[1]]
    by = answers(book(Sheet=[HEAD, *mixed]))
    assert by["dialect"]["decimal_mark"] == "comma"
    assert labs(book(Sheet=[HEAD, *mixed]), by) == [[71.05, 3.125, 20.4], ROWS[1][2:]]
    asked = propose_mapping(book(Sheet=[HEAD, [*ROWS[0][:2], 71.125, 3.125, 20.375]])).questions
    assert "/dialect/decimal_mark" not in {each["place"] for each in asked}


def test_a_date_of_a_cell_leaves_no_order_open() -> None:
    data = book(Sheet=[[*HEAD, "Date"], [*ROWS[0], date(2026, 3, 4)]])
    assert "order" not in " ".join(each["question"] for each in propose_mapping(data).questions)
    assert read(data, answers(data))[0][0]["readings"][0]["at"] == "2026-03-04"


def test_the_sheet_with_headers_is_looked_at_and_named() -> None:
    data = book(Notes=[["by hand", 1]], Readings=[HEAD, *ROWS])
    proposal = propose_mapping(data)
    assert proposal.mapping["layout"] == {"sheet": "Readings", "header_line": 1}
    assert "/layout/sheet" not in {each["place"] for each in proposal.questions}
    assert labs(data, answers(data)) == [row[2:] for row in ROWS]


def test_which_of_two_tables_is_meant_is_asked() -> None:
    [asked] = [
        each
        for each in propose_mapping(book(One=[HEAD, *ROWS], Two=[HEAD, *ROWS])).questions
        if each["place"] == "/layout/sheet"
    ]
    assert asked["answers"] == ["One", "Two"]


def test_a_cell_with_an_error_is_refused_with_its_address() -> None:
    broken = openpyxl.load_workbook(io.BytesIO(book(Notes=[["by hand"]], Sheet=[HEAD, *ROWS])))
    broken["Sheet"].cell(3, 3).value = "#DIV/0!"
    data = io.BytesIO()
    broken.save(data)
    with pytest.raises(Refused) as caught:
        propose_mapping(data.getvalue())
    assert caught.value.where == f"Sheet!{get_column_letter(3)}3"


def test_the_command_proposes_for_a_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source, draft = tmp_path / "readings", tmp_path / "by.shade.json"
    source.write_bytes(book(Sheet=[HEAD, *ROWS]))
    assert main(["convert", str(source), str(draft), "--propose-mapping"]) == 1
    assert "to decide: /colours/0/illuminant" in capsys.readouterr().err
    assert json.loads(draft.read_bytes())["columns"][-1]["member"] == "reading.zone"
    source.write_bytes(source.read_bytes()[:-200])
    assert main(["convert", str(source), "--propose-mapping"]) == 3
