"""What `derive` writes: checked clean by the checker, and number by number by an independent library."""

import copy
import json
import statistics
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from skimage.color import deltaE_ciede2000

from shadefmt.amending import add_revision
from shadefmt.checking import check
from shadefmt.deriving import Request, derive
from shadefmt.documents import dumps
from shadefmt.history import as_it_was
from shadefmt.jsontext import digest

EXAMPLES = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples"
BASIS = {"illuminant": "D65", "observer": "2-degree"}
TOLERANCE: dict[str, Any] = {
    "id": "tolerance",
    "formula": "CIEDE2000",
    "k_L": 1,
    "k_C": 1,
    "k_H": 1,
    "tissue": "tooth",
    "source": "agreed for this test",
    "grades": [{"grade": "up-to-perceptible", "at_most": 0.8}, {"grade": "beyond-acceptable"}],
    "limit": 1.8,
    "decision_rule": "four-way-guarded",
    "coverage_factor": 2,
}
Lab = tuple[float, float, float]


def reading(number: int, specimen: str, lab: Lab, **more: Any) -> dict[str, Any]:
    return {
        "id": f"reading-{number}",
        "session_id": "session",
        "specimen_id": specimen,
        "zone": "middle",
        "repositioned": True,
        **more,
        "colours": [{**BASIS, "decimals": 2, "origin": "instrument", "lab": dict(zip("Lab", lab, strict=True))}],
    }


def case(tooth: list[Lab], crown: list[Lab], **more: Any) -> dict[str, Any]:
    """A case with repeats of a tooth and of a crown in one session, before anything was worked out."""
    readings = [reading(n, "tooth", lab, hydration="moist") for n, lab in enumerate(tooth, 1)]
    readings += [reading(n, "crown", lab, state="glazed") for n, lab in enumerate(crown, len(tooth) + 1)]
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:1f0d2c3b-4a59-4687-9b0a-5c6d7e8f9a0b",
        "instruments": [{"id": "instrument", "kind": "spectrophotometer", "geometry": "45:0"}],
        "specimens": [
            {"id": "tooth", "kind": "tooth", "tooth": "21"},
            {"id": "crown", "kind": "restoration", "tooth": "11"},
        ],
        "sessions": [
            {
                "id": "session",
                "instrument_id": "instrument",
                "barrier_fitted": True,
                "started": "2026-03-04T09:00:00Z",
                "calibration": {"at": "2026-03-04T08:58:00Z", "barrier_fitted": True, "result": "passed"},
            }
        ],
        "readings": readings,
        **more,
    }


def with_target(made: dict[str, Any]) -> dict[str, Any]:
    mean = next(each for each in made["means"] if each["id"] == "mean-tooth-middle")
    target = {
        "id": "target",
        "specimen_id": "crown",
        "zone": "middle",
        "source_kind": "measured-tooth",
        "source_id": mean["id"],
        "colour": {**mean["colour"], "origin": "copied"},
    }
    return {**made, "targets": [target]}


def errors(made: dict[str, Any]) -> list[tuple[str, str]]:
    report = check(dumps(made))
    assert not [each for each in report.rules_not_run or () if each.reason == "failed"]
    return [(each.code, each.pointer) for each in report.findings or () if each.severity == "error"]


def hundredths(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(low, high).map(lambda n: n / 100)


LABS = st.tuples(hundredths(5000, 8500), hundredths(-300, 700), hundredths(400, 3000))


@given(st.lists(LABS, min_size=2, max_size=7), st.lists(LABS, min_size=2, max_size=7))
def test_what_is_derived_is_checked_clean_and_derived_once(tooth: list[Lab], crown: list[Lab]) -> None:
    first = derive(case(tooth, crown, tolerances=[TOLERANCE])).case
    whole = derive(with_target(first)).case
    assert errors(whole) == []
    assert derive(whole).added == {}
    assert [each["id"] for each in whole["verdicts"]] == ["verdict-crown-middle"]


@pytest.mark.parametrize("count", [2, 3, 7, 200])
def test_any_number_of_repeats_is_averaged(count: int) -> None:
    labs = [(74 + (n % 7) / 100, 1.5 - (n % 5) / 100, 16 + (n % 11) / 100) for n in range(count)]
    made = derive(case(labs, labs)).case
    mean = made["means"][0]
    for axis, name in enumerate("Lab"):
        column = [lab[axis] for lab in labs]
        assert mean["colour"]["lab"][name] == pytest.approx(statistics.fmean(column), abs=0.005)
        assert mean["spread"][f"var_{name}"] == pytest.approx(statistics.variance(column), abs=0.00005)
    centre = tuple(statistics.fmean(lab[axis] for lab in labs) for axis in range(3))
    distances = [float(deltaE_ciede2000(lab, centre)) for lab in labs]
    assert mean["spread"]["mcdm"] == pytest.approx(statistics.fmean(distances), abs=0.00005)


def test_a_single_reading_has_no_mean() -> None:
    assert "means" not in derive(case([(74, 1, 16)], [(73, 1, 16)])).case


def test_withdrawn_readings_are_left_out() -> None:
    labs = [(74.0, 1.5, 16.0), (74.1, 1.5, 16.0), (80.0, 1.5, 16.0)]
    made = case(labs, labs, withdrawals=[{"id": "w", "entry_id": "reading-3", "reason": "moved"}])
    assert derive(made).case["means"][0]["reading_ids"] == ["reading-1", "reading-2"]


def test_what_was_there_stays_to_the_byte() -> None:
    before = case([(74, 1, 16), (74.1, 1, 16)], [(73, 1, 16), (73, 1.1, 16)], extensions={"org.example.x": {"n": None}})
    kept = copy.deepcopy(before)
    after = derive(before).case
    assert before == kept
    assert {name: after[name] for name in before} == before


def test_earlier_revisions_are_untouched() -> None:
    whole = json.loads((EXAMPLES / "front-crown.shade.json").read_bytes())
    spectrum = whole["readings"][0]["spectrum"]
    assert spectrum
    done = derive(whole)
    assert digest(as_it_was(done.case, "clinic-1")) == whole["revisions"][1]["parents"][0]["sha256"]
    assert errors(done.case) == []


def test_a_colour_computed_later_is_an_entry_of_its_own() -> None:
    made = json.loads((EXAMPLES / "front-crown.shade.json").read_bytes())
    for each in made["readings"]:
        each["colours"] = [colour for colour in each["colours"] if colour["origin"] != "computed"]
    made["revisions"][1]["parents"][0]["sha256"] = digest(as_it_was(made, "clinic-1"))
    done = derive(made, Request(illuminant="A", observer="10-degree")).case
    (later,) = done["computed_colours"]
    assert (later["reading_id"], later["revision_id"]) == ("reading-1", "lab-1")
    assert errors(done) == []


@pytest.mark.usefixtures("quiet")
def test_computed_colours_agree_with_an_independent_library(colour_science: Any) -> None:
    """ASTM E308 by colour-science, which interpolates 20 nm data differently: hence 0.05 for this grid."""
    made = json.loads((EXAMPLES / "front-crown.shade.json").read_bytes())
    reading = made["readings"][0]
    spectrum = reading["spectrum"]
    grid = [spectrum["start_nm"] + spectrum["step_nm"] * n for n in range(len(spectrum["values"]))]
    distribution = colour_science.SpectralDistribution(dict(zip(grid, spectrum["values"], strict=True)))
    observer = colour_science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = colour_science.SDS_ILLUMINANTS["D65"]
    xyz = colour_science.sd_to_XYZ(distribution, observer, light, method="ASTM E308")
    white = colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    right = colour_science.XYZ_to_Lab(xyz / 100, white)
    computed = next(each for each in reading["colours"] if each["origin"] == "computed")
    assert list(computed["lab"].values()) == pytest.approx(list(right), abs=0.05)


def test_the_nearest_reference_is_the_nearest() -> None:
    members = {"one": (74.0, 1.0, 15.0), "two": (70.0, 2.0, 20.0), "three": (74.3, 1.4, 15.8)}
    references = [
        {
            "id": name,
            "label": name,
            "colour": {**BASIS, "decimals": 1, "origin": "copied", "lab": dict(zip("Lab", lab, strict=True))},
        }
        for name, lab in members.items()
    ]
    sets = [{"id": "set", "title": "invented", "extract": False, "references": references}]
    made = derive(case([(74.1, 1.2, 15.5)] * 3, [(60, 5, 30)] * 3, reference_sets=sets, tolerances=[TOLERANCE])).case
    match, far = made["matches"]
    sizes = {name: float(deltaE_ciede2000((74.1, 1.2, 15.5), lab)) for name, lab in members.items()}
    first, second = sorted(sizes, key=lambda name: sizes[name])[:2]
    assert (match["nearest_id"], match["runner_up_id"]) == (first, second)
    assert match["nearest_difference"] == pytest.approx(sizes[first], abs=0.005)
    assert (match["conclusion"], far["conclusion"]) == ("close", "none-close")


def judged(tooth: list[Lab], crown: list[Lab], change: Any = None, **request: Any) -> dict[str, Any]:
    made = with_target(derive(case(tooth, crown, tolerances=[TOLERANCE])).case)
    if change is not None:
        change(made)
    done = derive(made, Request(**request)).case
    assert errors(done) == []
    verdict: dict[str, Any] = done["verdicts"][0]
    return verdict


REPEATS: list[Lab] = [(74.0, 1.5, 16.0), (74.1, 1.4, 16.1), (73.9, 1.5, 15.9)]


def moved(by: float) -> list[Lab]:
    return [(L - by, a, b) for L, a, b in REPEATS]


@pytest.mark.parametrize(
    ("by", "decision"),
    [
        (0.0, "conforms"),
        (1.5, "conforms"),
        (2.3, "conditionally-conforms"),
        (2.6, "conditionally-fails"),
        (6.0, "does-not-conform"),
    ],
)
def test_decisions_follow_the_four_steps(by: float, decision: str) -> None:
    assert judged(REPEATS, moved(by), components={"repositioning": 0.1})["decision"] == decision


def test_too_few_repeats_leave_nothing_to_guard_with() -> None:
    verdict = judged(REPEATS[:2], moved(1)[:2])
    assert (verdict["decision"], verdict["obstacles"]) == ("cannot-be-compared", ["uncertainty-missing"])


def test_a_dry_tooth_cannot_be_compared_with_a_moist_one() -> None:
    def dry(made: dict[str, Any]) -> None:
        made["specimens"][1]["kind"] = "tooth"
        for each in made["readings"]:
            if each["specimen_id"] == "crown":
                each["hydration"] = "dry"
                each.pop("state")

    assert judged(REPEATS, moved(1), dry)["obstacles"] == ["hydration-differs"]


def test_another_instrument_needs_its_component() -> None:
    def apart(made: dict[str, Any]) -> None:
        made["instruments"].append({"id": "other", "kind": "spectrophotometer", "geometry": "45:0"})
        made["sessions"].append({**made["sessions"][0], "id": "session-2", "instrument_id": "other"})
        for each in made["readings"]:
            if each["specimen_id"] == "crown":
                each["session_id"] = "session-2"

    assert judged(REPEATS, moved(1), apart)["obstacles"] == ["instruments-unbridged"]
    assert judged(REPEATS, moved(1), apart, components={"inter-instrument": 0.2})["decision"] == "conforms"


def test_several_tolerances_leave_the_verdict_to_the_parties() -> None:
    both = [TOLERANCE, {**TOLERANCE, "id": "tolerance-2", "limit": 3}]
    made = with_target(derive(case(REPEATS, moved(1), tolerances=both)).case)
    done = derive(made)
    assert "verdicts" not in done.case
    assert ("verdict", "several tolerances fit") in [(each.what, each.reason) for each in done.left]


def test_a_revision_carries_what_is_derived_in_it() -> None:
    made = add_revision(case(REPEATS, moved(1)), {"id": "first", "at": "2026-03-04T10:00:00Z"}, {})
    later = add_revision(made, {"id": "second", "at": "2026-03-05T10:00:00Z"}, {})
    done = derive(later).case
    assert {each["revision_id"] for each in done["means"]} == {"second"}
    assert errors(done) == []
