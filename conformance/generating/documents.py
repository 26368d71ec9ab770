"""The other documents: an invented guide, an invented stock, agreed limits, the columns of an invented export."""

from typing import Any, Final

from generating.colours import Triple
from generating.writing import Value, digest_of

Entry = dict[str, Any]


def _reference(entry_id: str, label: str, lab: Triple, **more: Any) -> Entry:
    coordinates = dict(zip("Lab", lab, strict=True))
    head = {"illuminant": "D65", "observer": "2-degree", "decimals": 1, "origin": "instrument"}
    return {"id": entry_id, "label": label, "colour": {**head, "lab": coordinates}, **more}


GUIDE: Final[Value] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "reference-set",
    "id": "urn:uuid:e2d4b916-08c7-4f3a-a1c5-7b90d36e4f28",
    "title": "Ladder of Marl, an invented guide",
    "edition": "third",
    "valid_from": "2025-10-01",
    "source": "copy of the clinic, five readings of each tab",
    "references": [
        _reference("ref-tovrin", "Tovrin", (75.3, 0.9, 15.2), readings_averaged=5, measured_on="2025-10-06"),
        _reference("ref-belmosk", "Belmosk", (73.6, 1.7, 17.9), readings_averaged=5, measured_on="2025-10-06"),
        _reference("ref-orquith", "Orquith", (70.1, 2.8, 23.4), readings_averaged=5, measured_on="2025-10-06"),
        _reference("ref-fennoll", "Fennoll", (78.8, -0.3, 10.6), readings_averaged=5, copy_label="chair copy"),
        _reference("ref-gastrel", "Gastrel", (68.2, 4.1, 20.7), readings_averaged=5, lot="spring"),
    ],
}

STOCK: Final[Value] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "reference-set",
    "id": "urn:uuid:47f0c8e3-b25d-4916-8e0a-c3d9517fa6b2",
    "title": "Blanks of the house, an invented stock",
    "valid_from": "2026-01-02",
    "valid_until": "2026-12-31",
    "references": [
        _reference("blank-quenly", "Quenly", (79.4, 0.2, 13.1), lot="w-ost"),
        _reference("blank-hurst", "Hurstel", (76.7, 0.8, 15.9), lot="w-ost"),
    ],
}

LIMITS: Final[Value] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "tolerance",
    "id": "urn:uuid:93b15d07-c64e-4a82-b7f9-0e1d28a6c53f",
    "title": "Front teeth, published limits",
    "formula": "CIEDE2000",
    "k_L": 1,
    "k_C": 1,
    "k_H": 1,
    "tissue": "tooth",
    "source": "Paravina et al. 2015, J Esthet Restor Dent 27 Suppl 1: 0.8 and 1.8 for half of the observers",
    "question": "match",
    "grades": [
        {"grade": "up-to-perceptible", "at_most": 0.8},
        {"grade": "up-to-acceptable", "at_most": 1.8},
        {"grade": "beyond-acceptable"},
    ],
    "limit": 1.8,
    "decision_rule": "four-way-guarded",
    "coverage_factor": 2,
}

COLUMNS: Final[Value] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "table-mapping",
    "id": "urn:uuid:1a8e6d40-5f2b-4c93-9e71-d80b64f7a325",
    "title": "Invented export, one reading a row",
    "dialect": {"encoding": "utf-8", "delimiter": "tab", "quote": "none", "decimal_mark": "point"},
    "layout": {"header_line": 1},
    "tooth_notation": "iso-3950",
    "constants": [{"member": "specimen.kind", "value": "tooth"}, {"member": "reading.zone", "value": "middle"}],
    "colours": [{"illuminant": "D65", "observer": "2-degree", "origin": "instrument"}],
    "columns": [
        {"column": "place", "member": "specimen.tooth", "required": True},
        {"column": "lightness", "member": "reading.colour.lab.L"},
        {"column": "red", "member": "reading.colour.lab.a"},
        {"column": "yellow", "member": "reading.colour.lab.b"},
    ],
    "ignored": [{"column": "tray", "reason": "number of the tray"}],
}

PROFILE: Final[Value] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "intake-profile",
    "id": "urn:uuid:7c94e1b5-30d8-4fa2-9b67-e58d04a2c31f",
    "title": "Front teeth, as one invented bench takes them",
    "partly_checked_accepted": False,
    "rules": [
        {"code": "tolerance-source-missing", "weight": "error", "note": "no limit without its origin"},
        {"code": "mean-of-single-reading", "weight": "off"},
    ],
    "demands": {
        "zones": {"front": ["cervical", "middle", "incisal"], "whole_suffices": False, "work_too": True},
        "spectrum": {"from_nm": 400, "to_nm": 700, "step_nm_at_most": 20},
    },
    "waivers": {"accepted": True, "author": True, "days_at_most": 120, "never_for": ["barrier-unstated"]},
}

WAIVERS: Final[Value] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "waiver-list",
    "id": "urn:uuid:e6b20f93-5a7c-4d18-84e9-1f3c7b0d95a8",
    "title": "What the same bench lets stand in spring",
    "waivers": [
        {
            "id": "old-calibration",
            "code": "calibration-stale",
            "document": "urn:uuid:5c1de3a4-7f0b-4c7e-9d25-61b0a8f3c2d4",
            "entry_id": "chair-visit",
            "member": "calibration/at",
            "reason": "patch was read on the day",
            "by_role": "technician",
            "at": "2026-02-02",
            "valid_until": "2026-05-29",
        },
        {"id": "no-spectra", "demand": "spectrum", "reason": "meter of that clinic has none", "by_code": "bench-4"},
    ],
}

SMALLEST: Final[Value] = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "case",
    "id": "urn:uuid:d61f2b8c-94a0-4e57-b3c8-5a07e9d1f642",
    "specimens": [{"id": "tooth-36", "kind": "tooth", "tooth": "36"}],
    "readings": [
        {
            "id": "reading-1",
            "specimen_id": "tooth-36",
            "zone": "occlusal",
            "colours": [
                {
                    "illuminant": "D65",
                    "observer": "2-degree",
                    "decimals": 1,
                    "origin": "instrument",
                    "lab": {"L": 71.6, "a": 2.4, "b": 19.3},
                }
            ],
        }
    ],
}


def pinned(document: Value) -> Entry:
    """The pin of a copy: id and digest of the document."""
    return {"id": document["id"], "sha256": digest_of(document)}


def embedded_set(entry_id: str, document: Value, *, extract: bool) -> Entry:
    """A whole reference set as a case embeds it; its colours are copies there."""
    copies = [{**each, "colour": {**each["colour"], "origin": "copied"}} for each in document["references"]]
    head = {"id": entry_id, "title": document["title"], "extract": extract, "document": pinned(document)}
    return {**head, "references": copies}
