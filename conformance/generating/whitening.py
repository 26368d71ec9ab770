"""A whitening course: an untreated control, events, whiteness at each visit, effects at the end and after settling."""

from typing import Any, Final

from generating.colours import Triple
from generating.entries import Entry, comparison, dental_whiteness, lab_colour, lab_stated, mean, uncertainty
from generating.writing import Value

TREATED: Final[dict[str, tuple[str, list[Triple]]]] = {
    "baseline": ("2026-04-07", [(71.35, 2.88, 20.94), (71.46, 2.83, 20.81), (71.28, 2.92, 21.06)]),
    "ended": ("2026-04-23", [(76.52, 0.94, 13.27), (76.61, 0.91, 13.16), (76.44, 0.97, 13.35)]),
    "settled": ("2026-05-21", [(75.7, 1.21, 14.42), (75.61, 1.25, 14.53), (75.79, 1.18, 14.34)]),
}
CONTROL: Final[dict[str, list[Triple]]] = {
    "baseline": [(69.42, 3.61, 22.47), (69.5, 3.57, 22.36), (69.37, 3.64, 22.55)],
    "ended": [(69.55, 3.56, 22.31), (69.47, 3.6, 22.4), (69.6, 3.54, 22.24)],
    "settled": [(69.38, 3.63, 22.5), (69.31, 3.66, 22.61), (69.46, 3.6, 22.42)],
}


def whitening() -> Value:
    """The case."""
    treated = {visit: _readings(visit, "treated", "tooth-31", labs) for visit, (_, labs) in TREATED.items()}
    control = {visit: _readings(visit, "control", "tooth-35", labs) for visit, labs in CONTROL.items()}
    means = [mean(f"mean-treated-{visit}", readings) for visit, readings in treated.items()]
    means += [mean(f"mean-control-{visit}", readings) for visit, readings in control.items()]
    indices = [_index(visit, each) for visit, each in zip(TREATED, means, strict=False)]
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:3f7c02d8-91b5-4a6e-8d40-c7e5a1f9b263",
        "instruments": [{"id": "chair-meter", "kind": "colorimeter", "geometry": "45:0", "aperture_mm": 3}],
        "specimens": [
            {"id": "tooth-31", "kind": "tooth", "tooth": "31"},
            {"id": "tooth-35", "kind": "tooth", "tooth": "35"},
        ],
        "sessions": [_session(visit, day) for visit, (day, _) in TREATED.items()],
        "readings": [each for lists in (treated, control) for readings in lists.values() for each in readings],
        "means": means,
        "indices": indices,
        "comparisons": [
            _change(visit, means[0], trial) for visit, trial in zip(("ended", "settled"), means[1:3], strict=True)
        ],
        "events": _EVENTS,
        "courses": [_COURSE],
        "effects": [
            _effect("ended", "end-of-treatment", 1, indices),
            _effect("settled", "after-settling", 29, indices),
        ],
    }


_EVENTS: Final = [
    {"id": "begun", "kind": "treatment-started", "at": "2026-04-07T10:00:00+02:00", "specimen_ids": ["tooth-31"]},
    {"id": "finished", "kind": "treatment-ended", "at": "2026-04-22T09:00:00+02:00", "specimen_ids": ["tooth-31"]},
]

_COURSE: Final = {
    "id": "course-lower",
    "specimen_ids": ["tooth-31"],
    "control_specimen_ids": ["tooth-35"],
    "event_ids": ["begun", "finished"],
    "note": "trays at night",
}


def _session(visit: str, day: str) -> Entry:
    head = {"id": f"visit-{visit}", "instrument_id": "chair-meter", "started": f"{day}T09:30:00+02:00"}
    calibration = {"at": f"{day}T09:26:00+02:00", "barrier_fitted": True, "result": "passed"}
    return {**head, "barrier_fitted": True, "calibration": calibration}


def _readings(visit: str, name: str, specimen_id: str, labs: list[Triple]) -> list[Entry]:
    role: dict[str, Any] = {"role": "control"} if name == "control" else {}
    return [
        {
            "id": f"{name}-{visit}-{place}",
            "session_id": f"visit-{visit}",
            "specimen_id": specimen_id,
            "zone": "middle",
            "repositioned": True,
            **role,
            "hydration": "moist",
            "colours": [lab_colour(lab)],
        }
        for place, lab in enumerate(labs, start=1)
    ]


def _index(visit: str, source: Entry) -> Entry:
    value = dental_whiteness(lab_stated(source["colour"]))
    head = {"id": f"whiteness-{visit}", "of_id": source["id"], "illuminant": "D65", "observer": "2-degree"}
    return {**head, "index": "WI_D", "decimals": 2, "value": round(value, 2)}


def _change(visit: str, standard: Entry, trial: Entry) -> Entry:
    sides = (standard["id"], standard["colour"]), (trial["id"], trial["colour"])
    made = comparison(f"change-{visit}", "change", sides, "CIEDE2000")
    return {**made, "uncertainty": uncertainty(repeatability=0.06, repositioning=0.1)}


def _effect(visit: str, moment: str, days: float, indices: list[Entry]) -> Entry:
    values = {each["id"]: each["value"] for each in indices}
    before, after = "whiteness-baseline", f"whiteness-{visit}"
    head = {"id": f"effect-{visit}", "course_id": "course-lower", "moment": moment, "days": days}
    named = {"comparison_id": f"change-{visit}", "index_before_id": before, "index_after_id": after}
    return {**head, **named, "decimals": 2, "change": round(values[after] - values[before], 2)}
