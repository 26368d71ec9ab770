"""The command line as its users meet it: exit codes, messages, files whole or not at all, never a traceback."""

import io
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shadefmt.catalogue import catalogue
from shadefmt.cli.main import VERBS, main
from shadefmt.model.report import Report

EXAMPLES = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples"
CROWN = str(EXAMPLES / "front-crown.shade.json")
TABLE, MAPPING = str(EXAMPLES / "chairside-table.csv"), str(EXAMPLES / "chairside-table.shade.json")
BENCH = str(EXAMPLES / "bench-export.cxf")


def run(*arguments: str) -> int:
    """Exit code of a command, also where the parser itself leaves."""
    try:
        return main(list(arguments))
    except SystemExit as leaving:
        return int(leaving.code or 0)


@pytest.fixture
def spoiled(tmp_path: Path) -> str:
    case = json.loads(Path(CROWN).read_bytes())
    case["comparisons"][0]["difference"] = 3.5
    path = tmp_path / "spoiled.shade.json"
    path.write_text(json.dumps(case))
    return str(path)


def test_a_sound_case_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", CROWN) == 0
    out = capsys.readouterr().out
    assert "FILE SOUND" in out
    assert "valid" not in out.lower()


def test_a_faulty_case_exits_1_and_says_where_and_what_to_do(spoiled: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", spoiled) == 1
    out = capsys.readouterr().out
    for wanted in ("FILE FAULTY", "difference-disagrees", "line 1, column", "/comparisons/0/difference", "What to do"):
        assert wanted in out


def test_nonsense_bytes_exit_1_with_a_syntax_finding(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "nonsense.shade.json"
    path.write_bytes(b"\x00\xff nonsense")
    assert run("check", str(path)) == 1
    assert "syntax-" in capsys.readouterr().out


def test_a_missing_file_exits_3_and_the_others_are_checked(spoiled: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", "no-such-file.shade.json", spoiled, CROWN) == 3
    captured = capsys.readouterr()
    assert "no-such-file.shade.json: no such file" in captured.err
    assert "FILE FAULTY" in captured.out
    assert "FILE SOUND" in captured.out


@pytest.mark.parametrize(
    "arguments",
    [
        ("check",),
        ("check", "--bogus", CROWN),
        ("check", CROWN, "--as-of", "yesterday"),
        ("bogus",),
        (),
        ("explain", "no-such-code"),
        ("schema", "no-such-kind"),
        ("convert", TABLE, "x.shade.json"),
        ("convert", BENCH, "x.txt"),
        ("derive", MAPPING),
        ("compare", "1,2", "3,4,5"),
        ("compare", "1,2,3"),
        ("show", MAPPING),
        ("derive", CROWN, "--component", "luck=1"),
        ("derive", CROWN, "--component", "other=-1"),
    ],
)
def test_wrong_use_exits_2_and_says_so(arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*arguments) == 2
    captured = capsys.readouterr()
    assert captured.err or captured.out
    assert "Traceback" not in captured.err


def test_an_unknown_code_gets_a_suggestion(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("explain", "mean-mixes-zone") == 2
    assert "mean-mixes-zones" in capsys.readouterr().err


def test_a_demand_is_explained_like_a_rule_and_suggested_like_one(capsys: pytest.CaptureFixture[str]) -> None:
    shown = []
    for name in ("check-patch", "mean-mixes-zones"):
        assert run("explain", name) == 0
        shown.append(capsys.readouterr().out.splitlines())
    assert {"How grave", "What to do", "When it looks", "What it looks at", "Specification"} <= set.intersection(
        *map(set, shown)
    )
    assert run("explain", "check-patches") == 2
    assert "Did you mean check-patch" in capsys.readouterr().err


def test_every_code_and_demand_can_be_explained_and_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("explain") == 0
    listed = [line.split()[0] for line in capsys.readouterr().out.splitlines()]
    assert run("explain", "--all") == 0
    explained = capsys.readouterr().out
    assert set(listed) == {*catalogue().rules, *catalogue().demands}
    assert len(listed) == len(set(listed)), "a code and a demand of one name"
    assert all(code in explained for code in listed)


def test_json_is_one_report_a_line(spoiled: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", CROWN, spoiled, "--format", "json") == 1
    reports = [Report.model_validate(json.loads(line)) for line in capsys.readouterr().out.splitlines()]
    assert [each.outcome for each in reports] == ["valid", "invalid"]
    assert [each.judged.name for each in reports] == [CROWN[-200:], spoiled[-200:]]


def test_a_document_comes_from_standard_input(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stream = io.TextIOWrapper(io.BytesIO(Path(CROWN).read_bytes()))
    monkeypatch.setattr(sys, "stdin", stream)
    assert run("check", "-", "-q") == 0
    assert capsys.readouterr().out == ""


def test_a_folder_stands_for_the_documents_in_it(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert run("check", str(EXAMPLES), "-q") == 0
    assert run("check", str(tmp_path)) == 3
    assert "no *.shade.json" in capsys.readouterr().err


def test_pinned_documents_are_compared(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    guide = EXAMPLES / "guide.shade.json"
    assert run("check", CROWN, "--with", str(guide), "--with", str(EXAMPLES / "tolerance.shade.json")) == 0
    assert "guide" not in capsys.readouterr().out.split("Not looked at")[-1]
    other = json.loads(guide.read_bytes())
    other["title"] = "another edition"
    changed = tmp_path / "guide.shade.json"
    changed.write_text(json.dumps(other))
    assert run("check", CROWN, "--with", str(changed)) == 1
    assert "document-digest-differs" in capsys.readouterr().out


def test_convert_writes_a_case_and_says_what_was_lost(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target, loss = tmp_path / "case.shade.json", tmp_path / "loss.shade.json"
    assert run("convert", TABLE, str(target), "--mapping", MAPPING, "--loss-report", str(loss)) == 1
    assert "table-line-dropped" in capsys.readouterr().err
    assert run("check", str(target), str(loss), "-q") == 0
    again = tmp_path / "again.shade.json"
    assert run("convert", TABLE, str(again), "--mapping", MAPPING, "--allow-loss", "table-line-dropped") == 0
    assert again.read_bytes() == target.read_bytes()


def test_an_existing_file_is_left_alone_unless_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "case.shade.json"
    target.write_text("precious")
    assert run("convert", BENCH, str(target)) == 2
    assert target.read_text() == "precious"
    assert "--force" in capsys.readouterr().err
    assert run("convert", BENCH, str(target), "--force", "--allow-loss", "all") == 0
    assert run("check", str(target), "-q") == 0


def test_nothing_is_half_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "case.shade.json"
    target.write_text("precious")

    def fail(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fail)
    assert run("derive", CROWN, "-o", str(target), "--force") == 2
    assert target.read_text() == "precious"
    assert [each.name for each in tmp_path.iterdir()] == ["case.shade.json"]


@pytest.mark.parametrize("where", ["no/such/folder/x.shade.json", "."])
def test_an_impossible_target_is_said(tmp_path: Path, where: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("derive", CROWN, "-o", str(tmp_path / where)) == 2
    assert "shadefmt: " in capsys.readouterr().err


def test_a_refused_source_exits_3(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cut = tmp_path / "cut.cxf"
    cut.write_bytes(Path(BENCH).read_bytes()[:4000])
    target = tmp_path / "case.shade.json"
    assert run("convert", str(cut), str(target)) == 3
    assert not target.exists()
    assert "shadefmt: " in capsys.readouterr().err


def test_derive_adds_nothing_to_a_complete_case(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("derive", CROWN) == 0
    captured = capsys.readouterr()
    before, after = json.loads(Path(CROWN).read_bytes()), json.loads(captured.out)
    assert {name for name in after if after[name] != before.get(name)} <= {"computed_colours"}


def test_amend_and_merge(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    additions = tmp_path / "additions.json"
    additions.write_text('{"withdrawals": [{"id": "withdrawal-2", "entry_id": "reading-8", "reason": "moved"}]}')
    amended, merged = str(tmp_path / "amended.shade.json"), str(tmp_path / "merged.shade.json")
    at = "2026-05-20T09:00:00+02:00"
    assert run("amend", CROWN, str(additions), "--revision", "lab-2", "--party", "lab", "--at", at, "-o", amended) == 0
    assert run("check", amended, "--previous", CROWN, "-q") in (0, 1)
    out = capsys.readouterr().out
    assert "previous-" not in out
    assert "revision-digest-differs" not in out
    assert run("merge", CROWN, amended, "-o", merged) == 0
    assert Path(merged).read_bytes() == Path(amended).read_bytes()
    assert run("amend", CROWN, str(additions), "--revision", "lab-1", "--at", at) == 2


def test_merge_of_contradicting_versions_exits_1(
    spoiled: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "merged.shade.json"
    assert run("merge", CROWN, spoiled, "-o", str(target)) == 1
    assert "merge-entry-differs /comparisons/0" in capsys.readouterr().err
    assert not target.exists()


def test_compare_gives_a_published_pair(capsys: pytest.CaptureFixture[str]) -> None:
    """Sharma, Wu and Dalal 2005, pair 17: 2.0425 is pair 1; this one is 27.1492."""
    assert run("compare", "50,2.5,0", "73,25,-18", "--format", "json", "--limit", "1.8") == 0
    row: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert row["difference"] == 27.1492
    assert row["decision"] == "does-not-conform"


def test_compare_entries_ledger_and_pairs(capsys: pytest.CaptureFixture[str]) -> None:
    ids = ["mean-tooth-12-middle", "mean-crown-22-middle"]
    assert run("compare", "--case", CROWN, *ids, "--limit", "1.8", "--format", "json") == 0
    row = json.loads(capsys.readouterr().out)
    assert row["decision"] == "cannot-be-compared"
    assert row["obstacles"] == ["instruments-unbridged"]
    assert run("compare", "--case", CROWN, *ids, "--component", "inter-instrument=0.25", "--limit", "1.8") == 0
    assert "decision: conforms" in capsys.readouterr().out
    assert run("compare", "--case", CROWN, "--ledger", *ids, "reading-5", "--format", "json") == 0
    ledger = json.loads(capsys.readouterr().out)
    total = [sum(line["step"][axis] for line in ledger["lines"]) for axis in range(3)]
    assert total == pytest.approx(ledger["total"]["step"], abs=1e-9)
    assert run("compare", "--pairs", CROWN) == 0


def test_compare_estimates_a_colour_of_another_light_and_never_judges_it(capsys: pytest.CaptureFixture[str]) -> None:
    """colour-science 0.4.7, CAT16: lab 74.2/1.4/17.1 of D50 is 74.211/-0.097/16.860 under D65."""
    typed = ["compare", "74.2,1.4,17.1", "75,2,18", "--limit", "9", "--component", "drift=0.1", "--format", "json"]
    assert run(*typed, "--standard-basis", "D50,2-degree", "--adapt", "CAT16") == 0
    row = json.loads(capsys.readouterr().out)
    assert row["approximate"] is True
    account = row["adapted"]["standard"]
    assert account["lab"] == pytest.approx([74.211, -0.097, 16.860], abs=0.005)
    assert account["error"]["mean"] <= account["error"]["p95"] <= account["error"]["largest"]
    assert account["range"].startswith("tooth-like")
    assert min(account["spectra"].values()) > 10
    assert (row["decision"], row["obstacles"]) == ("cannot-be-compared", ["basis-differs"])
    assert "uncertainty" not in row
    assert run(*typed, "--standard-basis", "D65,2-degree", "--adapt", "CAT16") == 0
    same = json.loads(capsys.readouterr().out)
    assert "approximate" not in same
    assert same["decision"] == "conforms"
    far = ["compare", "30,90,-90", "30,90,-89", "--trial-basis", "A,10-degree", "--adapt", "Bradford"]
    assert run(*far, "--format", "json") == 0
    assert json.loads(capsys.readouterr().out)["adapted"]["trial"]["error"].startswith("no estimate")


def test_compare_says_whether_more_repeats_could_settle_it(capsys: pytest.CaptureFixture[str]) -> None:
    """The difference is 1.105 and the repeats give 0.071: k = 2 and a gap of 0.03 need many; 0.25 beside leaves none."""
    ids = ["compare", "--case", CROWN, "mean-tooth-12-middle", "mean-crown-22-middle", "--format", "json"]
    asked = [*ids, "--rule", "four-way-guarded", "--limit", "1.13"]
    for size, possible in (("0.0001", True), ("0.25", False)):
        assert run(*asked, "--component", f"inter-instrument={size}") == 0
        row = json.loads(capsys.readouterr().out)
        assert row["decision"] == "conditionally-conforms"
        assert row["repeats_could_settle"] is possible
        assert ("readings_needed" in row) is possible
    assert row["probability_of_conformity"] > 0.5
    assert run(*asked, "--monte-carlo", "2000", "--component", "inter-instrument=0.25") == 0
    drawn = json.loads(capsys.readouterr().out)["monte_carlo"]
    assert 0 < drawn["probability_of_conformity"] < 1
    assert drawn["standard"] > 0.2
    assert run(*asked, "--monte-carlo", "2000") == 0
    row = json.loads(capsys.readouterr().out)
    assert row["decision"] == "cannot-be-compared"
    assert "probability_of_conformity" not in row["monte_carlo"]


def test_compare_adapts_entries_only_when_asked(capsys: pytest.CaptureFixture[str]) -> None:
    entries = ["compare", "--case", CROWN, "mean-tooth-12-middle", "mean-crown-22-middle", "--illuminant", "A"]
    assert run(*entries) == 2
    assert "--adapt" in capsys.readouterr().err
    assert run(*entries, "--adapt", "CAT16", "--format", "json") == 0
    row = json.loads(capsys.readouterr().out)
    assert {each["from"] for each in row["adapted"].values()} == {"D65, 2-degree"}
    assert run("compare", "1,2,3", "1,2,4", "--trial-basis", "A,10-degree") == 2
    assert run(*entries, "--adapt", "CAT16", "--trial-basis", "A,10-degree") == 2
    assert run("compare", "1,2,3", "1,2,4", "--adapt", "CAT16", "--trial-basis", "candle") == 2
    assert run("compare", "--case", CROWN, "nobody", "mean-crown-22-middle", "--adapt", "CAT16") == 2


def test_show_in_the_terminal_is_about_twenty_lines(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("show", CROWN) == 0
    lines = capsys.readouterr().out.splitlines()
    assert 10 <= len(lines) <= 26
    assert max(map(len, lines)) <= 80


def test_show_as_a_page_needs_no_network_and_no_script(tmp_path: Path) -> None:
    target = tmp_path / "page.html"
    assert run("show", CROWN, "--html", str(target)) == 0
    page = target.read_text(encoding="utf-8")
    assert page.lower().startswith("<!doctype html>")
    assert "<script" not in page
    assert not [each for each in ('src="http', 'href="http', "@import", "url(http") if each in page]


def test_the_demo_makes_a_sound_case_and_a_damaged_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "demo"
    assert run("demo", str(folder)) == 0
    assert "does-not-conform" in (folder / "case.shade.json").read_text()
    assert run("check", str(folder / "case.shade.json"), "-q") == 0
    assert run("check", str(folder / "damaged.shade.json")) == 1
    out = capsys.readouterr().out
    for code in ("mean-disagrees-with-readings", "decision-disagrees-with-rule", "calibration-after-reading"):
        assert code in out
    assert run("demo", str(folder)) == 2


@pytest.mark.parametrize("verb", VERBS)
def test_every_command_has_help(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(verb, "--help") == 0
    assert VERBS[verb][1:] in " ".join(capsys.readouterr().out.split())


WORDS = st.sampled_from(
    [*VERBS, "-", "--format", "json", "-q", "--force", "--with", CROWN, BENCH, "1,2,3", "\0", "é", ""]
)


@given(st.lists(WORDS, max_size=5))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_arguments_bring_a_traceback(tmp_path_factory: pytest.TempPathFactory, arguments: list[str]) -> None:
    here = Path.cwd()
    os.chdir(tmp_path_factory.mktemp("here"))
    kept = sys.stdin
    sys.stdin = io.TextIOWrapper(io.BytesIO(b"{}"))
    try:
        assert run(*arguments) in (0, 1, 2, 3)
    finally:
        sys.stdin = kept
        os.chdir(here)


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = f"{sys.executable} -m shadefmt explain --all | head -1"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)
    assert (done.stderr, bool(done.stdout)) == ("", True)
