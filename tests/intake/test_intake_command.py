"""`check --profile P --waivers W`: exit codes, the answer beside the state of the file, wrong use."""

import json
from pathlib import Path
from typing import Any

import pytest
from bases import PATHS, base

from shadefmt.cli.main import main
from shadefmt.model.report import Report

CROWN = str(PATHS["front-crown"])
OPEN, BENCH, EVIDENCE = (str(PATHS[name]) for name in ("open-door", "working-bench", "evidence"))
WAIVERS = str(PATHS["bench-waivers"])


def run(*arguments: str) -> int:
    try:
        return main(["check", *arguments])
    except SystemExit as leaving:
        return int(leaving.code or 0)


def saved(folder: Path, name: str, value: Any) -> str:
    path = folder / name
    path.write_text(json.dumps(value))
    return str(path)


@pytest.fixture
def needs_date(tmp_path: Path) -> str:
    """A profile that cannot be answered without the moment of the check."""
    profile = base("open-door")
    profile["rules"] = [{"code": "dated-after-check", "weight": "error"}]
    return saved(tmp_path, "needs-date.shade.json", profile)


@pytest.fixture
def spoiled(tmp_path: Path) -> str:
    case = base("front-crown")
    case["comparisons"][0]["difference"] = 3.5
    return saved(tmp_path, "spoiled.shade.json", case)


def test_exit_codes_follow_the_answer(needs_date: str, spoiled: str) -> None:
    assert run(CROWN, "--profile", OPEN) == 0
    assert run(CROWN, "--profile", BENCH) == 1
    assert run(CROWN, "--profile", needs_date) == 3
    assert run(CROWN, "--profile", needs_date, "--as-of", "2026-06-15") == 0
    assert run(spoiled, "--profile", OPEN) == 1


def test_over_many_files_3_beats_1_beats_0(needs_date: str, spoiled: str, tmp_path: Path) -> None:
    assert run(CROWN, spoiled, "--profile", OPEN) == 1
    assert run(CROWN, spoiled, "--profile", needs_date) == 3
    assert run("no-such-file.shade.json", CROWN, "--profile", OPEN) == 3


def test_a_lowered_error_leaves_the_file_faulty_and_the_case_accepted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = base("crown")
    case["instruments"][1]["geometry"] = "d:8"
    profile = {**base("open-door"), "rules": [{"code": "geometry-differs-in-verdict", "weight": "warning"}]}
    path, lowered = saved(tmp_path, "case.shade.json", case), saved(tmp_path, "profile.shade.json", profile)
    assert run(path) == 1
    capsys.readouterr()
    assert run(path, "--profile", lowered) == 0
    out = capsys.readouterr().out
    assert "FILE FAULTY" in out
    assert 'Under the profile "Open door": ACCEPTED' in out


def test_other_kinds_are_checked_and_not_answered(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(str(PATHS["guide"]), BENCH, WAIVERS, "--profile", EVIDENCE, "--format", "json") == 0
    reports = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert len(reports) == 3
    assert not [each for each in reports if "intake" in each]


def test_the_report_names_profile_and_waivers_by_digest(capsys: pytest.CaptureFixture[str]) -> None:
    import hashlib

    import rfc8785

    assert run(CROWN, "--profile", BENCH, "--waivers", WAIVERS, "--as-of", "2026-06-15", "--format", "json") == 1
    value = json.loads(capsys.readouterr().out)
    intake = Report.model_validate(value).intake
    assert intake is not None
    assert intake.waiver_list is not None
    for stated, name in ((intake.profile, "working-bench"), (intake.waiver_list, "bench-waivers")):
        document = base(name)
        digest = hashlib.sha256(rfc8785.dumps(document)).hexdigest()
        assert (stated.id, stated.sha256, stated.title) == (document["id"], digest, document["title"])
    assert [each.waiver_id for each in intake.demands_not_met or () if each.demand == "zones"] == ["middle-only"]


def test_what_is_missing_is_said_with_what_to_do(capsys: pytest.CaptureFixture[str]) -> None:
    run(CROWN, "--profile", BENCH, "--waivers", WAIVERS)
    out = capsys.readouterr().out
    words = (
        "FILE SOUND",
        'Under the profile "Working bench": REFUSED',
        "1 demand stands against it",
        "[prescription]",
        "order-1: not stated; asked for: cement, texture.",
        "What to do: Complete the order.",
        "waived by middle-only: zones at /specimens/2",
        "left open: no date was given to tell whether a waiver still holds",
    )
    for wanted in words:
        assert wanted in " ".join(out.split()), wanted
    assert max(map(len, out.splitlines())) <= 80


def test_acceptance_thanks_to_a_waiver_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    profile = {**base("open-door"), "demands": {"decimals": {"least": 9}}}
    waivers = {**base("bench-waivers"), "waivers": [{"id": "coarse", "demand": "decimals", "reason": "old meter"}]}
    named = saved(tmp_path, "p.shade.json", profile), saved(tmp_path, "w.shade.json", waivers)
    assert run(CROWN, "--profile", named[0], "--waivers", named[1]) == 0
    assert "Accepted only because of waivers." in capsys.readouterr().out


def test_every_line_of_a_stream_is_answered(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "many.shade.ndjson"
    path.write_text("".join(json.dumps(base(name)) + "\n" for name in ("crown", "smallest", "guide")))
    assert run(str(path), "--profile", EVIDENCE, "--format", "json") == 1
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [each.get("intake", {}).get("answer") for each in lines] == ["refused", "refused", None]


def test_quiet_is_silent_for_accepted_cases_only(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(CROWN, "-q", "--profile", OPEN) == 0
    assert capsys.readouterr().out == ""
    assert run(CROWN, "-q", "--profile", BENCH) == 1
    assert "REFUSED" in capsys.readouterr().out


FAULTS: dict[str, tuple[str, Any]] = {
    "unknown code": ("open-door", {"rules": [{"code": "no-such-rule", "weight": "off"}]}),
    "protected rule": ("open-door", {"rules": [{"code": "difference-disagrees", "weight": "note"}]}),
    "unknown member": ("open-door", {"pattern": "^x"}),
    "unknown demand": ("open-door", {"demands": {"horoscope": {}}}),
    "newer version": ("open-door", {"version": "1.3"}),
    "other kind": ("guide", {}),
    "waiver of a contradiction": (
        "bench-waivers",
        {"waivers": [{"id": "w", "code": "mean-disagrees-with-readings", "reason": "x"}]},
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_faulty_profile_or_list_is_wrong_use(fault: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    name, changes = FAULTS[fault]
    path = saved(tmp_path, "faulty.shade.json", {**base(name), **changes})
    given = ("--profile", BENCH, "--waivers", path) if name == "bench-waivers" else ("--profile", path)
    assert run(CROWN, *given) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.startswith(f"shadefmt: {path}")


def test_other_wrong_use(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(CROWN, "--waivers", WAIVERS) == 2
    assert "--profile" in capsys.readouterr().err
    (tmp_path / "nonsense").write_bytes(b"{")
    assert run(CROWN, "--profile", str(tmp_path / "nonsense")) == 2
    assert run(CROWN, "--profile", WAIVERS) == 2
    assert run(CROWN, "--profile", BENCH, "--waivers", EVIDENCE) == 2
    assert run(CROWN, "--profile", "no-such-file") == 3


def test_a_faulty_profile_says_so_when_it_is_checked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    name, changes = FAULTS["protected rule"]
    assert run(saved(tmp_path, "faulty.shade.json", {**base(name), **changes})) == 1
    out = capsys.readouterr().out
    assert "profile-lowers-protected-rule" in out
    assert "/rules/0/weight" in out


def test_many_places_of_one_demand_are_folded_and_waivers_out_of_terms_are_said(
    capsys: pytest.CaptureFixture[str],
) -> None:
    given = (CROWN, "--profile", EVIDENCE, "--waivers", WAIVERS, "--as-of", "2026-06-15")
    assert run(*given) == 1
    short = capsys.readouterr().out
    assert "more like this" in short
    assert "[waiver-not-accepted], middle-only" in " ".join(short.split())
    assert run(*given, "--verbose") == 1
    whole = capsys.readouterr().out
    assert "more like this" not in whole
    assert whole.count("no spectrum; asked for") > 3
