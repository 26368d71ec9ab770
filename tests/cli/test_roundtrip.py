"""`roundtrip`: what comes back otherwise is listed, and a loss that no report names is a failure of its own."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from bases import base, written
from ordinary_mapping import ORDINARY

from shadefmt.cli.main import main
from shadefmt.comparing.documents import document_differences
from shadefmt.comparing.round_trip import round_trip
from shadefmt.converters.formats import BOTH_WAYS, FORMATS, Format, Stated, Written
from shadefmt.model.kinds import model_of

Value = dict[str, Any]
EXAMPLES = Path(__file__).resolve().parent.parent.parent / "schema" / "1.0" / "examples"
CROWN = EXAMPLES / "front-crown.shade.json"
CASES = ("crown", "repeats", "course", "pair", "whitening", "crown-by-two-parties")


@pytest.mark.parametrize("via", BOTH_WAYS)
@pytest.mark.parametrize("name", CASES)
def test_nothing_is_lost_without_a_word(via: str, name: str) -> None:
    made = round_trip(base(name), via, mapping=ORDINARY)
    assert [each for each in made.differences if each["said"] == "unsaid"] == []
    for report in (made.writing, made.reading):
        model_of("loss-report").model_validate(report)


def test_the_exit_code_says_whether_everything_lost_was_allowed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["roundtrip", str(CROWN), "--via", "cgats"]) == 1
    said = capsys.readouterr().out
    assert "/readings/*/hydration (4x missing)" in said
    assert "lost: " in said
    codes = {each["code"] for each in round_trip(json.loads(CROWN.read_bytes()), "cgats").losses}
    allowed = [word for code in codes for word in ("--allow-loss", code)]
    assert main(["roundtrip", str(CROWN), "--via", "cgats", *allowed]) == 0
    assert main(["roundtrip", str(CROWN), "--via", "cgats", *allowed[2:]]) == 1


def test_json_is_one_object_a_case(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = tmp_path / "two.shade.ndjson"
    lines.write_text("".join(json.dumps(base(name)) + "\n" for name in ("crown", "repeats")))
    assert main(["roundtrip", str(lines), "--via", "cgats", "--format", "json", "--full"]) == 1
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [each["name"].rpartition(":")[2] for each in rows] == ["1", "2"]
    for row in rows:
        assert row["unsaid"] == 0
        assert all(each["count"] == len(each["instances"]) for each in row["differences"])


def silent(change: Any) -> Format:
    """The format `cgats` with a writer that changes each case first, and says nothing of it."""

    real = FORMATS["cgats"].write
    assert real is not None

    def write(cases: Iterable[Value], stated: Stated) -> Written:
        return real([change(each) for each in cases], stated)

    return Format("cgats", "silent", FORMATS["cgats"].seems, FORMATS["cgats"].read, write)


def test_a_number_is_rounded_to_what_the_report_says(monkeypatch: pytest.MonkeyPatch) -> None:
    case = base("smallest")
    case["readings"][0]["colours"][0]["lab"]["L"] = 71.64
    assert round_trip(case, "cgats").unsaid == 0
    honest, spoiled = FORMATS["cgats"].write, silent(other_lightness).write
    assert honest is not None
    assert spoiled is not None

    def write(cases: Iterable[Value], stated: Stated) -> Written:
        kept = list(cases)
        return Written(spoiled(kept, stated).data, honest(kept, stated).loss, Stated(own_fields=True))

    monkeypatch.setitem(FORMATS, "cgats", Format("cgats", "", read=FORMATS["cgats"].read, write=write))
    assert round_trip(case, "cgats").unsaid == 1


def other_zone(case: Value) -> Value:
    return {**case, "readings": [{**each, "zone": "cervical"} for each in case["readings"]]}


def other_lightness(case: Value) -> Value:
    changed = json.loads(json.dumps(case))
    changed["readings"][0]["colours"][0]["lab"]["L"] = 50
    return dict(changed)


def one_less(case: Value) -> Value:
    return {**case, "readings": case["readings"][1:]}


@pytest.mark.parametrize(
    ("change", "path"),
    [
        (other_zone, "/readings/*/zone"),
        (other_lightness, "/readings/*/colours/*/lab/L"),
        (one_less, "/readings/*"),
    ],
)
def test_a_silent_loss_is_told_from_a_stated_one(
    change: Any, path: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(FORMATS, "cgats", silent(change))
    source = tmp_path / "case.shade.json"
    source.write_bytes(written(base("repeats")))
    assert main(["roundtrip", str(source), "--via", "cgats", "--allow-loss", "all"]) == 1
    said = capsys.readouterr().out
    assert "LOST WITHOUT A WORD" in said
    assert path in said


def test_what_is_no_case_is_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["roundtrip", str(EXAMPLES / "guide.shade.json"), "--via", "cgats"]) == 2
    assert "a case is meant" in capsys.readouterr().err


def test_entries_are_compared_by_id_and_by_likeness() -> None:
    one = {"readings": [{"id": "a", "zone": "whole", "order": 1}, {"id": "b", "zone": "middle"}]}
    other = {"readings": [{"id": "b", "zone": "middle"}, {"id": "x", "zone": "whole", "order": 2}], "note": "new"}
    found = [(each.path, each.kind) for each in document_differences(one, other)]
    assert found == [
        (("readings", 0, "id"), "changed"),
        (("readings", 0, "order"), "changed"),
        (("note",), "added"),
    ]
