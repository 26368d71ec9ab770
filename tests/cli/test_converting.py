"""`convert` from the command line: text spectra there and back, and foreign files named for what they are."""

import io
import json
import zipfile
from pathlib import Path

import numpy as np
import pytest
from skimage import io as pictures

from shadefmt.checking import check
from shadefmt.cli.main import main

EXAMPLE = Path(__file__).resolve().parent.parent.parent / "schema" / "1.0" / "examples" / "front-crown.shade.json"


def test_a_case_goes_through_text_spectra_and_comes_back(tmp_path: Path) -> None:
    text, back, loss = (tmp_path / name for name in ("case.txt", "back.shade.json", "loss.json"))
    assert main(["convert", str(EXAMPLE), str(text), "--to", "cgats"]) == 1
    assert text.read_bytes().startswith(b"ISO28178\n")
    assert (
        main(["convert", str(text), str(back), "--own-fields", "--allow-loss", "all", "--loss-report", str(loss)]) == 0
    )
    case, came = json.loads(EXAMPLE.read_bytes()), json.loads(back.read_bytes())
    withdrawn = {each["entry_id"] for each in case["withdrawals"]}
    colours = {
        each["id"]: [one["lab"] for one in each.get("colours", [])]
        for each in case["readings"]
        if each["id"] not in withdrawn
    }
    assert {each["id"]: [one["lab"] for one in each["colours"]] for each in came["readings"]} == colours
    assert check(back.read_bytes()).outcome == "valid"
    assert json.loads(loss.read_bytes())["kind"] == "loss-report"


def test_what_is_lost_on_the_way_to_text_may_be_allowed(tmp_path: Path) -> None:
    target = str(tmp_path / "case.txt")
    allowed = ["--allow-loss", "withdrawn", "--allow-loss", "no-place-in-cgats"]
    assert main(["convert", str(EXAMPLE), target, "--to", "cgats", *allowed]) == 0
    assert main(["convert", str(EXAMPLE), target, "--to", "cgats", *allowed]) == 2, "what exists is left as it is"


def an_archive() -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("sheet.xml", "<sheet/>")
    return made.getvalue()


def a_picture(folder: Path, ending: str) -> bytes:
    path = folder / f"picture.{ending}"
    pictures.imsave(path, np.zeros((4, 4, 3), dtype=np.uint8), check_contrast=False)
    return path.read_bytes()


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("zip", "ZIP archive"),
        ("png", "PNG picture"),
        ("jpg", "JPEG picture"),
        ("json", "JSON"),
        ("empty", "empty"),
        ("words", "--mapping"),
    ],
)
def test_a_file_of_another_kind_is_named(
    kind: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = {"zip": an_archive(), "json": EXAMPLE.read_bytes(), "empty": b" \n", "words": b"dear colleague,\n"}
    source, target = tmp_path / "source", tmp_path / "case.shade.json"
    source.write_bytes(made[kind] if kind in made else a_picture(tmp_path, kind))
    assert main(["convert", str(source), str(target)]) == 2
    said = capsys.readouterr().err
    assert words in said
    assert said.count("\n") == 1
    assert not target.exists()


def test_cases_go_through_a_table_and_a_spreadsheet_and_come_back(tmp_path: Path) -> None:
    by = tmp_path / "by.shade.json"
    columns = [("tooth", "specimen.tooth"), ("zone", "reading.zone"), ("kind", "specimen.kind")]
    columns += [(letter, f"reading.colour.lab.{letter}") for letter in "Lab"]
    value = {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "table-mapping",
        "id": "urn:uuid:7a7b9d52-3a53-4a6e-8a38-0d9a0f6f2c11",
        "title": "of a test",
        "dialect": {"encoding": "utf-8", "delimiter": "comma", "quote": "double", "decimal_mark": "point"},
        "layout": {"header_line": 1},
        "tooth_notation": "universal",
        "case_key": [{"column": "case"}],
        "colours": [{"illuminant": "D65", "observer": "2-degree", "origin": "instrument"}],
        "columns": [{"column": name, "member": member} for name, member in columns],
    }
    by.write_text(json.dumps(value), encoding="utf-8")
    for form in ("table", "xlsx", "ods"):
        made, back = tmp_path / f"readings.{form}", tmp_path / f"{form}.shade.json"
        assert main(["convert", str(EXAMPLE), str(made), "--to", form]) == 2, "a table needs its mapping"
        assert main(["convert", str(EXAMPLE), str(made), "--to", form, "--mapping", str(by)]) == 1
        assert main(["convert", str(made), str(back), "--mapping", str(by), "--allow-loss", "all"]) == 0
        found = [each["colours"][0]["lab"]["L"] for each in json.loads(back.read_bytes())["readings"]]
        assert found == [74.33, 74.24, 74.41, 60.12, 73.22, 73.15, 73.27]
    many = tmp_path / "many.shade.ndjson"
    other = {**json.loads(EXAMPLE.read_bytes()), "id": "urn:uuid:00000000-0000-4000-8000-000000000001"}
    many.write_text(f"{json.dumps(json.loads(EXAMPLE.read_bytes()))}\n{json.dumps(other)}\n", encoding="utf-8")
    target, again = tmp_path / "many.csv", tmp_path / "again.shade.ndjson"
    assert main(["convert", str(many), str(target), "--to", "table", "--mapping", str(by), "--allow-loss", "all"]) == 0
    assert main(["convert", str(target), str(again), "--mapping", str(by), "--allow-loss", "all"]) == 0
    assert len(again.read_bytes().splitlines()) == 2
