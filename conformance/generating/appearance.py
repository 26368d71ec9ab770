"""How a disc lets light through, how white it is, and a bridge between two instruments; nothing is judged."""

from typing import Final

from generating.colours import Triple, difference, to_xyz
from generating.entries import ONES, Entry, dental_whiteness, lab_colour, lab_stated, yellowness
from generating.writing import Value

OVER: Final[dict[str, Triple]] = {"white": (81.24, 0.31, 12.06), "black": (72.15, -0.88, 6.42)}
PATCHES: Final[dict[str, tuple[Triple, Triple]]] = {
    "pale": ((79.1, 0.62, 13.4), (79.55, 0.5, 13.02)),
    "deep": ((66.84, 4.11, 24.3), (67.31, 3.95, 23.74)),
}
"""Each patch as the first and as the second instrument reads it; invented."""


def appearance() -> Value:
    """The case."""
    over = [_over(name, lab) for name, lab in OVER.items()]
    patches = [reading for name, labs in PATCHES.items() for reading in _patch(name, labs)]
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:a04be6c9-7d13-4f58-92e7-0b6d8c3f15a4",
        "parties": [{"id": "lab-rushes", "role": "laboratory"}],
        "instruments": [
            {"id": "bench-sphere", "kind": "spectrophotometer", "geometry": "d:8", "specular": "included"},
            {"id": "bench-ring", "kind": "spectrophotometer", "geometry": "45:0"},
        ],
        "specimens": [
            {"id": "disc", "kind": "material-disc"},
            {"id": "patch-pale", "kind": "check-patch"},
            {"id": "patch-deep", "kind": "check-patch"},
        ],
        "backings": [
            {
                "id": "tile-white",
                "kind": "white",
                "colour": lab_colour((95.1, -0.2, 0.9)),
                "label": "tile of the house",
            },
            {"id": "tile-black", "kind": "black", "colour": lab_colour((5.3, 0.1, -0.2)), "label": "trap"},
        ],
        "sessions": [_session("sphere-day", "bench-sphere"), _session("ring-day", "bench-ring")],
        "readings": [*over, *patches],
        "bridges": [_bridge(patches)],
        "indices": [_index("WI_D", over[0]), _index("YI-E313", over[0])],
        "translucencies": [_translucency(*over)],
    }


def _session(entry_id: str, instrument_id: str) -> Entry:
    head = {"id": entry_id, "instrument_id": instrument_id, "started": "2026-06-03T10:20"}
    return {**head, "calibration": {"at": "2026-06-03T10:12", "result": "passed"}}


def _over(name: str, lab: Triple) -> Entry:
    head = {"id": f"over-{name}", "session_id": "sphere-day", "specimen_id": "disc", "zone": "middle"}
    return {**head, "backing": name, "backing_id": f"tile-{name}", "colours": [lab_colour(lab)]}


def _patch(name: str, labs: tuple[Triple, Triple]) -> list[Entry]:
    return [
        {
            "id": f"{name}-{way}",
            "session_id": f"{way}-day",
            "specimen_id": f"patch-{name}",
            "zone": "whole",
            "role": "check-patch",
            "colours": [lab_colour(lab)],
        }
        for way, lab in zip(("sphere", "ring"), labs, strict=True)
    ]


def _bridge(patches: list[Entry]) -> Entry:
    first, second = ([lab_stated(each["colours"][0]) for each in patches[way::2]] for way in (0, 1))
    pairs = [
        {"first_id": one["id"], "second_id": two["id"]} for one, two in zip(patches[::2], patches[1::2], strict=True)
    ]
    moved = [[two - one for one, two in zip(*labs, strict=True)] for labs in zip(first, second, strict=True)]
    offset = {
        name: round(sum(values) / len(values), 3) for name, values in zip("Lab", zip(*moved, strict=True), strict=True)
    }
    return {
        "id": "sphere-to-ring",
        "first_instrument_id": "bench-sphere",
        "second_instrument_id": "bench-ring",
        "made_at": "2026-06-03",
        "party_id": "lab-rushes",
        "tooth_like": True,
        "illuminant": "D65",
        "observer": "2-degree",
        "pairs": pairs,
        "decimals": 3,
        "offset": offset,
    }


def _index(index: str, reading: Entry) -> Entry:
    lab = lab_stated(reading["colours"][0])
    value = dental_whiteness(lab) if index == "WI_D" else yellowness(to_xyz(lab, "D65", "2-degree"))
    head = {"id": f"index-{index.lower().replace('_', '-')}", "of_id": reading["id"]}
    basis = {"illuminant": "D65", "observer": "2-degree", "index": index}
    return {**head, **basis, "decimals": 2, "value": round(value, 2)}


def _translucency(white: Entry, black: Entry) -> Entry:
    labs = [lab_stated(each["colours"][0]) for each in (white, black)]
    luminance = [to_xyz(lab, "D65", "2-degree")[1] for lab in labs]
    return {
        "id": "through-disc",
        "over_white_id": white["id"],
        "over_black_id": black["id"],
        "illuminant": "D65",
        "observer": "2-degree",
        "thickness_mm": 1,
        "formula": "CIEDE2000",
        **ONES,
        "decimals": 3,
        "difference": round(difference("CIEDE2000", *labs), 3),
        "contrast_ratio": round(luminance[1] / luminance[0], 3),
    }
