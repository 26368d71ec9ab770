"""Two crowns side by side: a remake, judged one by one and together, sent out, tried in and accepted."""

from typing import Final

from generating.colours import Triple
from generating.entries import ONES, Entry, comparison, lab_colour, mean, uncertainty
from generating.writing import Value

LABS: Final[dict[str, list[Triple]]] = {
    "11": [(75.92, 0.71, 13.88), (76.03, 0.68, 13.77), (75.84, 0.74, 13.95)],
    "21": [(75.31, 0.83, 14.62), (75.24, 0.86, 14.7), (75.4, 0.81, 14.53)],
}
GOALS: Final[dict[str, Triple]] = {"11": (76.2, 0.6, 13.4), "21": (76.2, 0.6, 13.4)}
DECISIONS: Final = {"11": "conforms", "21": "conditionally-conforms", "between": "conforms"}


def pair() -> Value:
    """The case."""
    readings = {tooth: _readings(tooth, labs) for tooth, labs in LABS.items()}
    means = {tooth: mean(f"mean-{tooth}", each) for tooth, each in readings.items()}
    targets = {tooth: _target(tooth, goal) for tooth, goal in GOALS.items()}
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:c8e15f02-4b7a-4d93-a6f1-2e90d7b3586c",
        "parties": [{"id": "clinic-heron", "role": "clinic"}, {"id": "lab-rushes", "role": "laboratory"}],
        "relations": [{"id": "second-try", "relation": "remake-of", "other": {"on_paper": True}, "note": "too grey"}],
        "instruments": [{"id": "bench-spectro", "kind": "spectrophotometer", "geometry": "45:0"}],
        "specimens": [
            {"id": f"crown-{tooth}", "kind": "restoration", "tooth": tooth, "support": "tooth"} for tooth in LABS
        ],
        "groups": [{"id": "centrals", "kind": "symmetrical-pair", "specimen_ids": ["crown-11", "crown-21"]}],
        "prescriptions": [_prescription(tooth) for tooth in LABS],
        "sessions": [_SESSION],
        "readings": [each for group in readings.values() for each in group],
        "means": list(means.values()),
        "targets": list(targets.values()),
        "tolerances": [_TOLERANCE],
        "comparisons": _comparisons(means, targets),
        "verdicts": [_verdict(name) for name in DECISIONS],
        "conclusions": [_CONCLUSION],
        "events": _EVENTS,
        "attachments": [_PHOTO],
    }


_SESSION: Final = {
    "id": "bench-visit",
    "instrument_id": "bench-spectro",
    "started": "2026-03-19T11:00:00Z",
    "calibration": {"at": "2026-03-19T10:52:00Z", "result": "passed"},
}

_TOLERANCE: Final = {
    "id": "tolerance-front",
    "formula": "CIEDE2000",
    **ONES,
    "tissue": "tooth",
    "source": "Paravina et al. 2015, J Esthet Restor Dent 27 Suppl 1: 1.8 for half of the observers",
    "region": "front teeth",
    "limit": 1.2,
    "decision_rule": "four-way-guarded",
    "coverage_factor": 2,
}

_CONCLUSION: Final = {
    "id": "together",
    "group_id": "centrals",
    "verdict_ids": [f"verdict-{name}" for name in DECISIONS],
    "decision": "conditionally-conforms",
}

_EVENTS: Final = [
    {"id": "sent", "kind": "dispatched", "at": "2026-03-20T15:00:00Z", "party_id": "lab-rushes"},
    {
        "id": "tried",
        "kind": "tried-in",
        "at": "2026-03-24T09:30:00Z",
        "party_id": "clinic-heron",
        "by_role": "prescriber",
    },
    {"id": "liked", "kind": "acceptance", "at": "2026-03-24T09:50:00Z", "by_role": "patient"},
    {"id": "done", "kind": "closed", "at": "2026-03-31T12:00:00Z", "party_id": "clinic-heron"},
]

_PHOTO: Final = {
    "id": "photo-front",
    "path": "photos/front.tif",
    "media_type": "image/tiff",
    "use": ["colour", "shape"],
    "processing": "raw",
    "shows": ["teeth", "work"],
    "size_bytes": 512000,
    "sha256": "40d7c1e59b2fa836045d1b7c8e92f3a6d5074c8b1e3f9a2067c4d8e5b1f03a79",
}


def _prescription(tooth: str) -> Entry:
    layers = [{"material": "opaque core", "thickness_mm": 0.6}, {"material": "clear edge", "thickness_mm": 0.5}]
    head = {"id": f"order-{tooth}", "specimen_id": f"crown-{tooth}", "restoration": "crown"}
    return {**head, "material_class": "zirconia", "thickness_mm": 1.1, "layers": layers}


def _readings(tooth: str, labs: list[Triple]) -> list[Entry]:
    return [
        {
            "id": f"crown-{tooth}-{place}",
            "session_id": "bench-visit",
            "specimen_id": f"crown-{tooth}",
            "zone": "middle",
            "repositioned": True,
            "state": "glazed",
            "colours": [lab_colour(lab)],
        }
        for place, lab in enumerate(labs, start=1)
    ]


def _target(tooth: str, lab: Triple) -> Entry:
    head = {"id": f"goal-{tooth}", "specimen_id": f"crown-{tooth}", "zone": "middle"}
    set_at = {"source_kind": "agreed-with-patient", "set_at": "2026-03-02T08:00:00Z"}
    return {**head, **set_at, "colour": lab_colour(lab, "typed", decimals=1)}


def _comparisons(means: dict[str, Entry], targets: dict[str, Entry]) -> list[Entry]:
    found = []
    for tooth, trial in means.items():
        sides = (targets[tooth]["id"], targets[tooth]["colour"]), (trial["id"], trial["colour"])
        found.append(comparison(f"match-{tooth}", "match", sides, "CIEDE2000"))
    one, other = means.values()
    sides = (one["id"], one["colour"]), (other["id"], other["colour"])
    found.append(comparison("match-between", "symmetry", sides, "CIEDE2000"))
    return [{**each, "uncertainty": uncertainty(repeatability=0.06, repositioning=0.1)} for each in found]


def _verdict(name: str) -> Entry:
    named = {"comparison_id": f"match-{name}", "tolerance_id": "tolerance-front"}
    return {"id": f"verdict-{name}", **named, "decision": DECISIONS[name]}
