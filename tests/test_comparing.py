"""Two entries of a case compared outside a verdict: what keeps them from being judged, and what a ledger counts."""

import json
from pathlib import Path
from typing import Any

import pytest

from shadefmt.cli.main import main
from shadefmt.colour.formula import CIEDE2000
from shadefmt.comparing import ledger_of, obstacles_between, side_of_entry
from shadefmt.indexing import CaseView
from shadefmt.model.case import Case

CROWN = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples" / "front-crown.shade.json"
BASIS = ("D65", "2-degree")
MEANS = ("mean-tooth-12-middle", "mean-crown-22-middle")


@pytest.fixture
def case() -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(CROWN.read_bytes())
    return loaded


def view(case: dict[str, Any]) -> CaseView:
    return CaseView(Case.model_validate(case))


def bridged(case: dict[str, Any]) -> dict[str, Any]:
    """The case with a bridge between its two instruments."""
    bridge = {
        "id": "bridge-1",
        "first_instrument_id": "instrument-heron",
        "second_instrument_id": "instrument-dunlin",
        "illuminant": BASIS[0],
        "observer": BASIS[1],
        "pairs": [{"first_id": "reading-1", "second_id": "reading-6"}],
        "made_at": "2026-05-14T14:46:00+02:00",
        "tooth_like": True,
        "decimals": 2,
        "offset": {"L": 0.1, "a": 0.0, "b": 0.1},
    }
    return case | {"bridges": [bridge]}


def set_of_reading(case: dict[str, Any], reading_id: str, **members: str) -> None:
    next(each for each in case["readings"] if each["id"] == reading_id).update(members)


def dried(case: dict[str, Any]) -> None:
    set_of_reading(case, "reading-5", hydration="dry")


def of_another_zone(case: dict[str, Any]) -> None:
    set_of_reading(case, "reading-5", zone="cervical")


def of_another_geometry(case: dict[str, Any]) -> None:
    case["instruments"][1]["geometry"] = "d:8"


@pytest.mark.parametrize(
    ("change", "trial", "found"),
    [
        (dried, "reading-5", ["hydration-differs"]),
        (of_another_zone, "reading-5", ["zones-differ"]),
        (of_another_geometry, MEANS[1], ["geometry-differs", "instruments-unbridged"]),
        (lambda case: None, "reading-5", []),
    ],
)
def test_what_a_verdict_would_refuse_compare_refuses(
    case: dict[str, Any],
    change: Any,
    trial: str,
    found: list[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    change(case)
    for derived in ("comparisons", "verdicts", "conclusions", "dispositions"):
        case.pop(derived, None)
    path = tmp_path / "case.shade.json"
    path.write_text(json.dumps(case))
    assert main(["compare", "--case", str(path), MEANS[0], trial, "--limit", "50", "--format", "json"]) == 0
    row = json.loads(capsys.readouterr().out)
    assert row.get("obstacles", []) == found
    assert row["decision"] == ("cannot-be-compared" if found else "conforms")


def test_obstacles_depend_on_question_sources_and_bridges_that_count(case: dict[str, Any]) -> None:
    dried(case)
    assert obstacles_between(view(case), (MEANS[0], "reading-5"), BASIS, "handover") == []
    assert obstacles_between(view(case), MEANS, BASIS) == ["instruments-unbridged"]
    assert obstacles_between(view(case), MEANS, BASIS, sources=["inter-instrument"]) == []
    assert obstacles_between(view(case), (MEANS[0], "74,1,17"), BASIS) == []
    with_bridge = bridged(case)
    assert obstacles_between(view(with_bridge), MEANS, BASIS) == []
    with_bridge["withdrawals"] = [{"id": "gone", "entry_id": "bridge-1", "reason": "moved"}]
    assert obstacles_between(view(with_bridge), MEANS, BASIS) == ["instruments-unbridged"]


def test_a_ledger_counts_no_withdrawn_bridge(case: dict[str, Any]) -> None:
    def across(of: dict[str, Any]) -> bool:
        found = view(of)
        stations = [side_of_entry(found, each, *BASIS) for each in MEANS]
        told: bool = ledger_of(found, stations, CIEDE2000)["lines"][0]["across_instruments"]
        return told

    assert across(case)
    with_bridge = bridged(case)
    assert not across(with_bridge)
    with_bridge["withdrawals"] = [{"id": "gone", "entry_id": "bridge-1", "reason": "moved"}]
    assert across(with_bridge)
