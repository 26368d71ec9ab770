"""What was read for the crown, with what, and what was ordered."""

from collections.abc import Sequence
from typing import Final

from generating.colours import Triple, from_spectrum, invented_spectrum
from generating.entries import Entry, full_colour, lab_colour, spectrum

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


def instrument(entry_id: str, kind: str, aperture_mm: float) -> Entry:
    optics = {"geometry": "45:0", "specular": "excluded", "aperture_mm": aperture_mm, "bandpass_nm": 10}
    return {"id": entry_id, "kind": kind, **optics}


PRESCRIPTION: Final = {
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

CHAIR_SESSION: Final = {
    "id": "chair-visit",
    "instrument_id": "chair-spectro",
    "party_id": "clinic-heron",
    "started": "2026-01-14T09:40:00+01:00",
    "barrier_fitted": True,
    "surface_cleaned": True,
    "calibration": {"at": "2026-01-14T09:37:30+01:00", "barrier_fitted": True, "result": "passed"},
}

EYE_SESSION: Final = {
    "id": "chair-eyes",
    "started": "2026-01-14T09:55:00+01:00",
    "observer_count": 2,
    "colour_vision_checked": "2025-05-12",
    "light": {
        "kind": "daylight-simulator",
        "colour_temperature_K": 6000,
        "rendering_index": 95,
        "illuminance_lx": 1500,
    },
}

BENCH_SESSION: Final = {
    "id": "bench-visit",
    "instrument_id": "bench-spectro",
    "party_id": "lab-rushes",
    "started": "2026-01-26T14:30:00+01:00",
    "barrier_fitted": False,
    "calibration": {"at": "2026-01-26T14:22:00+01:00", "barrier_fitted": False, "result": "passed"},
}

CHOICE: Final = {
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

PHOTO: Final = {
    "id": "photo-smile",
    "path": "photos/smile.jpg",
    "media_type": "image/jpeg",
    "use": ["shape", "characterisation"],
    "size_bytes": 240113,
    "sha256": "9f2c4d7be01a35868c7d0e9b4a1f6352d8e7c0b19a4f3d2e6b5c8a7091e2d3f4",
}

DISPOSITION: Final = {
    "id": "next-step",
    "specimen_id": "crown-21",
    "verdict_ids": [f"verdict-{zone}" for zone in ZONES],
    "party_id": "lab-rushes",
    "action": "rework",
    "note": "incisal third once more",
}


def tooth_readings() -> list[Entry]:
    mouth = {"hydration": "moist", "isolation": "lips-retracted", "minutes_since_isolation": 2}
    return _readings("tooth", "chair-visit", "tooth-11", mouth, TOOTH)


def crown_readings() -> list[Entry]:
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


def withdrawn_reading() -> Entry:
    head = {"id": "tooth-cervical-4", "session_id": "chair-visit", "specimen_id": "tooth-11", "zone": "cervical"}
    taken = {"order": 10, "repositioned": True, "hydration": "moist", "isolation": "lips-retracted"}
    return {**head, **taken, "colours": [lab_colour((71.7, 3.31, 20.92))]}


def stump_reading() -> Entry:
    head = {"id": "stump-middle-1", "session_id": "chair-visit", "specimen_id": "stump-21", "zone": "middle"}
    taken = {"at": "2026-01-14T09:52:00+01:00", "order": 11, "hydration": "moist", "isolation": "lips-retracted"}
    return {**head, **taken, "colours": [lab_colour((61.44, 5.37, 22.81))]}


def computed_later(reading: Entry) -> Entry:
    computed = from_spectrum(reading["spectrum"]["values"], "A", "10-degree")
    colour = lab_colour(computed.lab, "computed", basis="A 10-degree")
    return {"id": "computed-lamp", "reading_id": reading["id"], "colour": colour}
