"""Quality control of invented discs at a bench: CIELAB only, the simple rule, no persons, no revisions."""

from typing import Final

from generating.colours import Triple, from_xyz, to_xyz
from generating.documents import STOCK, embedded_set
from generating.entries import ONES, Entry, comparison, lab_colour, mean, uncertainty
from generating.writing import Value

DISCS: Final[dict[str, list[Triple]]] = {
    "one": [(79.62, 0.26, 13.34), (79.57, 0.24, 13.4), (79.66, 0.27, 13.29)],
    "two": [(78.41, 0.61, 14.7), (78.36, 0.63, 14.77), (78.45, 0.6, 14.66)],
}
RING: Final[list[Triple]] = [(78.12, 0.31, 13.82), (78.06, 0.33, 13.9), (78.19, 0.3, 13.77)]
"""Disc one under the other geometry."""

PATCH: Final[Triple] = (88.1, -0.42, 3.05)


def bench() -> Value:
    """The case."""
    one, two = (_readings(f"disc-{name}", "bench-day", f"{name}-sphere", labs) for name, labs in DISCS.items())
    ring = _readings("disc-one", "ring-day", "one-ring", RING)
    _state_xyz(one[0])
    means = [mean("mean-one", one, "CIELAB"), mean("mean-two", two, "CIELAB"), mean("mean-ring", ring, "CIELAB")]
    stock = embedded_set("stock", STOCK, extract=False)
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:f95a3c70-e1d8-4b26-8c4f-60b7d2e913a5",
        "parties": [{"id": "lab-rushes", "role": "laboratory"}, {"id": "mill-tarn", "role": "milling-centre"}],
        "instruments": _INSTRUMENTS,
        "specimens": _SPECIMENS,
        "sessions": [_session("bench-day", "bench-sphere", "07:50"), _session("ring-day", "bench-ring", "13:25")],
        "readings": [_patch_reading(), *one, *two, *ring],
        "means": means,
        "reference_sets": [stock],
        "tolerances": [_TOLERANCE],
        "comparisons": _comparisons(stock["references"][0], means),
        "verdicts": _VERDICTS,
        "dispositions": [
            {"id": "take-one", "specimen_id": "disc-one", "verdict_ids": ["verdict-one"], "action": "accept"},
            {"id": "return-two", "specimen_id": "disc-two", "verdict_ids": ["verdict-two"], "action": "reject"},
        ],
    }


_INSTRUMENTS: Final = [
    {"id": "bench-sphere", "kind": "spectrophotometer", "geometry": "d:8", "specular": "included", "aperture_mm": 8},
    {"id": "bench-ring", "kind": "spectrophotometer", "geometry": "45:0", "aperture_mm": 8},
]

_SPECIMENS: Final = [
    {"id": "patch-ivory", "kind": "check-patch"},
    {"id": "disc-one", "kind": "material-disc", "reference_id": "blank-quenly"},
    {"id": "disc-two", "kind": "material-disc", "reference_id": "blank-quenly"},
]

_TOLERANCE: Final = {
    "id": "tolerance-blanks",
    "formula": "CIELAB",
    **ONES,
    "tissue": "material",
    "agreed_by_ids": ["lab-rushes", "mill-tarn"],
    "agreed_at": "2026-01-08",
    "question": "quality-control",
    "limit": 1.2,
    "decision_rule": "simple",
}

_VERDICTS: Final = [
    {"id": "verdict-one", "comparison_id": "check-one", "tolerance_id": "tolerance-blanks", "decision": "conforms"},
    {
        "id": "verdict-two",
        "comparison_id": "check-two",
        "tolerance_id": "tolerance-blanks",
        "decision": "does-not-conform",
    },
    {
        "id": "verdict-ring",
        "comparison_id": "check-ring",
        "tolerance_id": "tolerance-blanks",
        "decision": "cannot-be-compared",
        "obstacles": ["geometry-differs"],
    },
]


def _session(entry_id: str, instrument_id: str, clock: str) -> Entry:
    hour, minute = clock.split(":")
    calibration = {"at": f"2026-02-11T{hour}:{int(minute) - 5:02}Z", "result": "passed"}
    return {
        "id": entry_id,
        "instrument_id": instrument_id,
        "started": f"2026-02-11T{clock}Z",
        "calibration": calibration,
    }


def _readings(specimen_id: str, session_id: str, name: str, labs: list[Triple]) -> list[Entry]:
    return [
        {
            "id": f"{name}-{place}",
            "session_id": session_id,
            "specimen_id": specimen_id,
            "zone": "whole",
            "repositioned": True,
            "backing": "white",
            "colours": [lab_colour(lab)],
        }
        for place, lab in enumerate(labs, start=1)
    ]


def _state_xyz(reading: Entry) -> None:
    """Give the reading's colour the tristimulus values that belong to it."""
    colour = reading["colours"][0]
    xyz = tuple(round(value, 2) for value in to_xyz(tuple(colour["lab"].values()), "D65", "2-degree"))
    colour["xyz"] = dict(zip("XYZ", xyz, strict=True))
    colour["lab"] = {name: round(value, 2) for name, value in zip("Lab", from_xyz(xyz, "D65", "2-degree"), strict=True)}


def _patch_reading() -> Entry:
    head = {"id": "patch-1", "session_id": "bench-day", "specimen_id": "patch-ivory", "zone": "whole"}
    return {**head, "role": "check-patch", "colours": [lab_colour(PATCH)]}


def _comparisons(reference: Entry, means: list[Entry]) -> list[Entry]:
    one, two, ring = ((each["id"], each["colour"]) for each in means)
    standard = (reference["id"], reference["colour"])
    found = [
        comparison("check-one", "quality-control", (standard, one), "CIELAB"),
        comparison("check-two", "quality-control", (standard, two), "CIELAB"),
        comparison("check-ring", "quality-control", (one, ring), "CIELAB"),
    ]
    for each in found[:2]:
        each["uncertainty"] = uncertainty(repeatability=0.05, reference=0.12)
    return found
