"""Write schema/1.0/examples/whitening-course.shade.json: a course with control, events, indices and effects.

Readings and dates are written here by hand (invented); means and the computed colour come from `derive`, differences
and indices from the chain. With --check only say whether the file is fresh.
"""

import sys
from typing import Any, Final

from scripts.situations.entries import EXAMPLES, Entry, Triple, Value, case, repeats, sitting
from scripts.situations.working import compared, indexed
from shadefmt import Request, add_revision, as_model, derive, dumps
from shadefmt.history import add_entries

TARGET: Final = EXAMPLES / "whitening-course.shade.json"

VISITS: Final[dict[str, tuple[str, list[Triple], list[Triple]]]] = {
    "baseline": (
        "2026-04-13T09:15:00+02:00",
        [(72.18, 1, 18.08), (72.27, 0.97, 17.97), (72.12, 1.04, 18.15)],
        [(70.51, 1.62, 19.74), (70.6, 1.58, 19.65), (70.44, 1.65, 19.83)],
    ),
    "end": (
        "2026-05-05T09:20:00+02:00",
        [(76.62, -0.34, 12.13), (76.71, -0.37, 12.04), (76.55, -0.31, 12.22)],
        [(70.63, 1.58, 19.63), (70.56, 1.61, 19.71), (70.71, 1.56, 19.55)],
    ),
    "settled": (
        "2026-06-02T09:10:00+02:00",
        [(75.93, -0.12, 13.05), (75.85, -0.09, 13.14), (76.01, -0.14, 12.97)],
        [(70.49, 1.64, 19.78), (70.41, 1.66, 19.87), (70.57, 1.61, 19.7)],
    ),
}
"""Start of each visit, the treated tooth, the control."""

BASELINE_SPECTRUM: Final = {
    "quantity": "reflectance-factor",
    "start_nm": 400,
    "step_nm": 20,
    "decimals": 4,
    "values": [
        *(0.2367, 0.2558, 0.2785, 0.3047, 0.3338, 0.3649, 0.3966),
        *(0.4266, 0.4522, 0.4724, 0.4878, 0.4991, 0.5072, 0.513, 0.5172, 0.5202),
    ],
}

START: Final = case(
    "31d8f6b4-72c0-4e95-8a1b-c46e90d7f523",
    privacy={"status": "pseudonymised", "dates": "exact"},
    subject={"pseudonym": "eK2pTx", "issued_by_id": "clinic"},
    parties=[{"id": "clinic", "role": "clinic"}],
    instruments=[
        {
            "id": "instrument-siskin",
            "kind": "contact-spectrophotometer",
            "geometry": "0:45",
            "aperture_mm": 4.5,
            "software_version": "7.0",
        }
    ],
    specimens=[
        {"id": "tooth-21", "kind": "tooth", "tooth": "21"},
        {"id": "tooth-34", "kind": "tooth", "tooth": "34", "note": "not treated"},
    ],
)

EVENTS: Final = [
    {"id": "event-start", "kind": "treatment-started", "at": "2026-04-13T18:00:00+02:00"},
    {"id": "event-pause", "kind": "treatment-paused", "at": "2026-04-22", "by_role": "patient", "note": "sensitive"},
    {"id": "event-end", "kind": "treatment-ended", "at": "2026-05-04T07:30:00+02:00"},
]

COURSE: Final = {
    "id": "course-1",
    "specimen_ids": ["tooth-21"],
    "control_specimen_ids": ["tooth-34"],
    "event_ids": [each["id"] for each in EVENTS],
    "note": "trays at night",
}


def visit(name: str) -> dict[str, list[Entry]]:
    """Return what one visit adds: a session, readings of the tooth and of the control."""
    started, tooth, control = VISITS[name]
    session = f"visit-{name}"
    moist = {"hydration": "moist", "isolation": "none"}
    treated = repeats(f"{name}-tooth", session, "tooth-21", "middle", tooth, **moist)
    if name == "baseline":
        treated[0]["spectrum"] = BASELINE_SPECTRUM
    untreated = repeats(f"{name}-control", session, "tooth-34", "middle", control, role="control", **moist)
    sittings = [sitting(session, "instrument-siskin", started, barrier=True, party_id="clinic")]
    return {"sessions": sittings, "readings": [*treated, *untreated]}


def revised(value: Value, name: str, at: str, additions: dict[str, list[Entry]]) -> Value:
    """Return the case with one more revision of the clinic, and the means that follow from it."""
    revision: dict[str, Any] = {"id": name, "party_id": "clinic", "at": at}
    done: Value = derive(add_revision(value, revision, additions)).case
    return done


def expected() -> bytes:
    """Return the example as it is to be written."""
    made = revised(START, "clinic-1", "2026-04-13T09:40:00+02:00", visit("baseline"))
    grown = {**visit("end"), "events": [{**each, "specimen_ids": ["tooth-21"]} for each in EVENTS], "courses": [COURSE]}
    made = revised(made, "clinic-2", "2026-05-05T09:50:00+02:00", grown)
    made = revised(made, "clinic-3", "2026-06-02T09:35:00+02:00", visit("settled"))
    made = derive(made, Request(illuminant="A")).case
    means = [each["id"] for each in made["means"] if "tooth-21" in each["id"]]
    for name, mean in zip(VISITS, means, strict=True):
        made = indexed(made, f"whiteness-{name}", mean)
    parts = {"repositioning": 0.12, "drift": 0.1}
    for name, mean, moment, days in (
        ("end", means[1], "end-of-treatment", 1),
        ("settled", means[2], "after-settling", 29),
    ):
        made = compared(made, f"change-{name}", "change", (means[0], mean), parts)
        made = add_entries(made, {"effects": [_effect(made, name, moment, days)]})
    return dumps(as_model(_in_last_revision(made)))


def _effect(made: Value, name: str, moment: str, days: int) -> Entry:
    values = {each["id"]: each["value"] for each in made["indices"]}
    before, after = "whiteness-baseline", f"whiteness-{name}"
    head = {"id": f"effect-{name}", "course_id": "course-1", "moment": moment, "days": days}
    named = {"comparison_id": f"change-{name}", "index_before_id": before, "index_after_id": after}
    return {**head, **named, "decimals": 2, "change": round(values[after] - values[before], 2)}


def _in_last_revision(made: Value) -> Value:
    """Return the case with what was worked out at the end as part of the last revision."""
    worked_out = ("indices", "comparisons", "effects")
    marked = {name: [{**each, "revision_id": "clinic-3"} for each in made[name]] for name in worked_out}
    return {**made, **marked}


def main() -> int:
    """Write the example; with --check only say whether it is fresh."""
    fresh = TARGET.is_file() and TARGET.read_bytes() == expected()
    if "--check" in sys.argv:
        print("the example is fresh" if fresh else "stale: whitening-course.shade.json")
        return int(not fresh)
    TARGET.write_bytes(expected())
    return 0


if __name__ == "__main__":
    sys.exit(main())
