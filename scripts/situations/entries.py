"""Entries that the stories are built of, written by hand; everything in them is invented.

Colours hold for D65 and the 2-degree observer unless a story says otherwise, with two decimals.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from shadefmt.documents import load, pin
from shadefmt.history import add_entries

Entry = dict[str, Any]
Value = dict[str, Any]
Triple = tuple[float, float, float]

EXAMPLES: Final = Path(__file__).resolve().parents[2] / "schema" / "1.0" / "examples"

BASIS: Final = {"illuminant": "D65", "observer": "2-degree"}
ONES: Final = {"k_L": 1, "k_C": 1, "k_H": 1}
PARTIES: Final = [{"id": "clinic-quay", "role": "clinic"}, {"id": "lab-weir", "role": "laboratory"}]
CHAIR: Final = {"id": "chair-alder", "kind": "contact-spectrophotometer", "geometry": "45:0", "aperture_mm": 3}
BENCH: Final = {"id": "bench-larch", "kind": "spectrophotometer", "geometry": "45:0", "aperture_mm": 3}
PUBLISHED: Final = "Paravina et al. 2015, J Esthet Restor Dent 27 Suppl 1:S1-S9: 50:50 % thresholds 0.8 and 1.8"
GRADES: Final = [
    {"grade": "up-to-perceptible", "at_most": 0.8},
    {"grade": "up-to-acceptable", "at_most": 1.8},
    {"grade": "beyond-acceptable"},
]


def case(urn: str, **members: Any) -> Value:
    """Return a case with its head; members in any order."""
    head = {"format": "shadefmt", "version": "1.0", "kind": "case", "id": f"urn:uuid:{urn}"}
    return add_entries({**head, **members}, {})


def colour(lab: Triple, origin: str = "instrument", decimals: int = 2) -> Entry:
    """Return a colour as stated."""
    return {**BASIS, "decimals": decimals, "origin": origin, "lab": dict(zip("Lab", lab, strict=True))}


def reading(name: str, session: str, specimen: str, zone: str, lab: Triple | None = None, **more: Any) -> Entry:
    """Return a reading; `more` are members beside those that every reading here has."""
    head = {"id": name, "session_id": session, "specimen_id": specimen, "zone": zone}
    return {**head, **more, **({"colours": [colour(lab)]} if lab else {})}


def repeats(name: str, session: str, specimen: str, zone: str, labs: Sequence[Triple], **more: Any) -> list[Entry]:
    """Return repeats of one place, the window lifted and placed anew before each."""
    return [
        reading(f"{name}-{place}", session, specimen, zone, lab, repositioned=True, **more)
        for place, lab in enumerate(labs, start=1)
    ]


def sitting(name: str, instrument: str, started: str, *, barrier: bool, **more: Any) -> Entry:
    """Return a session with an instrument that was calibrated at the full hour before."""
    at = f"{started[:14]}00{started[16:]}"
    calibration = {"at": at, "barrier_fitted": barrier, "result": "passed"}
    head = {"id": name, "instrument_id": instrument, **more, "started": started, "barrier_fitted": barrier}
    return {**head, "calibration": calibration}


def chair_day(name: str, day: str, time: str = "14:10", **more: Any) -> Entry:
    """Return a sitting at the clinic; the day is a month and a day of 2026."""
    return sitting(name, "chair-alder", f"2026-{day}T{time}:00+01:00", barrier=True, party_id="clinic-quay", **more)


def bench_day(name: str, day: str, time: str = "09:30") -> Entry:
    """Return a sitting at the laboratory; the day is a month and a day of 2026."""
    made = sitting(name, "bench-larch", f"2026-{day}T{time}:00+01:00", barrier=False, party_id="lab-weir")
    at, *result = made.pop("calibration").items()
    barrier = made.pop("barrier_fitted")
    calibration = dict([at, ("tile", "white, from the drawer"), *result])
    return {**made, "verified_on": "2026-01-08", "barrier_fitted": barrier, "calibration": calibration}


def target(name: str, specimen: str, zone: str, source_kind: str, goal: Entry, **more: Any) -> Entry:
    """Return a target that the clinic set."""
    head = {"id": name, "specimen_id": specimen, "zone": zone, "source_kind": source_kind}
    return {**head, **more, "set_by_id": "clinic-quay", "colour": goal}


def tolerance(name: str, limit: float, rule: str = "simple", **more: Any) -> Entry:
    """Return a tolerance in CIEDE2000 that both parties agreed before anything was read."""
    guarded = {} if rule == "simple" else {"coverage_factor": 2}
    head = {"id": name, "formula": "CIEDE2000", **ONES, "tissue": "tooth", **more}
    agreed = {"agreed_by_ids": [each["id"] for each in PARTIES], "agreed_at": "2026-01-15"}
    return {**head, "limit": limit, "decision_rule": rule, **guarded, **agreed}


def extract(document: str, name: str, references: Sequence[str]) -> Entry:
    """Return some references of a published example set, pinned, as an entry."""
    whole = load(str(EXAMPLES / f"{document}.shade.json"))
    used = [each for each in whole["references"] if each["id"] in references]
    return {"id": name, "title": whole["title"], "extract": True, "document": pin(whole), "references": used}
