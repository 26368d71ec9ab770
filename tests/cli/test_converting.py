"""`convert` from the command line: text spectra there and back, and foreign files named for what they are."""

import io
import json
import zipfile
from pathlib import Path

import numpy as np
import pytest
from ordinary_mapping import ORDINARY
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


def test_a_case_goes_through_cxf_and_comes_back(tmp_path: Path) -> None:
    target, back, loss = (tmp_path / name for name in ("case.cxf", "back.shade.json", "loss.json"))
    assert main(["convert", str(EXAMPLE), str(target), "--to", "cxf", "--full"]) == 1
    allowed = ["--allow-loss", "all", "--loss-report", str(loss)]
    assert main(["convert", str(target), str(back), "--own-fields", *allowed]) == 0
    case, came = json.loads(EXAMPLE.read_bytes()), json.loads(back.read_bytes())
    withdrawn = {each["entry_id"] for each in case["withdrawals"]}
    gone = ("revision_id", "backing_id", "visual", "placed_over_id")
    kept = [
        {name: value for name, value in each.items() if name not in gone}
        for each in case["readings"]
        if each["id"] not in withdrawn and ("colours" in each or "spectrum" in each)
    ]
    assert came["readings"] == kept
    assert check(back.read_bytes()).outcome == "valid"
    assert json.loads(loss.read_bytes())["source"]["file_format"] == "cxf3"


def test_many_cases_go_into_one_cxf_file(tmp_path: Path) -> None:
    lines, target, loss = (tmp_path / name for name in ("cases.shade.ndjson", "cases.cxf", "loss.json"))
    lines.write_bytes((json.dumps(json.loads(EXAMPLE.read_bytes())) + "\n").encode() * 3)
    allowed = ["--allow-loss", "all", "--loss-report", str(loss)]
    assert main(["convert", str(lines), str(target), "--to", "cxf", *allowed]) == 0
    assert json.loads(loss.read_bytes())["documents"] == 3


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


TABLE = b"Zahn;Zone;Auftrag;L*;a*;b*\n36;mittig;p;74,1;1,9;16,2\n36;mittig;q;74,2;1,8;16,1\n36;inzisal;p;70;0,5;11\n"


def test_a_table_without_a_mapping_is_told_how_to_get_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "table.csv").write_bytes(TABLE)
    assert main(["convert", str(tmp_path / "table.csv"), "-"]) == 2
    assert "--propose-mapping" in capsys.readouterr().err
    assert main(["convert", str(tmp_path / "table.csv")]) == 2
    assert "name a target" in capsys.readouterr().err


def test_a_mapping_is_proposed_confirmed_and_used(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source, draft, target = (str(tmp_path / name) for name in ("table.csv", "by.shade.json", "cases.shade.ndjson"))
    Path(source).write_bytes(TABLE)
    assert main(["convert", source, draft, "--propose-mapping"]) == 1
    said = capsys.readouterr().err
    assert "to decide: /colours/0/illuminant" in said
    assert "to decide: /case_key" in said
    assert check(Path(draft).read_bytes()).outcome == "valid"
    assert main(["convert", source, draft, "--propose-mapping"]) == 2, "what exists is left as it is"
    assert main(["convert", source, target, "--mapping", draft]) == 2, "a draft with open questions reads no table"
    by = json.loads(Path(draft).read_bytes())
    by["colours"][0] |= {"illuminant": "D65", "observer": "2-degree", "origin": "instrument"}
    by |= {"constants": [{"member": "specimen.kind", "value": "tooth"}], "case_key": [{"column": "Auftrag"}]}
    Path(draft).write_text(json.dumps(by), encoding="utf-8")
    lossy = ["--mapping", draft, "--allow-loss", "all"]
    assert main(["convert", source, target, *lossy]) == 3, "rows of one case lie apart"
    assert main(["convert", source, target, *lossy, "--group"]) == 0
    cases = [json.loads(line) for line in Path(target).read_bytes().splitlines()]
    assert [len(case["readings"]) for case in cases] == [2, 1]


def test_many_cases_go_through_one_cxf3_file_and_come_back_as_many(tmp_path: Path) -> None:
    many, file, back = (tmp_path / name for name in ("many.shade.ndjson", "readings.cxf", "back.shade.ndjson"))
    case = json.loads(EXAMPLE.read_bytes())
    cases = [case, case | {"id": "urn:uuid:6f0b3c1e-2d58-4c9b-8f3a-9d1e5a7b2c44"}]
    many.write_text("".join(json.dumps(each) + "\n" for each in cases), encoding="utf-8")
    lossy = ["--allow-loss", "all"]
    assert main(["convert", str(many), str(file), "--to", "cxf", *lossy]) == 0
    assert main(["convert", str(file), str(back), "--own-fields", *lossy]) == 0
    found = [json.loads(line) for line in back.read_bytes().splitlines()]
    assert [each["extensions"]["org.shadefmt.cxf"]["case_id"] for each in found] == [each["id"] for each in cases]
    assert found[0]["readings"] == found[1]["readings"]
    assert main(["convert", str(file), str(tmp_path / "one.shade.json"), "--own-fields", *lossy]) == 2


def test_a_folder_of_foreign_files_becomes_one_file_of_cases(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, target, report = tmp_path / "in", tmp_path / "all.shade.ndjson", tmp_path / "losses.ndjson"
    (folder / "below").mkdir(parents=True)
    (folder / ".hidden").write_bytes(b"no matter")
    by = tmp_path / "by.shade.json"
    by.write_text(json.dumps(ORDINARY), encoding="utf-8")
    lossy = ["--allow-loss", "all"]
    assert main(["convert", str(folder), str(target)]) == 2, "there is no file in it"
    assert main(["convert", str(EXAMPLE), str(folder / "below" / "one"), "--to", "cxf", *lossy]) == 0
    assert main(["convert", str(EXAMPLE), str(folder / "two"), "--to", "xlsx", "--mapping", str(by), *lossy]) == 0
    given = ["--mapping", str(by), "--own-fields", "--loss-report", str(report), *lossy]
    assert main(["convert", str(folder), str(tmp_path / "one.shade.json"), *given]) == 2
    capsys.readouterr()
    assert main(["convert", str(folder), str(target), *given]) == 0
    said = capsys.readouterr().err
    assert said.index(f"{folder / 'below' / 'one'}:") < said.index(f"{folder / 'two'}:")
    assert len(target.read_bytes().splitlines()) == 2
    formats = [json.loads(line)["source"]["file_format"] for line in report.read_bytes().splitlines()]
    assert formats == ["cxf3", "xlsx"]
    before = target.read_bytes()
    (folder / "zzz").write_bytes((folder / "two").read_bytes())
    assert main(["convert", str(folder), str(target), *given, "--force"]) == 2, "one file is there twice"
    (folder / "zzz").write_bytes((folder / "below" / "one").read_bytes()[:-40])
    assert main(["convert", str(folder), str(target), *given, "--force"]) == 3
    assert f"{folder / 'zzz'}: " in capsys.readouterr().err
    assert target.read_bytes() == before


def test_a_mapping_without_open_questions_exits_with_zero(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "table.csv"
    source.write_bytes(
        b"FDI;Zone;Objekt;R400;R500;R600\n36;mittig;Zahn;41,2;48,3;55,5\n36;inzisal;Zahn;39,2;45,1;50,4\n"
    )
    assert main(["convert", str(source), "--propose-mapping"]) == 0
    by = capsys.readouterr().out
    (tmp_path / "by.shade.json").write_text(by, encoding="utf-8")
    target = str(tmp_path / "case.shade.json")
    assert main(["convert", str(source), target, "--mapping", str(tmp_path / "by.shade.json")]) == 0
    assert json.loads(Path(target).read_bytes())["readings"][0]["spectrum"]["values"] == [0.412, 0.483, 0.555]


@pytest.mark.parametrize("data", [b"<CxF/>", b"PK\x03\x04", b"", b"\x89PNG\r\n"])
def test_what_is_no_table_has_no_mapping(data: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_bytes(data)
    assert main(["convert", str(tmp_path / "file"), "--propose-mapping"]) == 2
    assert capsys.readouterr().out == ""


def test_cases_go_through_a_table_and_a_spreadsheet_and_come_back(tmp_path: Path) -> None:
    by = tmp_path / "by.shade.json"
    by.write_text(json.dumps(ORDINARY), encoding="utf-8")
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


@pytest.mark.parametrize("target", ["case.shade.json", "case.zip", "case/", "cases.shade.ndjson"])
def test_a_target_that_exists_is_refused_before_anything_is_converted(
    target: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    occupied = tmp_path / target
    if target.endswith("/"):
        occupied.mkdir()
        (occupied / "note.txt").write_text("mine")
    else:
        occupied.write_text("mine")
    report = tmp_path / "loss.shade.json"
    words = ["--mapping", str(EXAMPLE.parent / "chairside-table.shade.json"), "--loss-report", str(report)]
    place = f"{occupied}/" if target.endswith("/") else str(occupied)
    assert main(["convert", str(EXAMPLE.parent / "chairside-table.csv"), place, *words]) == 2
    said = capsys.readouterr().err
    assert "exists and was left as it is" in said
    assert len(said.splitlines()) == 1
    assert not report.exists()
