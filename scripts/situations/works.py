"""Works with more than one part or place: veneers, a crown with its gum, a milled molar, a partial denture."""

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
    colour,
    extract,
    reading,
    repeats,
    target,
    tolerance,
)
from scripts.situations.working import averaged, compared, concluded, copied, judged
from shadefmt import Request, derive
from shadefmt.history import add_entries

VENEERS: Final[dict[str, list[Triple]]] = {
    "12": [(77.21, -0.12, 11.04), (77.31, -0.15, 10.93), (77.14, -0.1, 11.12)],
    "11": [(78.62, -0.41, 10.02), (78.55, -0.38, 10.11), (78.7, -0.43, 9.94)],
    "21": [(78.3, -0.36, 10.41), (78.38, -0.39, 10.33), (78.23, -0.34, 10.5)],
    "22": [(76.82, 0.11, 11.63), (76.74, 0.14, 11.71), (76.9, 0.08, 11.55)],
}
UNDER_VENEERS: Final[dict[str, Triple]] = {
    "12": (70.4, 2.11, 17.2),
    "11": (71.06, 1.74, 16.31),
    "21": (70.83, 1.82, 16.6),
    "22": (69.92, 2.3, 17.85),
}


def lighter_veneers() -> Value:
    """Four veneers, lighter than the teeth by agreement; judged one by one, in a pair, and together."""
    wish = colour((78.5, -0.4, 10), "typed", 1)
    made = case(
        "7a2c9b64-0e15-4d83-9f42-b86d1c07e5a3",
        parties=PARTIES,
        instruments=[CHAIR, BENCH],
        specimens=[
            *({"id": f"stump-{each}", "kind": "stump", "tooth": each, "substrate": "enamel"} for each in VENEERS),
            *({"id": f"veneer-{each}", "kind": "restoration", "tooth": each, "support": "tooth"} for each in VENEERS),
        ],
        groups=[
            {"id": "all-four", "kind": "set", "specimen_ids": [f"veneer-{each}" for each in VENEERS]},
            {"id": "middle-pair", "kind": "symmetrical-pair", "specimen_ids": ["veneer-11", "veneer-21"]},
        ],
        prescriptions=[_veneer_order(each) for each in VENEERS],
        sessions=[chair_day("stumps-day", "02-03"), bench_day("veneers-day", "02-17")],
        readings=[
            reading(f"stump-{tooth}-read", "stumps-day", f"stump-{tooth}", "middle", lab, hydration="moist")
            for tooth, lab in UNDER_VENEERS.items()
        ],
        targets=[
            target(f"wish-{each}", f"veneer-{each}", "middle", "agreed-with-patient", wish, set_at="2026-02-03")
            for each in VENEERS
        ],
        tolerances=[
            tolerance("limit-each", 1.8, "four-way-guarded", source=PUBLISHED, grades=GRADES),
            tolerance("limit-between", 0.8, question="symmetry"),
        ],
        events=[{"id": "liked", "kind": "acceptance", "at": "2026-02-03", "by_role": "patient", "note": "the mock-up"}],
    )
    return _veneers_judged(made)


def _veneer_order(tooth: str) -> Entry:
    head = {"id": f"order-{tooth}", "specimen_id": f"veneer-{tooth}", "restoration": "veneer"}
    body = {"material_class": "feldspathic-ceramic", "thickness_mm": 0.6, "stump_specimen_id": f"stump-{tooth}"}
    return {**head, **body, "cement": "light-curing, translucent", "due": "2026-02-20"}


def _veneers_judged(made: Value) -> Value:
    for tooth, labs in VENEERS.items():
        of = repeats(f"veneer-{tooth}", "veneers-day", f"veneer-{tooth}", "middle", labs, state="glazed")
        made = averaged(made, f"mean-{tooth}", of)
        parts = {"repeatability": 0.06, "repositioning": 0.15}
        made = compared(made, f"against-wish-{tooth}", "match", (f"wish-{tooth}", f"mean-{tooth}"), parts)
        made = judged(made, f"verdict-{tooth}", f"against-wish-{tooth}", "limit-each")
    made = compared(made, "left-and-right", "symmetry", ("mean-11", "mean-21"), {})
    made = judged(made, "verdict-pair", "left-and-right", "limit-between")
    everything = [each["id"] for each in made["verdicts"]]
    made = concluded(made, "on-all-four", everything, group_id="all-four")
    return concluded(made, "on-the-pair", ["verdict-11", "verdict-21", "verdict-pair"], group_id="middle-pair")


def implant_with_gum() -> Value:
    """An implant crown in two materials, tooth and gum, each with a target and a tolerance of its own."""
    made = _implant_ordered()
    stand = {"hydration": "moist"}
    made = averaged(made, "mean-tooth", repeats("tooth", "before", "tooth-25", "middle", WHITE["tooth"], **stand))
    made = averaged(made, "mean-gum", repeats("gum", "before", "gum-24", "attached-gingiva", PINK["gum"]))
    goals = [
        target(
            "goal-white", "white-part", "middle", "measured-tooth", copied(made, "mean-tooth"), source_id="mean-tooth"
        ),
        target(
            "goal-pink",
            "pink-part",
            "attached-gingiva",
            "measured-tooth",
            copied(made, "mean-gum"),
            source_id="mean-gum",
        ),
    ]
    made = add_entries(made, {"targets": goals})
    made = averaged(
        made, "mean-white", repeats("white", "after", "white-part", "middle", WHITE["part"], state="glazed")
    )
    made = averaged(
        made, "mean-pink", repeats("pink", "after", "pink-part", "attached-gingiva", PINK["part"], state="glazed")
    )
    for part in ("white", "pink"):
        made = compared(made, f"compare-{part}", "match", (f"goal-{part}", f"mean-{part}"), {"repositioning": 0.18})
        made = judged(made, f"verdict-{part}", f"compare-{part}", f"limit-{part}")
    return made


def _implant_ordered() -> Value:
    whole = {"id": "crown-24", "kind": "restoration", "tooth": "24", "support": "implant"}
    return case(
        "c0f81d37-52ae-4b6f-8e94-1a7d60b3c982",
        parties=PARTIES,
        instruments=[{**CHAIR, "id": "shared-alder"}],
        specimens=[
            {"id": "abutment-24", "kind": "stump", "tooth": "24", "substrate": "ceramic"},
            {"id": "tooth-25", "kind": "tooth", "tooth": "25"},
            {"id": "gum-24", "kind": "gingiva", "tooth": "24", "note": "read without pressing"},
            whole,
            {**whole, "id": "white-part", "part_of_id": "crown-24"},
            {"id": "pink-part", "kind": "gingiva", "tooth": "24", "part_of_id": "crown-24"},
        ],
        prescriptions=[
            {
                "id": "order-24",
                "specimen_id": "crown-24",
                "restoration": "crown",
                "material_class": "zirconia",
                "stump_specimen_id": "abutment-24",
                "layers": [{"material": "core"}, {"material": "white layer"}, {"material": "pink layer"}],
            }
        ],
        sessions=[_shared_day("before", "02-10"), _shared_day("after", "02-24")],
        readings=[reading("abutment-read", "before", "abutment-24", "middle", (84.12, -0.3, 9.71), hydration="moist")],
        tolerances=[
            tolerance("limit-white", 1.8, "guarded", source=PUBLISHED, region="back teeth"),
            {**tolerance("limit-pink", 2.9, "guarded"), "tissue": "gingiva"},
        ],
    )


WHITE: Final[dict[str, list[Triple]]] = {
    "tooth": [(72.31, 2.41, 19.84), (72.22, 2.46, 19.97), (72.39, 2.38, 19.73)],
    "part": [(71.84, 2.58, 20.35), (71.92, 2.55, 20.26), (71.77, 2.61, 20.44)],
}
PINK: Final[dict[str, list[Triple]]] = {
    "gum": [(52.14, 21.32, 13.61), (52.33, 21.15, 13.48), (51.98, 21.47, 13.72)],
    "part": [(53.06, 20.18, 14.52), (53.15, 20.09, 14.6), (52.97, 20.25, 14.43)],
}


def _shared_day(name: str, day: str) -> Entry:
    return {**chair_day(name, day), "instrument_id": "shared-alder"}


MOLAR: Final[dict[str, list[Triple]]] = {
    "tab": [(71.04, 3.39, 21.92), (71.11, 3.36, 21.83), (70.99, 3.42, 21.99)],
    "sintered": [(73.42, 2.31, 19.2), (73.5, 2.28, 19.11), (73.36, 2.33, 19.28)],
    "glazed": [(70.42, 3.55, 22.36), (70.5, 3.52, 22.27), (70.35, 3.58, 22.44)],
}


def milled_molar() -> Value:
    """A milled molar that nobody measured a neighbour for: judged against a guide tab, in two states of the work."""
    guide = extract("guide", "guide-shingle-bank", ["ref-quessel"])
    made = case(
        "15e4b7d0-c83a-4f29-a6b1-90d7f25e3c84",
        parties=PARTIES,
        instruments=[BENCH],
        specimens=[
            {"id": "molar-46", "kind": "restoration", "tooth": "46", "support": "tooth"},
            {"id": "tab-quessel", "kind": "guide-tab", "reference_id": "ref-quessel", "note": "own copy"},
        ],
        prescriptions=[
            {
                "id": "order-46",
                "specimen_id": "molar-46",
                "restoration": "crown",
                "material_class": "zirconia",
                "layers": [{"material": "milling blank, one shade throughout", "lot": "spring, pallet three"}],
            }
        ],
        sessions=[bench_day("bench-morning", "03-05"), bench_day("bench-later", "03-06")],
        reference_sets=[guide],
        tolerances=[tolerance("limit-back", 2.5, region="back teeth", grades=GRADES)],
        events=[
            {
                "id": "sent",
                "kind": "dispatched",
                "at": "2026-03-06T15:00:00+01:00",
                "party_id": "lab-weir",
                "specimen_ids": ["molar-46"],
                "state": "glazed",
                "layers": [{"material": "milling blank, one shade throughout", "lot": "spring, pallet four"}],
            }
        ],
    )
    made = averaged(made, "mean-tab", repeats("tab", "bench-morning", "tab-quessel", "middle", MOLAR["tab"]))
    goal = guide["references"][0]["colour"]
    of = target("goal-46", "molar-46", "middle", "chosen-reference", goal, source_id="ref-quessel", set_at="2026-03-02")
    made = add_entries(made, {"targets": [of]})
    for state, day in (("sintered", "bench-morning"), ("glazed", "bench-later")):
        of_state = repeats(state, day, "molar-46", "middle", MOLAR[state], window_fits=True, state=state)
        made = averaged(made, f"mean-{state}", of_state)
    made = compared(made, "glazed-to-goal", "match", ("goal-46", "mean-glazed"))
    return judged(made, "verdict-46", "glazed-to-goal", "limit-back")


GRID: Final[dict[str, Any]] = {"quantity": "reflectance-factor", "start_nm": 400, "step_nm": 20, "decimals": 4}
NATURAL: Final = [
    *(0.2544, 0.2741, 0.2968, 0.3229, 0.3519, 0.3822, 0.4118),
    *(0.4384, 0.4605, 0.4778, 0.4908, 0.5003, 0.507, 0.5118, 0.5152, 0.5176),
]
ACRYLIC: Final = [
    *(0.2511, 0.2676, 0.2862, 0.318, 0.3591, 0.4029, 0.4407),
    *(0.4414, 0.4257, 0.4425, 0.4858, 0.5293, 0.5501, 0.5475, 0.5367, 0.5254),
]
"""Close to the natural tooth under D65 and not under A, by construction."""


def partial_denture() -> Value:
    """A partial denture: one quadrant, tooth line and base with their lots, and how it looks in another light."""
    made = case(
        "e93d50c8-7b16-4a02-bd5f-46c8e107a9f2",
        parties=PARTIES,
        instruments=[CHAIR],
        specimens=[
            {"id": "tooth-43", "kind": "tooth", "tooth": "43"},
            {"id": "denture", "kind": "restoration", "area": "40", "support": "mucosa"},
            {"id": "denture-tooth", "kind": "restoration", "tooth": "44", "part_of_id": "denture"},
            {"id": "denture-pink", "kind": "restoration", "area": "40", "part_of_id": "denture"},
        ],
        prescriptions=[_DENTURE_ORDER],
        sessions=[chair_day("fitting", "03-11")],
        readings=[
            reading(
                "natural", "fitting", "tooth-43", "middle", hydration="moist", spectrum={**GRID, "values": NATURAL}
            ),
            reading(
                "acrylic", "fitting", "denture-tooth", "middle", state="polished", spectrum={**GRID, "values": ACRYLIC}
            ),
        ],
    )
    for illuminant in ("D65", "A"):
        made = derive(made, Request(illuminant=illuminant)).case
    goal = target("goal-44", "denture-tooth", "middle", "measured-tooth", copied(made, "natural"), source_id="natural")
    made = add_entries(made, {"targets": [{**goal, "set_at": "2026-03-11"}]})
    made = compared(made, "by-daylight", "match", ("goal-44", "acrylic"))
    made = compared(made, "by-lamplight", "match", ("natural", "acrylic"), illuminant="A")
    return judged(judged(made, "seen-by-daylight", "by-daylight"), "seen-by-lamplight", "by-lamplight")


_DENTURE_ORDER: Final = {
    "id": "order-denture",
    "specimen_id": "denture",
    "restoration": "denture",
    "material_class": "acrylic",
    "layers": [
        {"material": "base, light pink, veined", "lot": "Marsh 7"},
        {"material": "teeth, broad and long, cross-linked", "lot": "Marsh 11"},
    ],
}
