"""Readings and choices at the chair: by eye, from pictures, of a child, in a second clinic, under a dam."""

from typing import Any, Final

from scripts.situations.entries import (
    CHAIR,
    PARTIES,
    PUBLISHED,
    Entry,
    Triple,
    Value,
    case,
    chair_day,
    extract,
    reading,
    repeats,
    tolerance,
)
from scripts.situations.working import averaged, compared, judged


def filling_by_eye() -> Value:
    """A filling chosen by two people by daylight before the tooth was isolated: no number, no verdict, complete."""
    stock = extract("stock", "stock-copper-beech", ["ref-fennach", "ref-ostrel"])
    before = {"hydration": "moist", "isolation": "none"}
    between = {"chosen_id": "ref-ostrel", "second_id": "ref-fennach", "between": True, "sure": False}
    return case(
        "d41b7e98-3c50-4fa6-9e27-05f8c6a2b173",
        parties=PARTIES[:1],
        specimens=[
            {"id": "tooth-21", "kind": "tooth", "tooth": "21"},
            {
                "id": "button",
                "kind": "material-disc",
                "reference_id": "ref-fennach",
                "note": "cured on the tooth, unbonded",
            },
        ],
        sessions=[_BY_THE_WINDOW],
        readings=[
            _choice("neck-chosen", "tooth-21", "cervical", between, **before),
            _choice("middle-chosen", "tooth-21", "middle", {"chosen_id": "ref-fennach", "sure": True}, **before),
            _choice("edge-chosen", "tooth-21", "incisal", {"none_close": True, "sure": True}, **before),
            _choice("button-chosen", "button", "whole", {"chosen_id": "ref-fennach", "sure": True}, state="cured"),
        ],
        reference_sets=[stock],
        events=[
            {
                "id": "dam-on",
                "kind": "isolation-started",
                "at": "2026-02-19T10:55:00+01:00",
                "specimen_ids": ["tooth-21"],
            }
        ],
    )


_BY_THE_WINDOW: Final = {
    "id": "by-the-window",
    "party_id": "clinic-quay",
    "started": "2026-02-19T10:40:00+01:00",
    "observer_count": 2,
    "colour_vision_checked": "2025-10-06",
    "light": {"kind": "daylight", "colour_temperature_K": 6100, "illuminance_lx": 1500},
}


def _choice(name: str, specimen: str, zone: str, chosen: Entry, **more: Any) -> Entry:
    visual = {"reference_set_id": "stock-copper-beech", **chosen}
    return reading(name, "by-the-window", specimen, zone, **more, visual=visual)


def pictures_only() -> Value:
    """An order with pictures from a telephone and nothing else: shape and marks, no colour."""
    pictures = [
        _picture("smile", 64822, "a7d0c3f1", ["teeth", "mouth"]),
        _picture("close", 91377, "0b5e92d8", ["teeth"]),
    ]
    return case(
        "62f9e0b5-8d14-4c7a-b3e6-91a05d7c28f4",
        privacy={"status": "pseudonymised", "dates": "exact"},
        subject={"pseudonym": "oLm4Rs", "issued_by_id": "clinic-quay"},
        parties=PARTIES,
        specimens=[{"id": "crown-12", "kind": "restoration", "tooth": "12", "support": "tooth"}],
        prescriptions=[
            {
                "id": "order-12",
                "specimen_id": "crown-12",
                "restoration": "crown",
                "texture": "fine ridges across, two white marks near the edge",
                "attachment_ids": ["picture-smile", "picture-close"],
            }
        ],
        attachments=pictures,
    )


def _picture(name: str, size: int, start: str, shows: list[str]) -> Entry:
    head = {"id": f"picture-{name}", "path": f"pictures/{name}.jpg", "media_type": "image/jpeg"}
    use = {"use": ["shape", "characterisation"], "processing": "recompressed", "shows": shows, "consent": "yes"}
    return {**head, **use, "size_bytes": size, "sha256": start * 8}


def milk_tooth() -> Value:
    """A child's tooth with a chalky spot: the tooth as a whole, and a place in words."""
    labs: list[Triple] = [(80.21, 0.35, 11.24), (80.34, 0.31, 11.1), (80.12, 0.38, 11.33)]
    spot: list[Triple] = [(86.4, -0.8, 6.21), (86.25, -0.77, 6.3), (86.51, -0.83, 6.14)]
    where = "chalky spot, two millimetres wide, towards the midline of the neck"
    made = case(
        "8e5a14c9-b027-4d6f-8513-fc9e07a6d23b",
        privacy={"status": "pseudonymised", "dates": "year"},
        subject={"pseudonym": "tA9w2E"},
        instruments=[CHAIR],
        specimens=[{"id": "tooth-61", "kind": "tooth", "tooth": "61"}],
        sessions=[
            {
                "id": "sitting",
                "instrument_id": "chair-alder",
                "barrier_fitted": True,
                "calibration": {"at": "2026-01-01", "barrier_fitted": True, "result": "passed"},
            }
        ],
    )
    made = averaged(made, "mean-whole", repeats("whole", "sitting", "tooth-61", "whole", labs, hydration="moist"))
    of = repeats("spot", "sitting", "tooth-61", "region", spot, region=where, hydration="moist")
    return averaged(made, "mean-spot", of)


def second_clinic() -> Value:
    """A second clinic reads the same person: a case of its own that the laboratory relates to the first."""
    labs: list[Triple] = [(74.61, 1.42, 16.88), (74.7, 1.38, 16.76), (74.54, 1.45, 16.97)]
    clinic = {"id": "clinic-ferry", "role": "clinic"}
    made = case(
        "0a3cd8f6-47e1-4b95-a2d0-6b8e5f17c934",
        privacy={"status": "pseudonymised", "dates": "exact"},
        subject={"pseudonym": "Zb81qv", "issued_by_id": "clinic-ferry"},
        parties=[clinic, PARTIES[1]],
        relations=[
            {"id": "same-person", "relation": "same-subject-as", "other": OTHER_CASE, "note": "known to the laboratory"}
        ],
        instruments=[{"id": "chair-rowan", "kind": "imaging-spectrophotometer", "geometry": "45:0"}],
        specimens=[{"id": "tooth-11", "kind": "tooth", "tooth": "11"}],
        sessions=[{**chair_day("read-again", "03-17"), "instrument_id": "chair-rowan", "party_id": "clinic-ferry"}],
    )
    return averaged(made, "mean-11", repeats("tooth", "read-again", "tooth-11", "middle", labs, hydration="moist"))


OTHER_CASE: Final = {"id": "urn:uuid:b8174e2f-96c0-4d35-8a7e-f205d9c16b43", "sha256": "f3" * 32}
"""The case of the first clinic, with its digest as the laboratory knew it then; invented."""


def read_under_dam() -> Value:
    """A tooth read under a dam and again on the next day: the two cannot be compared, and the file says so."""
    under: list[Triple] = [(79.3, 0.21, 12.4), (79.41, 0.18, 12.28), (79.22, 0.24, 12.49)]
    next_day: list[Triple] = [(75.92, 0.94, 14.81), (75.84, 0.97, 14.9), (76.01, 0.92, 14.72)]
    dry = {"hydration": "dry", "isolation": "dam", "minutes_since_isolation": 0.5}
    moist = {"hydration": "moist", "isolation": "none"}
    made = case(
        "93c7f2a0-15db-4e68-b094-d2e8a6b7015c",
        parties=PARTIES,
        instruments=[CHAIR],
        specimens=[{"id": "tooth-24", "kind": "tooth", "tooth": "24"}],
        sessions=[chair_day("under-dam", "03-09"), chair_day("next-day", "03-10")],
        tolerances=[tolerance("limit-steady", 0.8, source=PUBLISHED, question="change")],
        events=[{"id": "dam-on", "kind": "isolation-started", "at": "2026-03-09T14:09:30+01:00"}],
    )
    made = averaged(made, "mean-dry", repeats("dry", "under-dam", "tooth-24", "middle", under, **dry))
    made = averaged(made, "mean-moist", repeats("moist", "next-day", "tooth-24", "middle", next_day, **moist))
    made = compared(made, "dry-and-moist", "change", ("mean-moist", "mean-dry"), {})
    return judged(made, "verdict-24", "dry-and-moist", "limit-steady")
