"""Cases for writing CxF3, and what a reading says with all that it refers to, worked out without the converter."""

from copy import deepcopy
from typing import Final

from cgats_cases import TEXTS, Value, cases, some
from hypothesis import strategies as st

SESSION: Final = {
    "party_id": st.just("clinic"),
    "started": st.sampled_from(["2026-03-04", "2026-03-04T09:30", "2026-03-04T09:30:01.25+02:00"]),
    "surface_cleaned": st.booleans(),
    "observer_count": st.integers(1, 3),
    "light": st.just({"kind": "daylight", "illuminance_lx": 1200.5}),
    "calibration": st.just({"at": "2026-03-04T09:28:00Z", "barrier_fitted": False, "result": "passed"}),
}
TIMES: Final = st.sampled_from(
    [
        *("2026-03-04", "2026-02-30", "2026-03-04T09:31", "2026-03-04T09:31:07", "2026-03-04T09:31:07Z"),
        *("2026-03-04T09:31:07.123456789-11:30", "0000-03-04T09:31:07", "2026-03-04T09:31:07+99:99"),
    ]
)
LISTS: Final = {"specimen": "specimens", "session": "sessions", "instrument": "instruments"}


@st.composite
def full_cases(draw: st.DrawFn) -> Value:
    """Cases of every shape that bears on the round trip through CxF3."""
    case: Value = deepcopy(draw(cases()))
    for session in case.get("sessions", ()):
        session |= draw(some(SESSION))
    for reading in case["readings"]:
        if draw(st.booleans()):
            reading["at"] = draw(TIMES)
        if draw(st.booleans()):
            reading["note"] = draw(TEXTS)
    if draw(st.booleans()):
        case["revisions"] = [{"id": "revision-1", "at": "2026-03-05T10:00:00+01:00"}]
    return case


def linked(case: Value, links: Value | None = None) -> dict[str, Value]:
    """What the readings of a case say, by id, with specimen, session and instrument in place of references.

    `links` is the case whose references hold, where `case` has lost some.
    """
    links = links or case
    entries = {
        word: {
            each["id"]: made for each, made in reversed(list(zip(links.get(name, ()), case.get(name, ()), strict=True)))
        }
        for word, name in LISTS.items()
    }
    sessions = {each["id"]: each for each in reversed(links.get("sessions", []))}
    found = {}
    for original, reading in zip(links["readings"], case["readings"], strict=True):
        if not reading or "id" not in reading:
            continue
        facts = {name: value for name, value in reading.items() if name not in ("specimen_id", "session_id")}
        facts["specimen"] = entries["specimen"].get(original["specimen_id"])
        session = original.get("session_id")
        facts["session"] = {
            name: value for name, value in (entries["session"].get(session) or {}).items() if name != "instrument_id"
        }
        facts["instrument"] = entries["instrument"].get(sessions.get(session, {}).get("instrument_id")) or {}
        facts["colours"] = [each for each in reading.get("colours", ()) if each]
        found[original["id"]] = facts
    return found
