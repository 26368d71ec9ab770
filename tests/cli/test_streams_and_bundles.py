"""Lines, packed lines, folders, bundles, standard streams as source and target of every command that takes cases."""

import gzip
import hashlib
import io
import json
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest
import zstandard
from bases import base, written

from shadefmt.cli.main import main
from shadefmt.cli.progress import EVERY, counted

Value = dict[str, Any]
EXAMPLES = Path(__file__).resolve().parent.parent.parent / "schema" / "1.0" / "examples"
BENCH = EXAMPLES / "bench-export.cxf"
TABLE, MAPPING = EXAMPLES / "chairside-table.csv", EXAMPLES / "chairside-table.shade.json"
PICTURE = b"a picture, invented"
NAMES = ("crown", "repeats")


def pictured() -> Value:
    """A case with one attachment."""
    attachment = {
        "id": "front",
        "path": "photos/front.jpg",
        "media_type": "image/jpeg",
        "size_bytes": len(PICTURE),
        "sha256": hashlib.sha256(PICTURE).hexdigest(),
    }
    return {**base("repeats"), "attachments": [attachment]}


def unpacked(path: Path) -> bytes:
    data = path.read_bytes()
    if path.suffix == ".gz":
        return gzip.decompress(data)
    return zstandard.ZstdDecompressor().decompressobj().decompress(data) if path.suffix == ".zst" else data


def packed(path: Path, data: bytes) -> Path:
    how = {".gz": gzip.compress, ".zst": zstandard.ZstdCompressor().compress}.get(path.suffix, bytes)
    path.write_bytes(how(data))
    return path


@pytest.fixture
def bundle(tmp_path: Path) -> Path:
    """A ZIP archive with a case and its picture."""
    path = tmp_path / "bundle.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("case.shade.json", written(pictured()))
        archive.writestr("photos/front.jpg", PICTURE)
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a case and its picture."""
    path = tmp_path / "folder"
    (path / "photos").mkdir(parents=True)
    (path / "case.shade.json").write_bytes(written(pictured()))
    (path / "photos" / "front.jpg").write_bytes(PICTURE)
    return path


@pytest.mark.parametrize("ending", ["ndjson", "ndjson.gz", "ndjson.zst"])
def test_derive_goes_through_lines(tmp_path: Path, ending: str) -> None:
    lines = b"".join(json.dumps(base(name)).encode() + b"\n" for name in NAMES)
    source, target = packed(tmp_path / f"in.shade.{ending}", lines), tmp_path / f"out.shade.{ending}"
    assert main(["derive", str(source), "-o", str(target)]) == 0
    made = [json.loads(line) for line in unpacked(target).splitlines()]
    assert [each["id"] for each in made] == [base(name)["id"] for name in NAMES]
    assert main(["check", str(target), "-q"]) == 0
    again = tmp_path / f"again.shade.{ending}"
    assert main(["derive", str(source), "-o", str(again)]) == 0
    assert again.read_bytes() == target.read_bytes()


def test_derive_of_lines_writes_nothing_where_one_is_broken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source, target = tmp_path / "in.shade.ndjson", tmp_path / "out.shade.ndjson"
    source.write_bytes(json.dumps(base("crown")).encode() + b"\n{}\n")
    assert main(["derive", str(source), "-o", str(target)]) == 3
    assert f"{source}:2" in capsys.readouterr().err
    assert [each.name for each in tmp_path.iterdir()] == [source.name]
    assert main(["derive", str(source)]) == 3
    assert capsys.readouterr().out == ""


def test_many_cases_do_not_fit_where_one_is_meant(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "in.shade.ndjson"
    source.write_bytes(b"".join(json.dumps(base(name)).encode() + b"\n" for name in NAMES))
    assert main(["derive", str(source), "-o", str(tmp_path / "out.shade.json")]) == 2
    assert ".shade.ndjson" in capsys.readouterr().err
    amend = ["amend", str(source), str(source), "--revision", "x", "--at", "2026-05-01"]
    for arguments in (["show", str(source), "--html", "-"], amend, ["merge", str(source), str(source)]):
        assert main(arguments) == 2
        assert "more than one document" in capsys.readouterr().err
    assert main(["show", str(source)]) == 0


def test_standard_streams_take_and_give_lines(
    monkeypatch: pytest.MonkeyPatch, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    lines = b"".join(json.dumps(base(name)).encode() + b"\n" for name in NAMES)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(lines)))
    assert main(["derive", "-", "--lines"]) == 0
    assert len(capsysbinary.readouterr().out.splitlines()) == len(NAMES)


@pytest.mark.parametrize("kind", ["bundle", "folder"])
@pytest.mark.parametrize("ending", [".zip", "/"])
def test_attachments_travel_from_bundle_to_bundle(
    kind: str, ending: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    source = request.getfixturevalue(kind)
    target = f"{tmp_path / 'made'}{ending}"
    assert main(["derive", str(source), "-o", target]) == 0
    assert main(["check", target, "-q"]) == 0
    again = f"{tmp_path / 'merged'}{ending}"
    assert main(["merge", target, target, "-o", again]) == 0
    assert main(["check", again, "-q"]) == 0
    if ending == "/":
        assert (tmp_path / "merged" / "photos" / "front.jpg").read_bytes() == PICTURE
    else:
        assert zipfile.ZipFile(again).read("photos/front.jpg") == PICTURE


def test_an_attachment_that_is_another_file_is_refused(folder: Path, tmp_path: Path) -> None:
    (folder / "photos" / "front.jpg").write_bytes(b"another")
    for target in ("made.zip", "made/"):
        assert main(["derive", str(folder), "-o", f"{tmp_path}/{target}"]) == 3
    (folder / "photos" / "front.jpg").unlink()
    assert main(["derive", str(folder), "-o", f"{tmp_path}/made/"]) == 3
    assert [each.name for each in tmp_path.iterdir()] == ["folder"]


def test_a_folder_that_holds_something_is_left_alone(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["derive", str(folder), "-o", f"{folder}/", "--force"]) == 2
    assert "Name a new folder" in capsys.readouterr().err


@pytest.mark.parametrize("verb", [["show"], ["roundtrip", "--via", "cgats"], ["check"]])
def test_commands_read_bundles(verb: list[str], bundle: Path, folder: Path) -> None:
    for source in (bundle, folder):
        assert main([*verb, str(source)]) in (0, 1)
    assert main(["compare", "--case", str(bundle), "repeat-1", "repeat-2"]) == 0


@pytest.mark.parametrize("ending", ["ndjson", "ndjson.gz", "ndjson.zst"])
def test_convert_writes_packed_lines(tmp_path: Path, ending: str) -> None:
    target = tmp_path / f"out.shade.{ending}"
    options = ["--mapping", str(MAPPING), "--allow-loss", "all"]
    assert main(["convert", str(TABLE), str(target), *options]) == 0
    assert json.loads(unpacked(target))["kind"] == "case"
    assert main(["check", str(target), "-q"]) == 0


def test_strict_writes_nothing_where_something_is_lost(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target, loss = tmp_path / "case.shade.json", tmp_path / "loss.json"
    words = ["convert", str(BENCH), str(target), "--strict", "--loss-report", str(loss)]
    assert main(words) == 1
    assert "nothing was written" in capsys.readouterr().err
    assert [each.name for each in tmp_path.iterdir()] == ["loss.json"]
    assert main([*words, "--allow-loss", "all", "--force"]) == 0
    assert target.exists()
    text = tmp_path / "text.txt"
    assert main(["convert", str(EXAMPLES / "front-crown.shade.json"), str(text), "--to", "cgats", "--strict"]) == 1
    assert not text.exists()
    assert main(["convert", str(BENCH), "-", "--strict"]) == 1
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("target", ["kept.zip", "kept/"])
def test_the_source_is_kept_in_a_bundle(target: str, tmp_path: Path) -> None:
    assert main(["convert", str(BENCH), f"{tmp_path}/{target}", "--keep-source", "--allow-loss", "all"]) == 0
    assert main(["check", f"{tmp_path}/{target}", "-q"]) == 0
    path = "source/bench-export.cxf"
    kept = zipfile.Path(tmp_path / target, path) if target.endswith(".zip") else tmp_path / target / path
    assert kept.read_bytes() == BENCH.read_bytes()
    document = kept.parent.parent / "case.shade.json"
    (attachment,) = json.loads(document.read_bytes())["attachments"]
    assert attachment["sha256"] == hashlib.sha256(BENCH.read_bytes()).hexdigest()
    assert attachment["use"] == ["source-data"]


def test_a_plain_file_names_a_source_that_lies_beside_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "case.shade.json"
    words = ["--keep-source", "--allow-loss", "all"]
    assert main(["convert", str(BENCH), str(target), *words]) == 2
    assert "bundle" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())
    beside = tmp_path / "export.cxf"
    beside.write_bytes(BENCH.read_bytes())
    assert main(["convert", str(beside), str(target), *words]) == 0
    assert json.loads(target.read_bytes())["attachments"][0]["path"] == "export.cxf"
    assert main(["check", str(target), "-q"]) == 0


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_is_said_on_a_terminal_only(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    for stream, said in ((Terminal(), True), (io.StringIO(), False)):
        monkeypatch.setattr(sys, "stderr", stream)
        assert list(counted(range(2 * EVERY), "cases")) == list(range(2 * EVERY))
        assert (f"{EVERY} cases" in stream.getvalue()) is said
    monkeypatch.setattr(sys, "stderr", short := Terminal())
    assert len(list(counted(range(EVERY - 1), "cases"))) == EVERY - 1
    assert short.getvalue() == ""
    monkeypatch.setattr(sys, "stdout", Terminal())
    assert list(counted(range(2 * EVERY), "cases", printing=True))
    assert short.getvalue() == ""
