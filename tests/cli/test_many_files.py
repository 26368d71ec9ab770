"""Many files in one command: the worst outcome decides the exit code, and one file never hides another."""

import io
import itertools
import json
import sys
from pathlib import Path
from typing import Any

import pytest
from bases import base, written

from shadefmt.cli.main import main
from shadefmt.model.report import Report

Value = dict[str, Any]


def sound() -> Value:
    return base("crown")


def faulty() -> Value:
    value = base("crown")
    value["means"][0]["colour"]["lab"]["L"] += 1
    return value


def partly() -> Value:
    return {**base("crown"), "version": "1.9"}


MADE = {"sound": (sound, 0), "faulty": (faulty, 1), "partly": (partly, 3)}


@pytest.fixture
def paths(tmp_path: Path) -> dict[str, str]:
    """One file of each outcome, one that is missing, one that is a broken archive, an empty folder."""
    for name, (make, _) in MADE.items():
        (tmp_path / f"{name}.shade.json").write_bytes(written(make()))
    (tmp_path / "broken.zip").write_bytes(b"PK\x03\x04 broken")
    (tmp_path / "empty").mkdir()
    names = {name: f"{name}.shade.json" for name in (*MADE, "missing")}
    return {name: str(tmp_path / path) for name, path in (names | {"broken": "broken.zip", "empty": "empty"}).items()}


CODES = {**{name: code for name, (_, code) in MADE.items()}, "missing": 3, "broken": 3, "empty": 3}


@pytest.mark.parametrize("name", CODES)
def test_one_file_gives_its_own_code(paths: dict[str, str], name: str) -> None:
    assert main(["check", paths[name]]) == CODES[name]


@pytest.mark.parametrize(
    "names",
    [pytest.param(names, id=" ".join(names)) for names in itertools.permutations(CODES, 2)],
)
def test_of_two_files_the_worse_decides_in_either_order(
    paths: dict[str, str], names: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    code = main(["check", "--format", "json", *(paths[name] for name in names)])
    assert code == max((CODES[name] for name in names), key=(0, 1, 3).index)
    captured = capsys.readouterr()
    reports = [Report.model_validate(json.loads(line)) for line in captured.out.splitlines()]
    readable = [name for name in names if name in MADE]
    assert [Path(each.judged.name or "").name for each in reports] == [f"{name}.shade.json" for name in readable]
    assert captured.err.count("shadefmt: ") == len(names) - len(readable)


def test_a_folder_is_looked_through_in_order_of_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("b/two", "a", "b/one", "c"):
        path = tmp_path / f"{name}.shade.json"
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(written(sound()))
    (tmp_path / "notes.json").write_bytes(b"not ours")
    assert main(["check", str(tmp_path), "--format", "json"]) == 0
    names = [json.loads(line)["judged"]["name"] for line in capsys.readouterr().out.splitlines()]
    assert [str(Path(each).relative_to(tmp_path)) for each in names] == [
        "a.shade.json",
        "b/one.shade.json",
        "b/two.shade.json",
        "c.shade.json",
    ]


def test_documents_by_the_line_are_judged_one_by_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "many.shade.ndjson"
    lines = [written(sound()), b"", written(faulty()), b"{nonsense", written(sound())]
    path.write_bytes(b"\n".join(lines) + b"\n")
    assert main(["check", str(path), "--format", "json"]) == 1
    reports = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [each["outcome"] for each in reports] == ["valid", "invalid", "invalid", "valid"]
    assert [each["judged"]["name"].rsplit(":", 1)[1] for each in reports] == ["1", "3", "4", "5"]


def test_a_cap_on_findings_leaves_the_code_alone(paths: dict[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", paths["faulty"], "--max-findings", "0", "--format", "json"]) == 1
    report = json.loads(capsys.readouterr().out)
    assert "findings" not in report
    assert report["totals"]["errors"] > 0


def test_quiet_is_silent_on_what_is_sound_and_speaks_on_the_rest(
    paths: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "-q", paths["sound"], paths["faulty"]]) == 1
    out = capsys.readouterr().out
    assert "sound.shade.json" not in out
    assert "faulty.shade.json" in out


def test_the_same_report_at_every_verbosity(paths: dict[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    for options in ([], ["-v"], ["-q"]):
        main(["check", paths["faulty"], "--format", "json", *options])
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3
    assert len(set(lines)) == 1


def test_standard_input_stands_between_files(
    paths: dict[str, str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(written(faulty()))))
    assert main(["check", "--format", "json", paths["sound"], "-", paths["sound"]]) == 1
    outcomes = [json.loads(line)["outcome"] for line in capsys.readouterr().out.splitlines()]
    assert outcomes == ["valid", "invalid", "valid"]
