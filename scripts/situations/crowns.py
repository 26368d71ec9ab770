"""One crown at a time: returned as too bright, chosen from a guide, beside a restored tooth, accepted all the same."""

from typing import Any, Final

from scripts.situations.entries import (
    BENCH,
    CHAIR,
    GRADES,
    PARTIES,
    PUBLISHED,
    Entry,
    Triple,
    Value,
    bench_day,
    case,
    chair_day,
    extract,
    reading,
    repeats,
    target,
    tolerance,
)
from scripts.situations.working import averaged, compared, copied, judged
from shadefmt.history import add_entries

TWO_INSTRUMENTS: Final = {"inter-instrument": 0.25}
"""Standard uncertainty that stands for two instruments which nothing relates; invented."""


def crown(tooth: str) -> Entry:
    """Return a crown on a prepared tooth."""
    return {"id": f"crown-{tooth}", "kind": "restoration", "tooth": tooth, "support": "tooth"}


def event(name: str, kind: str, at: str, **more: Any) -> Entry:
    """Return an event of 2026."""
    return {"id": name, "kind": kind, "at": f"2026-{at}", **more}


STATIONS: Final[dict[str, list[Triple]]] = {
    "then": [(76.94, 0.62, 14.1), (77.03, 0.58, 13.99), (76.86, 0.65, 14.19)],
    "made": [(76.41, 0.75, 14.62), (76.34, 0.78, 14.7), (76.5, 0.73, 14.52)],
    "now": [(74.73, 1.36, 16.2), (74.82, 1.32, 16.08), (74.66, 1.39, 16.29)],
    "worn": [(76.88, 0.55, 14.02), (76.79, 0.58, 14.11), (76.96, 0.53, 13.91)],
}
"""Tooth when the shade was taken, crown at the laboratory, tooth after it came back, crown in the mouth."""


def returned_as_too_bright() -> Value:
    """A crown that came back as too bright: the stations between shade and mouth, each with its difference."""
    made = case(
        "b8174e2f-96c0-4d35-8a7e-f205d9c16b43",
        parties=PARTIES,
        instruments=[CHAIR, BENCH],
        specimens=[{"id": "tooth-11", "kind": "tooth", "tooth": "11"}, crown("21")],
        sessions=[
            chair_day("shade-taken", "01-20"),
            bench_day("before-dispatch", "02-02"),
            chair_day("try-in", "02-09"),
        ],
        tolerances=[tolerance("limit-front", 1.8, source=PUBLISHED, grades=GRADES)],
        events=_until_the_objection({"specimen_ids": ["crown-21"]}),
    )
    dried = {"hydration": "dry", "isolation": "lips-retracted", "minutes_since_isolation": 12}
    moist = {"hydration": "moist", "isolation": "none"}
    made = averaged(made, "tooth-then", repeats("then", "shade-taken", "tooth-11", "middle", STATIONS["then"], **dried))
    goal = target("goal", "crown-21", "middle", "measured-tooth", copied(made, "tooth-then"), source_id="tooth-then")
    made = add_entries(made, {"targets": [{**goal, "set_at": "2026-01-20"}]})
    for station, session, state in (("made", "before-dispatch", "glazed"), ("worn", "try-in", "tried-in")):
        of = repeats(station, session, "crown-21", "middle", STATIONS[station], state=state)
        made = averaged(made, f"crown-{station}", of)
    made = averaged(made, "tooth-now", repeats("now", "try-in", "tooth-11", "middle", STATIONS["now"], **moist))
    made = compared(made, "what-was-seen", "match", ("tooth-now", "crown-worn"), {})
    made = compared(made, "shade-then-and-now", "change", ("tooth-now", "tooth-then"), {})
    made = compared(made, "laboratory-to-goal", "match", ("goal", "crown-made"), TWO_INSTRUMENTS)
    made = compared(made, "from-bench-to-mouth", "handover", ("crown-made", "crown-worn"), TWO_INSTRUMENTS)
    made = judged(made, "verdict-at-the-laboratory", "laboratory-to-goal", "limit-front")
    return judged(made, "verdict-in-the-mouth", "what-was-seen", "limit-front")


def _until_the_objection(whole: Entry) -> list[Entry]:
    return [
        event("sent", "dispatched", "02-03", party_id="lab-weir", **whole),
        event("tried", "tried-in", "02-09T14:05:00+01:00", party_id="clinic-quay", state="tried-in", **whole),
        event(
            "too-bright",
            "objection",
            "02-09T14:30:00+01:00",
            by_role="patient",
            **whole,
            state="tried-in",
            light="daylight at the window",
            note="brighter than its neighbour",
        ),
    ]


def tabs_at_the_chair() -> Value:
    """The clinic chose a tab by eye, the laboratory read its own copy of it; the verdict is about the tab."""
    guide = extract("guide", "guide-shingle-bank", ["ref-moorel", "ref-tandry"])
    made = case(
        "4f6b08e1-d2c7-4935-b01e-8c5da3f79612",
        parties=PARTIES,
        instruments=[BENCH],
        specimens=[
            {"id": "tooth-15", "kind": "tooth", "tooth": "15"},
            {"id": "tab-moorel", "kind": "guide-tab", "reference_id": "ref-moorel", "note": "copy of the laboratory"},
            crown("14"),
        ],
        sessions=[_eyes("two-people", "02-11"), bench_day("bench-tab", "02-18"), bench_day("bench-crown", "02-25")],
        readings=[
            reading(
                "chosen",
                "two-people",
                "tooth-15",
                "middle",
                hydration="moist",
                isolation="none",
                visual={"reference_set_id": "guide-shingle-bank", "chosen_id": "ref-moorel", "sure": True},
            )
        ],
        reference_sets=[guide],
        tolerances=[tolerance("limit-front", 1.8, source=PUBLISHED, grades=GRADES)],
    )
    labs: dict[str, list[Triple]] = {
        "tab-moorel": [(75.02, 1.21, 15.61), (75.1, 1.18, 15.53), (74.96, 1.23, 15.68)],
        "crown-14": [(74.61, 1.32, 16.2), (74.54, 1.35, 16.28), (74.69, 1.3, 16.11)],
    }
    made = averaged(made, "tab-read", repeats("tab", "bench-tab", "tab-moorel", "middle", labs["tab-moorel"]))
    of = repeats("crown", "bench-crown", "crown-14", "middle", labs["crown-14"], state="glazed")
    made = averaged(made, "crown-read", of)
    goal = target("goal", "crown-14", "middle", "chosen-reference", copied(made, "tab-read"), source_id="tab-read")
    made = add_entries(made, {"targets": [{**goal, "set_at": "2026-02-18"}]})
    made = compared(made, "crown-to-tab", "match", ("goal", "crown-read"), {})
    return judged(made, "verdict-14", "crown-to-tab", "limit-front")


def _eyes(name: str, day: str) -> Entry:
    light = {"kind": "daylight", "colour_temperature_K": 5900, "illuminance_lx": 1400}
    head = {"id": name, "party_id": "clinic-quay", "started": f"2026-{day}T11:15:00+01:00"}
    return {**head, "observer_count": 2, "colour_vision_checked": "2025-09-01", "light": light}


def restored_neighbour() -> Value:
    """Two neighbours that differ, one with a filling: which one is the model, and why."""
    labs: dict[str, list[Triple]] = {
        "23": [(73.02, 2.41, 19.6), (73.1, 2.38, 19.52), (72.95, 2.44, 19.69)],
        "25": [(76.2, 0.82, 14.21), (76.28, 0.8, 14.12), (76.13, 0.85, 14.3)],
    }
    made = case(
        "29d7ac51-0f84-4be3-97c6-5e18f0b24d7a",
        parties=PARTIES,
        instruments=[CHAIR],
        specimens=[
            {"id": "tooth-23", "kind": "tooth", "tooth": "23", "restored": False},
            {"id": "tooth-25", "kind": "tooth", "tooth": "25", "restored": True},
            crown("24"),
        ],
        prescriptions=[
            {"id": "order-24", "specimen_id": "crown-24", "restoration": "crown", "material_class": "metal-ceramic"}
        ],
        sessions=[chair_day("both-read", "03-03", surface_cleaned=True)],
    )
    for tooth in labs:
        of = repeats(f"tooth-{tooth}", "both-read", f"tooth-{tooth}", "middle", labs[tooth], hydration="moist")
        made = averaged(made, f"mean-{tooth}", of)
    goal = target(
        "goal",
        "crown-24",
        "middle",
        "measured-tooth",
        copied(made, "mean-23"),
        source_id="mean-23",
        model_specimen_id="tooth-23",
        model_reason="the other neighbour carries a filling where it is read",
        set_at="2026-03-03",
    )
    made = add_entries(made, {"targets": [goal]})
    return compared(made, "between-the-neighbours", "symmetry", ("mean-23", "mean-25"), {})


def accepted_outside_limit() -> Value:
    """A crown outside the limit that the patient accepted: the verdict stays, the case closes."""
    labs: list[Triple] = [(73.1, 2.02, 18.84), (73.18, 1.99, 18.75), (73.03, 2.05, 18.92)]
    tooth: list[Triple] = [(75.64, 1.11, 15.9), (75.72, 1.08, 15.81), (75.57, 1.13, 15.98)]
    about = {"specimen_ids": ["crown-35"]}
    made = case(
        "e5c2093b-71da-48f6-a4b8-36f0d19e8c25",
        parties=PARTIES,
        instruments=[CHAIR],
        specimens=[{"id": "tooth-34", "kind": "tooth", "tooth": "34"}, crown("35")],
        sessions=[chair_day("first-visit", "01-27"), chair_day("fitting", "02-12")],
        tolerances=[tolerance("limit-back", 1.8, "guarded", source=PUBLISHED, grades=GRADES)],
        events=[
            event(
                "looked-at", "tried-in", "02-12T14:30:00+01:00", **about, state="tried-in", light="room, by the window"
            ),
            event("said-yes", "acceptance", "02-12T14:40:00+01:00", by_role="patient", **about, state="tried-in"),
            event("cemented", "seated", "02-12T15:10:00+01:00", by_role="prescriber", **about, state="seated"),
            event("done", "closed", "02-26", party_id="clinic-quay"),
        ],
    )
    made = averaged(made, "neighbour", repeats("tooth", "first-visit", "tooth-34", "middle", tooth, hydration="moist"))
    goal = target("goal", "crown-35", "middle", "measured-tooth", copied(made, "neighbour"), source_id="neighbour")
    made = add_entries(made, {"targets": [{**goal, "set_at": "2026-01-27"}]})
    made = averaged(made, "crown", repeats("crown", "fitting", "crown-35", "middle", labs, state="tried-in"))
    made = judged(
        compared(made, "crown-to-neighbour", "match", ("goal", "crown"), {"hydration": 0.2}),
        "verdict-35",
        "crown-to-neighbour",
        "limit-back",
    )
    taken = {"id": "taken", "specimen_id": "crown-35", "verdict_ids": ["verdict-35"], "party_id": "clinic-quay"}
    why = {"action": "accept-under-concession", "note": "the patient likes it as it is"}
    return add_entries(made, {"dispositions": [{**taken, **why}]})
