"""A front crown by two invented parties: read by a clinic, made, read and judged by a laboratory."""

from collections.abc import Sequence
from typing import Any, Final

from generating.colours import Triple, from_spectrum, invented_spectrum
from generating.documents import GUIDE, LIMITS, embedded_set, pinned
from generating.entries import (
    COVERAGE,
    ONES,
    Entry,
    comparison,
    difference,
    full_colour,
    lab_colour,
    lab_stated,
    mean,
    spectrum,
    uncertainty,
)
from generating.writing import Value, digest_of

ZONES: Final = ("cervical", "middle", "incisal")

TOOTH: Final[dict[str, list[Triple]]] = {
    "cervical": [(72.41, 3.02, 20.36), (72.55, 2.96, 20.51), (72.33, 3.08, 20.28)],
    "incisal": [(76.12, 0.48, 11.87), (76.01, 0.52, 12.02), (76.2, 0.44, 11.79)],
}
CROWN: Final[dict[str, list[Triple]]] = {
    "cervical": [(72.97, 3.05, 19.71), (72.88, 3.11, 19.8), (73.02, 3.01, 19.66)],
    "incisal": [(74.21, 0.93, 13.62), (74.3, 0.9, 13.55), (74.14, 0.95, 13.71)],
}
SPECTRA: Final = {
    "tooth": [(0.23, 0.55, 490, 46, 0.02), (0.2305, 0.5492, 490, 46, 0.0202), (0.2294, 0.5508, 490.2, 46, 0.0199)],
    "crown": [(0.214, 0.517, 492, 42, 0.021), (0.2145, 0.5162, 492, 42, 0.0211), (0.2137, 0.5179, 491.9, 42, 0.021)],
}
"""Low and high end, middle and width of the rise, depth of the absorption; see `invented_spectrum`."""

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
    readings = _tooth_readings()
    means = _means("tooth", readings)
    return {
        "parties": [
            {"id": "clinic-heron", "role": "clinic", "code": "heron-quay"},
            {"id": "lab-rushes", "role": "laboratory"},
        ],
        "instruments": [_instrument("chair-spectro", "contact-spectrophotometer", 5)],
        "specimens": [
            {"id": "tooth-11", "kind": "tooth", "tooth": "11", "restored": False},
            {"id": "stump-21", "kind": "stump", "tooth": "21", "substrate": "dentine"},
            {"id": "crown-21", "kind": "restoration", "tooth": "21", "support": "tooth"},
        ],
        "prescriptions": [_PRESCRIPTION],
        "sessions": [_CHAIR_SESSION, _EYE_SESSION],
        "readings": [*readings, _withdrawn_reading(), _stump_reading(), _CHOICE],
        "withdrawals": [{"id": "slip", "entry_id": "tooth-cervical-4", "reason": "moved", "note": "lip came between"}],
        "means": means,
        "targets": [_target(zone, each) for zone, each in zip(ZONES, means, strict=True)],
        "reference_sets": [embedded_set("guide-ladder", GUIDE, extract=False)],
        "matches": _matches(means),
        "tolerances": [_tolerance()],
        "attachments": [_PHOTO],
    }


def _bench() -> dict[str, list[Entry]]:
    """What the laboratory adds."""
    tooth = _tooth_readings()
    means = _means("crown", readings := _crown_readings())
    targets = [_target(zone, each) for zone, each in zip(ZONES, _means("tooth", tooth), strict=True)]
    comparisons = [
        _comparison(zone, target, trial) for zone, target, trial in zip(ZONES, targets, means, strict=True)
    ]
    return {
        "instruments": [_instrument("bench-spectro", "spectrophotometer", 4)],
        "sessions": [_BENCH_SESSION],
        "readings": readings,
        "computed_colours": [_computed_later(tooth[3])],
        "means": means,
        "comparisons": comparisons,
        "verdicts": [_verdict(zone) for zone in ZONES],
        "dispositions": [_DISPOSITION],
    }


def _instrument(entry_id: str, kind: str, aperture_mm: float) -> Entry:
    optics = {"geometry": "45:0", "specular": "excluded", "aperture_mm": aperture_mm, "bandpass_nm": 10}
    return {"id": entry_id, "kind": kind, **optics}


_PRESCRIPTION: Final = {
    "id": "order-crown",
    "specimen_id": "crown-21",
    "restoration": "crown",
    "material_class": "glass-ceramic",
    "thickness_mm": 1.3,
    "stump_specimen_id": "stump-21",
    "due": "2026-01-30",
    "texture": "fine ripples across, half gloss",
    "attachment_ids": ["photo-smile"],
}

_CHAIR_SESSION: Final = {
    "id": "chair-visit",
    "instrument_id": "chair-spectro",
    "party_id": "clinic-heron",
    "started": "2026-01-14T09:40:00+01:00",
    "barrier_fitted": True,
    "surface_cleaned": True,
    "calibration": {"at": "2026-01-14T09:37:30+01:00", "barrier_fitted": True, "result": "passed"},
}

_EYE_SESSION: Final = {"id": "chair-eyes", "started": "2026-01-14T09:55:00+01:00", "observer_count": 2}

_BENCH_SESSION: Final = {
    "id": "bench-visit",
    "instrument_id": "bench-spectro",
    "party_id": "lab-rushes",
    "started": "2026-01-26T14:30:00+01:00",
    "barrier_fitted": False,
    "calibration": {"at": "2026-01-26T14:22:00+01:00", "barrier_fitted": False, "result": "passed"},
}

_CHOICE: Final = {
    "id": "choice-middle",
    "session_id": "chair-eyes",
    "specimen_id": "tooth-11",
    "zone": "middle",
    "hydration": "moist",
    "isolation": "lips-retracted",
    "visual": {
        "reference_set_id": "guide-ladder",
        "chosen_id": "ref-belmosk",
        "second_id": "ref-tovrin",
        "between": True,
        "sure": False,
    },
}

_PHOTO: Final = {
    "id": "photo-smile",
    "path": "photos/smile.jpg",
    "media_type": "image/jpeg",
    "use": ["shape", "characterisation"],
    "size_bytes": 240113,
    "sha256": "9f2c4d7be01a35868c7d0e9b4a1f6352d8e7c0b19a4f3d2e6b5c8a7091e2d3f4",
}

_DISPOSITION: Final = {
    "id": "next-step",
    "specimen_id": "crown-21",
    "verdict_ids": [f"verdict-{zone}" for zone in ZONES],
    "party_id": "lab-rushes",
    "action": "rework",
    "note": "incisal third once more",
}


def _tooth_readings() -> list[Entry]:
    mouth = {"hydration": "moist", "isolation": "lips-retracted", "minutes_since_isolation": 2}
    return _readings("tooth", "chair-visit", "tooth-11", mouth, TOOTH)


def _crown_readings() -> list[Entry]:
    bench = {"state": "glazed", "backing": "tooth-coloured"}
    return _readings("crown", "bench-visit", "crown-21", bench, CROWN)


def _readings(
    name: str, session_id: str, specimen_id: str, more: Entry, by_zone: dict[str, list[Triple]]
) -> list[Entry]:
    found = []
    for zone in ZONES:
        for repeat in range(1, 4):
            head = {"id": f"{name}-{zone}-{repeat}", "session_id": session_id, "specimen_id": specimen_id}
            taken = {"zone": zone, "order": len(found) + 1, "repositioned": True, **more}
            numbers = (
                _from_light(SPECTRA[name][repeat - 1], extra=repeat == 1 and name == "tooth")
                if zone == "middle"
                else {"colours": [lab_colour(by_zone[zone][repeat - 1])]}
            )
            found.append({**head, **taken, **numbers})
    return found


def _from_light(shape: Sequence[float], *, extra: bool) -> Entry:
    """A spectrum, what the instrument says of it, and for one reading what was computed for other bases."""
    values = invented_spectrum(*shape)
    colours = [lab_colour(from_spectrum(values, "D65", "2-degree").lab)]
    if extra:
        colours.append(full_colour(from_spectrum(values, "D65", "10-degree"), "computed", basis="D65 10-degree"))
        colours.append(full_colour(from_spectrum(values, "A", "2-degree"), "computed", basis="A 2-degree"))
    return {"spectrum": spectrum(values), "colours": colours}


def _withdrawn_reading() -> Entry:
    head = {"id": "tooth-cervical-4", "session_id": "chair-visit", "specimen_id": "tooth-11", "zone": "cervical"}
    taken = {"order": 10, "repositioned": True, "hydration": "moist", "isolation": "lips-retracted"}
    return {**head, **taken, "colours": [lab_colour((71.7, 3.31, 20.92))]}


def _stump_reading() -> Entry:
    head = {"id": "stump-middle-1", "session_id": "chair-visit", "specimen_id": "stump-21", "zone": "middle"}
    taken = {"at": "2026-01-14T09:52:00+01:00", "order": 11, "hydration": "moist", "isolation": "lips-retracted"}
    return {**head, **taken, "colours": [lab_colour((61.44, 5.37, 22.81))]}


def _computed_later(reading: Entry) -> Entry:
    computed = from_spectrum(reading["spectrum"]["values"], "A", "10-degree")
    colour = lab_colour(computed.lab, "computed", basis="A 10-degree")
    return {"id": "computed-lamp", "reading_id": reading["id"], "colour": colour}


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


assert COVERAGE == LIMITS["coverage_factor"]
