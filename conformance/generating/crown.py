"""A front crown by two invented parties: read by a clinic, made, read and judged by a laboratory."""

from collections.abc import Sequence
from typing import Any, Final

from generating.crown_readings import (
    BENCH_SESSION,
    CHAIR_SESSION,
    CHOICE,
    DISPOSITION,
    EYE_SESSION,
    PHOTO,
    PRESCRIPTION,
    ZONES,
    computed_later,
    crown_readings,
    instrument,
    stump_reading,
    tooth_readings,
    withdrawn_reading,
)
from generating.documents import GUIDE, LIMITS, embedded_set, pinned
from generating.entries import (
    ONES,
    Entry,
    comparison,
    difference,
    lab_stated,
    mean,
    uncertainty,
)
from generating.writing import Value, digest_of

DECISIONS: Final = {"cervical": "conforms", "middle": "conditionally-conforms", "incisal": "conditionally-fails"}
"""What the four-way rule says of the three zones, read off the differences by hand."""

GRADES: Final = {"cervical": "up-to-perceptible", "middle": "up-to-acceptable", "incisal": "beyond-acceptable"}


def crown() -> Value:
    """The case in one revision."""
    chair, bench = _chair(), _bench()
    return _case("urn:uuid:5c1de3a4-7f0b-4c7e-9d25-61b0a8f3c2d4", chair, bench, [_RECORD])


def crown_by_two_parties() -> Value:
    """The same entries in two revisions, the second building on the first."""
    chair, bench = _chair(), _bench()
    case_id = "urn:uuid:b7a90c52-3e61-4d18-8f4c-2d7e95a1603b"
    before = _case(case_id, chair, {}, [_CHAIR])
    parents = [{"revision_id": "chair-1", "sha256": digest_of(before)}]
    later = {"id": "bench-1", "party_id": "lab-rushes", "at": "2026-01-26T15:20:00+01:00", "parents": parents}
    added = {name: [_of_revision(each, "bench-1") for each in entries] for name, entries in bench.items()}
    return _case(case_id, chair, added, [_CHAIR, {**later, "producer": {"name": "bench-writer", "version": "2.0"}}])


_RECORD: Final = {"id": "record-1", "party_id": "lab-rushes", "at": "2026-01-26T15:20:00+01:00"}
_CHAIR: Final = {"id": "chair-1", "party_id": "clinic-heron", "at": "2026-01-14T10:05:00+01:00"}


def _of_revision(entry: Entry, revision_id: str) -> Entry:
    return {"id": entry["id"], "revision_id": revision_id, **entry}


def _case(case_id: str, chair: dict[str, list[Entry]], bench: dict[str, list[Entry]], revisions: list[Entry]) -> Value:
    lists = {name: chair.get(name, []) + bench.get(name, []) for name in _ORDER}
    head: dict[str, Any] = {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": case_id,
        "privacy": {"status": "pseudonymised", "dates": "exact"},
        "subject": {"pseudonym": "w-Ltm-x9Rq", "issued_by_id": "clinic-heron"},
    }
    parties = lists.pop("parties")
    body = {name: entries for name, entries in lists.items() if entries}
    return {**head, "parties": parties, "revisions": revisions, **body, "extensions": {"org.example.oven": {"run": 41}}}


_ORDER: Final = (
    "parties",
    "instruments",
    "specimens",
    "prescriptions",
    "sessions",
    "readings",
    "computed_colours",
    "withdrawals",
    "means",
    "targets",
    "reference_sets",
    "matches",
    "tolerances",
    "comparisons",
    "verdicts",
    "dispositions",
    "attachments",
)


def _chair() -> dict[str, list[Entry]]:
    """What the clinic adds."""
    readings = tooth_readings()
    means = _means("tooth", readings)
    return {
        "parties": [
            {"id": "clinic-heron", "role": "clinic", "code": "heron-quay"},
            {"id": "lab-rushes", "role": "laboratory"},
        ],
        "instruments": [instrument("chair-spectro", "contact-spectrophotometer", 5)],
        "specimens": [
            {"id": "tooth-11", "kind": "tooth", "tooth": "11", "restored": False},
            {"id": "stump-21", "kind": "stump", "tooth": "21", "substrate": "dentine"},
            {"id": "crown-21", "kind": "restoration", "tooth": "21", "support": "tooth"},
        ],
        "prescriptions": [PRESCRIPTION],
        "sessions": [CHAIR_SESSION, EYE_SESSION],
        "readings": [*readings, withdrawn_reading(), stump_reading(), CHOICE],
        "withdrawals": [{"id": "slip", "entry_id": "tooth-cervical-4", "reason": "moved", "note": "lip came between"}],
        "means": means,
        "targets": [_target(zone, each) for zone, each in zip(ZONES, means, strict=True)],
        "reference_sets": [embedded_set("guide-ladder", GUIDE, extract=False)],
        "matches": _matches(means),
        "tolerances": [_tolerance()],
        "attachments": [PHOTO],
    }


def _bench() -> dict[str, list[Entry]]:
    """What the laboratory adds."""
    tooth = tooth_readings()
    means = _means("crown", readings := crown_readings())
    targets = [_target(zone, each) for zone, each in zip(ZONES, _means("tooth", tooth), strict=True)]
    comparisons = [_comparison(zone, target, trial) for zone, target, trial in zip(ZONES, targets, means, strict=True)]
    return {
        "instruments": [instrument("bench-spectro", "spectrophotometer", 4)],
        "sessions": [BENCH_SESSION],
        "readings": readings,
        "computed_colours": [computed_later(tooth[3])],
        "means": means,
        "comparisons": comparisons,
        "verdicts": [_verdict(zone) for zone in ZONES],
        "dispositions": [DISPOSITION],
    }


def _means(name: str, readings: Sequence[Entry]) -> list[Entry]:
    return [mean(f"mean-{name}-{zone}", [each for each in readings if each["zone"] == zone]) for zone in ZONES]


def _target(zone: str, source: Entry) -> Entry:
    return {
        "id": f"target-{zone}",
        "specimen_id": "crown-21",
        "zone": zone,
        "source_kind": "measured-tooth",
        "source_id": source["id"],
        "set_at": "2026-01-14T10:00:00+01:00",
        "set_by_id": "clinic-heron",
        "colour": {**source["colour"], "origin": "copied"},
    }


def _matches(means: Sequence[Entry]) -> list[Entry]:
    """Nearest and second nearest reference of the cervical and the middle third."""
    found = []
    for each in means[:2]:
        distances = sorted(
            (difference("CIEDE2000", lab_stated(each["colour"]), lab_stated(reference["colour"])), reference["id"])
            for reference in GUIDE["references"]
        )
        nearest, second = (round(size, 2) for size, _ in distances[:2])
        found.append(
            {
                "id": f"match-{each['id'].rpartition('-')[2]}",
                "of_id": each["id"],
                "reference_set_id": "guide-ladder",
                "illuminant": "D65",
                "observer": "2-degree",
                "formula": "CIEDE2000",
                **ONES,
                "decimals": 2,
                "nearest_id": distances[0][1],
                "nearest_difference": nearest,
                "runner_up_id": distances[1][1],
                "runner_up_difference": second,
                "close_up_to": 1.8,
                "conclusion": "close" if nearest <= 1.8 else "none-close",
            }
        )
    return found


def _tolerance() -> Entry:
    content = {name: item for name, item in LIMITS.items() if name not in ("format", "version", "kind", "id")}
    title = content.pop("title")
    agreed = {"agreed_by_ids": ["clinic-heron", "lab-rushes"], "agreed_at": "2025-11-03"}
    split = list(content).index("tissue") + 1
    before, after = list(content.items())[:split], list(content.items())[split:]
    order = {**dict(before), "document": pinned(LIMITS), "source": content["source"], **agreed, **dict(after)}
    return {"id": "tolerance-front", "title": title, **order}


def _comparison(zone: str, target: Entry, trial: Entry) -> Entry:
    sides = (target["id"], target["colour"]), (trial["id"], trial["colour"])
    made = comparison(f"comparison-{zone}", "match", sides, "CIEDE2000")
    return {**made, "uncertainty": uncertainty(repeatability=0.07, inter_instrument=0.24)}


def _verdict(zone: str) -> Entry:
    named = {"comparison_id": f"comparison-{zone}", "tolerance_id": "tolerance-front"}
    return {"id": f"verdict-{zone}", **named, "grade": GRADES[zone], "decision": DECISIONS[zone]}
