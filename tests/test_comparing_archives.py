"""What compare says over archives, and under a light of one's own; against numpy, colour-science and tables of CIE."""

import copy
import json
import warnings
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from shadefmt.cli.main import main

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from colour.difference.delta_e import delta_E_CIE2000

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES = ROOT / "schema" / "1.0" / "examples"
TABLES = ROOT / "schema" / "1.0" / "tables"
CROWN, COURSE, GUIDE = (
    EXAMPLES / name for name in ("front-crown.shade.json", "whitening-course.shade.json", "guide.shade.json")
)
SPECTRA = str(EXAMPLES / "situations" / "partial-denture.shade.json")


def answers(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[dict[str, Any]]:
    assert main(["compare", *arguments, "--format", "json"]) == 0
    return [json.loads(line) for line in capsys.readouterr().out.splitlines()]


def lab_of(reading: dict[str, Any]) -> list[float]:
    return [reading["colours"][0]["lab"][axis] for axis in ("L", "a", "b")]


def test_repeatability_is_pooled_over_sessions_and_cases(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Three readings each of two cases; numpy's covariances, weighted by n - 1."""
    case = json.loads(CROWN.read_bytes())
    other = copy.deepcopy(case)
    other["id"] = "urn:uuid:0b1c2d3e-90a4-4d38-8c6f-e1b3a7d04956"
    for place, reading in enumerate(other["readings"][:3]):
        reading["colours"][0]["lab"]["L"] += 0.3 * place
    for name, value in (("one", case), ("two", other)):
        (tmp_path / f"{name}.shade.json").write_text(json.dumps(value))
    rows = answers(capsys, "--repeatability", str(tmp_path))
    (row,) = (each for each in rows if each["instrument"].endswith("heron"))
    sets = [[lab_of(each) for each in value["readings"][:3]] for value in (case, other)]
    variances = np.mean([np.var(labs, axis=0, ddof=1) for labs in sets], axis=0)
    assert (row["sets"], row["sessions"], row["readings"], row["degrees_of_freedom"]) == (2, 2, 6, 4)
    assert list(row["standard_deviations"].values()) == pytest.approx(np.sqrt(variances), abs=6e-5)
    assert row["single_readings"] == 2  # the stump, once in each case; the withdrawn reading counts nowhere


def test_a_slip_is_proposed_and_nothing_withdrawn(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert answers(capsys, "--slips", str(CROWN)) == [
        {"proposed": 0, "sets": 2, "sets_too_small": 1, "withdrawn": 0},
    ]
    case = json.loads(CROWN.read_bytes())
    case["readings"][1]["colours"][0]["lab"]["L"] += 9
    path = tmp_path / "slipped.shade.json"
    path.write_text(json.dumps(case))
    before = path.read_bytes()
    slip, told = answers(capsys, "--slips", str(path))
    others = np.mean([lab_of(case["readings"][place]) for place in (0, 2)], axis=0)
    away = delta_E_CIE2000(others, np.array(lab_of(case["readings"][1])))
    assert (slip["reading"], slip["case"]) == (case["readings"][1]["id"], case["id"])
    assert slip["from_the_others"] == pytest.approx(away, abs=6e-5)
    assert slip["from_the_others"] > slip["limit"]
    assert (told["proposed"], told["withdrawn"]) == (1, 0)
    assert path.read_bytes() == before


def test_coverage_of_a_set_is_the_mean_distance_to_its_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    """Every pair by colour-science. A label that changes on repeating lies close to the next reference."""
    (row,) = answers(capsys, "--coverage", str(GUIDE), str(COURSE), str(CROWN))
    references = [
        [each["colour"]["lab"][axis] for axis in ("L", "a", "b")]
        for each in json.loads(GUIDE.read_bytes())["references"]
    ]
    labs = []
    for path in (COURSE, CROWN):
        case = json.loads(path.read_bytes())
        labs += [
            [mean["colour"]["lab"][axis] for axis in ("L", "a", "b")]
            for mean in case["means"]
            if mean["id"].startswith("mean-tooth")
        ]
    sizes = delta_E_CIE2000(np.array(labs)[:, np.newaxis], np.array(references)).min(axis=1)
    assert row["colours"] == len(labs)
    assert row["coverage_error"] == pytest.approx(sizes.mean(), abs=6e-5)
    assert row["largest"] == pytest.approx(sizes.max(), abs=6e-5)
    assert 0 < row["label_would_change_on_repeating"]["share"] < 0.5


def test_a_light_of_ones_own_gives_what_the_table_of_that_light_gives(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ids = [each["id"] for each in json.loads(Path(SPECTRA).read_bytes())["readings"]]
    table = str(TABLES / "illuminant-FL11.csv")
    (row,) = answers(capsys, "--case", SPECTRA, *ids, "--under", "FL11", "--light", table)
    assert row["under"][table] == pytest.approx(row["under"]["FL11"], abs=2e-4)
    assert row["under"][table] != pytest.approx(row["difference"], abs=1e-3)
    again = tmp_path / "lamp.txt"
    again.write_text("# measured\n" + Path(table).read_text().partition("\n")[2].replace(",", "\t"))
    (other,) = answers(capsys, "--case", SPECTRA, *ids, "--light", str(again))
    assert other["under"][str(again)] == row["under"][table]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"nm,power\n400,1\n550,x\n700,1\n", "line 3"),
        (b"nm,power\n400,0,5\n", "line 2"),
        (b"500,1\n600,1\n", "400 to 700 nm"),
        (b"400,nan\n700,1\n", "power of the light"),
        (b"\xff\xfe\x00", "A light is text"),
        (b"", "two or more"),
    ],
)
def test_what_is_no_light_is_refused_in_words(
    text: bytes, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ids = [each["id"] for each in json.loads(Path(SPECTRA).read_bytes())["readings"]]
    path = tmp_path / "lamp.csv"
    path.write_bytes(text)
    assert main(["compare", "--case", SPECTRA, *ids, "--light", str(path)]) in (1, 2, 3)
    told = capsys.readouterr().err
    assert "Traceback" not in told
    assert said in told


def test_a_set_that_is_none_or_of_another_light_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", "--coverage", str(CROWN), str(CROWN)]) == 2
    assert "no reference set" in capsys.readouterr().err
    assert main(["compare", "--coverage", str(GUIDE), str(CROWN), "--illuminant", "A"]) == 2
    assert "no CIELAB colours" in capsys.readouterr().err
