"""Write schema/1.0/examples/front-crown.shade.json: a case small enough to read, two parties, two revisions.

What people and instruments state is written here by hand (invented); what follows from it comes from `derive`.
"""

import sys
from pathlib import Path
from typing import Any

from shadefmt import Request, add_revision, as_model, derive, dumps, load
from shadefmt.documents import embedded_tolerance, pin
from shadefmt.history import add_entries

FOLDER = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples"
TARGET = FOLDER / "front-crown.shade.json"

SPECTRUM = {
    "quantity": "reflectance-factor",
    "start_nm": 400,
    "step_nm": 20,
    "decimals": 4,
    "values": [
        0.2822,
        0.3016,
        0.3245,
        0.3505,
        0.3787,
        0.4076,
        0.4355,
        0.4609,
        0.4829,
        0.5009,
        0.5151,
        0.5259,
        0.534,
        0.5399,
        0.5441,
        0.5472,
    ],
}


def colour(L: float, a: float, b: float) -> dict[str, Any]:
    """Return a colour as an instrument states it."""
    return {
        "illuminant": "D65",
        "observer": "2-degree",
        "decimals": 2,
        "origin": "instrument",
        "lab": {"L": L, "a": a, "b": b},
    }


def tooth_reading(number: int, lab: tuple[float, float, float], **more: Any) -> dict[str, Any]:
    """Return a chairside reading of tooth 12, middle third."""
    return {
        "id": f"reading-{number}",
        "session_id": "session-chair",
        "specimen_id": "tooth-12",
        "zone": "middle",
        "order": number,
        "repositioned": True,
        "hydration": "moist",
        "isolation": "none",
        **more,
        "colours": [colour(*lab)],
    }


def crown_reading(number: int, lab: tuple[float, float, float]) -> dict[str, Any]:
    """Return a bench reading of the crown."""
    return {
        "id": f"reading-{number}",
        "session_id": "session-bench",
        "specimen_id": "crown-22",
        "zone": "middle",
        "order": number - 5,
        "repositioned": True,
        "state": "glazed",
        "backing": "black",
        "backing_id": "backing-tile",
        "colours": [colour(*lab)],
    }


CLINIC: dict[str, Any] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "case",
    "id": "urn:uuid:2f5b7c1e-90a4-4d38-8c6f-e1b3a7d04956",
    "privacy": {"status": "pseudonymised", "dates": "exact"},
    "subject": {"pseudonym": "hV3mQe", "issued_by_id": "clinic"},
    "parties": [{"id": "clinic", "role": "clinic", "code": "larch-lane"}, {"id": "lab", "role": "laboratory"}],
    "instruments": [
        {
            "id": "instrument-heron",
            "kind": "contact-spectrophotometer",
            "geometry": "0:45",
            "aperture_mm": 4.5,
            "bandpass_nm": 16,
        }
    ],
    "specimens": [
        {"id": "tooth-12", "kind": "tooth", "tooth": "12", "restored": False},
        {"id": "stump-22", "kind": "stump", "tooth": "22", "substrate": "dentine"},
        {"id": "crown-22", "kind": "restoration", "tooth": "22", "support": "tooth"},
    ],
    "prescriptions": [
        {
            "id": "order-1",
            "specimen_id": "crown-22",
            "restoration": "crown",
            "material_class": "glass-ceramic",
            "thickness_mm": 1.2,
            "stump_specimen_id": "stump-22",
            "layers": [
                {"material": "pressed core, low translucency", "thickness_mm": 0.7},
                {"material": "layered edge", "lot": "Tarn 4", "thickness_mm": 0.5},
            ],
            "due": "2026-05-20",
            "attachment_ids": ["photo-1"],
        }
    ],
    "sessions": [
        {
            "id": "session-chair",
            "instrument_id": "instrument-heron",
            "party_id": "clinic",
            "started": "2026-05-06T10:05:00+02:00",
            "barrier_fitted": True,
            "surface_cleaned": True,
            "calibration": {"at": "2026-05-06T10:02:40+02:00", "barrier_fitted": True, "result": "passed"},
        }
    ],
    "readings": [
        tooth_reading(1, (74.33, 0.66, 15.35), spectrum=SPECTRUM),
        tooth_reading(2, (74.24, 0.69, 15.49)),
        tooth_reading(3, (74.41, 0.61, 15.24)),
        tooth_reading(4, (73.26, 1.24, 16.29)),
        {
            **tooth_reading(5, (60.12, 5.31, 19.87)),
            "specimen_id": "stump-22",
        },
    ],
    "withdrawals": [{"id": "withdrawal-1", "entry_id": "reading-4", "reason": "moved", "note": "slid towards the gum"}],
    "reference_sets": [
        {
            "id": "guide-shingle-bank",
            "title": "Shingle Bank, an invented guide",
            "extract": True,
            "references": [],
        }
    ],
    "attachments": [
        {
            "id": "photo-1",
            "path": "photos/front.jpg",
            "media_type": "image/jpeg",
            "use": ["shape", "characterisation"],
            "processing": "camera-processed",
            "shows": ["teeth"],
            "consent": "yes",
            "size_bytes": 151876,
            "sha256": "5c1e0b8f3a6d47925e8b7f10c3d2a4968e7f5b6a1d0c9e8f7a6b5c4d3e2f1a0b",
        }
    ],
    "extensions": {"org.example.furnace": {"programme": "glaze-3"}},
}


def expected() -> bytes:
    """Return the example as it is to be written."""
    case = dict(CLINIC)
    guide = load(str(FOLDER / "guide.shade.json"))
    used = [each for each in guide["references"] if each["id"] in ("ref-moorel", "ref-tandry")]
    case["reference_sets"] = [{**CLINIC["reference_sets"][0], "document": pin(guide), "references": used}]
    tolerance = load(str(FOLDER / "tolerance.shade.json"))
    case["tolerances"] = [embedded_tolerance(tolerance, "tolerance-front", ["clinic", "lab"], "2026-04-20")]
    producer = {"name": "example-exporter", "version": "2.4"}
    revision = {"id": "clinic-1", "party_id": "clinic", "at": "2026-05-06T10:20:00+02:00", "producer": producer}
    case = derive(add_revision(case, revision, {})).case
    case = add_entries(case, {"targets": [_target(case["means"][0])]})
    return dumps(as_model(_laboratory(case)))


def _target(mean: dict[str, Any]) -> dict[str, Any]:
    return {
        "id": "target-middle",
        "specimen_id": "crown-22",
        "zone": "middle",
        "source_kind": "measured-tooth",
        "source_id": mean["id"],
        "model_specimen_id": "tooth-12",
        "model_reason": "same tooth on the other side",
        "set_at": "2026-05-06T10:15:00+02:00",
        "set_by_id": "clinic",
        "colour": {**mean["colour"], "origin": "copied"},
    }


def _laboratory(case: dict[str, Any]) -> dict[str, Any]:
    producer = {"name": "shadefmt", "version": "1.0.0"}
    revision = {"id": "lab-1", "party_id": "lab", "at": "2026-05-14T15:30:00+02:00", "producer": producer}
    additions: dict[str, list[dict[str, Any]]] = {
        "instruments": [
            {
                "id": "instrument-dunlin",
                "kind": "spectroradiometer",
                "geometry": "0:45",
                "aperture_mm": 3.5,
                "bandpass_nm": 6,
            }
        ],
        "backings": [
            {"id": "backing-tile", "kind": "black", "colour": colour(24.87, 0.21, -0.46), "label": "tile of the bench"}
        ],
        "sessions": [
            {
                "id": "session-bench",
                "instrument_id": "instrument-dunlin",
                "party_id": "lab",
                "started": "2026-05-14T14:50:00+02:00",
                "barrier_fitted": False,
                "calibration": {"at": "2026-05-14T14:45:00+02:00", "barrier_fitted": False, "result": "passed"},
            }
        ],
        "readings": [
            crown_reading(6, (73.22, 0.98, 16.41)),
            crown_reading(7, (73.15, 1.02, 16.49)),
            crown_reading(8, (73.27, 0.96, 16.38)),
        ],
    }
    request = Request(components={"inter-instrument": 0.25})
    done = derive(add_revision(case, revision, additions), request).case
    return add_entries(done, {name: [{"revision_id": "lab-1", **each}] for name, each in _decided(done).items()})


def _decided(done: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return what the laboratory adds after the verdict: one entry for each list."""
    verdict = done["verdicts"][0]
    about = {"specimen_id": "crown-22", "verdict_ids": [verdict["id"]]}
    sent = {"kind": "dispatched", "at": "2026-05-14T15:25:00+02:00", "party_id": "lab", "specimen_ids": ["crown-22"]}
    disposition = {"id": "disposition-1", **about, "party_id": "lab", "action": "release", "note": "try-in asked for"}
    return {
        "conclusions": {"id": "conclusion-crown-22", **about, "decision": verdict["decision"]},
        "events": {"id": "event-dispatch", **sent, "state": "glazed"},
        "dispositions": disposition,
    }


def main() -> int:
    """Write the example; with --check only say whether it is fresh."""
    fresh = TARGET.is_file() and TARGET.read_bytes() == expected()
    if "--check" in sys.argv:
        print("the example is fresh" if fresh else "stale: front-crown.shade.json")
        return int(not fresh)
    TARGET.write_bytes(expected())
    return 0


if __name__ == "__main__":
    sys.exit(main())
