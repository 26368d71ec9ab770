"""At the bench and over many cases: a new batch, an instrument replaced in mid-course, an archive by the line."""

from typing import Any, Final

from scripts.situations.entries import (
    BENCH,
    CHAIR,
    EXAMPLES,
    PARTIES,
    Entry,
    Triple,
    Value,
    bench_day,
    case,
    chair_day,
    colour,
    reading,
    repeats,
    tolerance,
)
from scripts.situations.working import averaged, bridged, compared, judged, seen_through
from shadefmt.documents import load, pin
from shadefmt.history import add_entries

DISCS: Final[dict[str, list[Triple]]] = {
    "first": [(75.02, 1.71, 17.1), (75.1, 1.68, 17.01), (74.95, 1.74, 17.18)],
    "second": [(74.66, 1.9, 17.62), (74.58, 1.93, 17.7), (74.73, 1.88, 17.53)],
}
WHOLE: Final = {"zone": "whole"}


def new_stock() -> Value:
    """A new edition of a stock of powders, from discs of the new batch; it says what it replaces and from when."""
    old = load(str(EXAMPLES / "stock.shade.json"))
    kept = [each for each in old["references"] if each["id"] != "ref-fennach"]
    fennach: Entry = {"id": "ref-fennach", "label": "Fennach", "colour": colour((74.8, 1.8, 17.4), "computed", 1)}
    fennach |= {"lot": "heather", "measured_on": "2026-03-16", "readings_averaged": 6, "discs": 2}
    fennach |= {"thickness_mm": 1.5, "firings": 2, "between_discs": 0.2, "within_disc": 0.06}
    head = {"format": "shadefmt", "version": "1.0", "kind": "reference-set"}
    title = {"id": "urn:uuid:57b90ce2-e4d3-4186-9f7a-b20c81d5e6f4", "title": old["title"], "edition": "spring"}
    body = {"replaces": pin(old), "valid_from": "2026-04-01", "source": "Invented; two fired discs of each new batch"}
    return {**head, **title, **body, "references": [fennach, *kept]}


def new_batch() -> Value:
    """Discs of a new batch against the house standard, over two backings; a patch watches the instrument."""
    standard = new_stock()
    made = case(
        "a16d3f75-c9e8-4024-8b5d-7e0f92b4c613",
        parties=PARTIES[1:],
        instruments=[BENCH],
        specimens=[
            {"id": "disc-first", "kind": "material-disc", "reference_id": "ref-fennach"},
            {"id": "disc-second", "kind": "material-disc", "reference_id": "ref-fennach"},
            {"id": "patch-house", "kind": "check-patch"},
        ],
        backings=_TILES,
        sessions=[bench_day("batch-day", "03-16")],
        readings=[
            reading("patch-read", "batch-day", "patch-house", "whole", (85.3, 0.4, 4.92), role="check-patch"),
            _over("black", (75.02, 1.71, 17.1)),
            _over("white", (79.84, 2.66, 20.35)),
        ],
        reference_sets=[
            {
                "id": "stock-spring",
                "title": standard["title"],
                "extract": True,
                "document": pin(standard),
                "references": standard["references"][:1],
            }
        ],
        tolerances=[{**tolerance("limit-batch", 1, question="quality-control"), "agreed_by_ids": ["lab-weir"]}],
    )
    made["tolerances"][0]["tissue"] = "material"
    for name, labs in DISCS.items():
        on = {"backing": "black", "backing_id": "tile-black", "state": "glazed"}
        made = averaged(made, f"mean-{name}", repeats(name, "batch-day", f"disc-{name}", "whole", labs, **on))
        made = compared(
            made, f"{name}-to-standard", "quality-control", ("ref-fennach", f"mean-{name}"), {"reference": 0.1}
        )
        made = judged(made, f"verdict-{name}", f"{name}-to-standard", "limit-batch")
    return seen_through(made, "through-the-disc", "over-white", "over-black", 1.5)


_TILES: Final = [
    {"id": "tile-white", "kind": "white", "colour": colour((94.62, -0.51, 1.84)), "label": "white tile"},
    {"id": "tile-black", "kind": "black", "colour": colour((23.4, 0.12, -0.35)), "label": "black tile"},
]


def _over(kind: str, lab: Triple) -> Entry:
    on = {"state": "glazed", "backing": kind, "backing_id": f"tile-{kind}"}
    return reading(f"over-{kind}", "batch-day", "disc-first", "whole", lab, **on)


PATCHES: Final[dict[str, tuple[Triple, Triple]]] = {
    "pale": ((82.14, 0.3, 9.86), (82.62, 0.21, 9.52)),
    "middle": ((74.2, 1.92, 16.73), (74.71, 1.8, 16.3)),
    "deep": ((66.91, 3.84, 22.6), (67.35, 3.7, 22.05)),
}
TREATED: Final[dict[str, list[Triple]]] = {
    "first": [(71.9, 2.61, 20.4), (71.82, 2.64, 20.49), (71.97, 2.58, 20.32)],
    "third": [(75.02, 1.31, 15.62), (75.1, 1.28, 15.53), (74.95, 1.33, 15.7)],
}


def instrument_replaced() -> Value:
    """A course whose instrument was replaced: patches read with both relate them, and the effect says how surely."""
    new = {**CHAIR, "id": "chair-hazel", "software_version": "5.1"}
    made = case(
        "fd70b2e4-86a9-4c31-95e8-0d4a7f6c1b29",
        parties=PARTIES[:1],
        instruments=[{**CHAIR, "software_version": "3.8"}, new],
        specimens=[
            {"id": "tooth-41", "kind": "tooth", "tooth": "41"},
            *({"id": f"patch-{each}", "kind": "check-patch"} for each in PATCHES),
        ],
        sessions=[
            chair_day("first-visit", "01-12"),
            chair_day("patches-old", "02-23", "08:10"),
            {**chair_day("patches-new", "02-23", "08:40"), "instrument_id": "chair-hazel"},
            {**chair_day("third-visit", "02-23"), "instrument_id": "chair-hazel"},
        ],
        readings=[
            reading(f"{name}-{way}", f"patches-{way}", f"patch-{name}", "whole", lab, role="check-patch")
            for name, labs in PATCHES.items()
            for way, lab in zip(("old", "new"), labs, strict=True)
        ],
        events=[
            {
                "id": "begun",
                "kind": "treatment-started",
                "at": "2026-01-12T14:40:00+01:00",
                "specimen_ids": ["tooth-41"],
            }
        ],
        courses=[_COURSE],
    )
    for visit, labs in TREATED.items():
        of = repeats(visit, f"{visit}-visit", "tooth-41", "middle", labs, guided=True, hydration="moist")
        made = averaged(made, f"mean-{visit}", of)
    made = compared(made, "so-far", "change", ("mean-first", "mean-third"), {"inter-instrument": 0.3})
    made = bridged(made, _BRIDGE)
    effect = {"id": "effect-so-far", "course_id": "course", "moment": "during-treatment", "comparison_id": "so-far"}
    return add_entries(made, {"effects": [effect]})


_COURSE: Final = {
    "id": "course",
    "specimen_ids": ["tooth-41"],
    "control_specimen_ids": [f"patch-{each}" for each in PATCHES],
    "event_ids": ["begun"],
}

_BRIDGE: Final = {
    "id": "old-to-new",
    "first_instrument_id": "chair-alder",
    "second_instrument_id": "chair-hazel",
    "made_at": "2026-02-23",
    "party_id": "clinic-quay",
    "tooth_like": True,
    "illuminant": "D65",
    "observer": "2-degree",
    "pairs": [{"first_id": f"{each}-old", "second_id": f"{each}-new"} for each in PATCHES],
}

ARCHIVED: Final[dict[str, tuple[str, Triple, Triple]]] = {
    "5c18e9a7-2f40-4d6b-83a5-e0c7f1b2964d": ("16", (71.52, 2.9, 20.84), (71.03, 3.02, 21.31)),
    "be3f0d62-a951-47c8-9d1e-84b5c7f0e236": ("23", (74.93, 1.47, 17.02), (74.41, 1.6, 17.44)),
    "7d94a6c1-0eb3-4f25-b7c8-2a6f91d3e508": ("36", (69.84, 3.61, 22.35), (69.4, 3.7, 22.78)),
}
"""Cases by id: tooth, and one crown as the clinic and as the laboratory read it."""


def archive() -> list[Value]:
    """Three cases of an archive, a line each: the same crown at the chair and at the bench, three times."""
    return [_archived(urn, *parts) for urn, parts in ARCHIVED.items()]


def _archived(urn: str, tooth: str, at_chair: Triple, at_bench: Triple) -> Value:
    crown = f"crown-{tooth}"
    sides: dict[str, Any] = {"instruments": [CHAIR, BENCH], "parties": [{**PARTIES[0], "code": "quay"}, PARTIES[1]]}
    return case(
        urn,
        privacy={"status": "pseudonymised", "dates": "exact", "keep_until": "2036-12-31"},
        **sides,
        specimens=[{"id": crown, "kind": "restoration", "tooth": tooth, "support": "tooth"}],
        sessions=[bench_day("made", "01-29"), chair_day("fitted", "02-05")],
        readings=[
            reading("at-bench", "made", crown, "middle", at_bench, state="glazed"),
            reading("at-chair", "fitted", crown, "middle", at_chair, state="tried-in"),
        ],
    )
