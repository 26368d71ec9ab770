"""Cases to show, made by hand: everything in them is invented, labels are invented words."""

from typing import Any

from shadefmt.checking import check
from shadefmt.jsontext import file_form
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.structure import structured

FACTORS = {"k_L": 1, "k_C": 1, "k_H": 1}
BASIS = {"illuminant": "D65", "observer": "2-degree"}
DIGEST = "3f" * 32


def as_case(value: dict[str, Any]) -> Case:
    """The model of a case; its faults if it has any."""
    made = structured(value, "case", newer=False)
    assert isinstance(made.root, Case), made.faults
    return made.root


def checked(value: dict[str, Any]) -> tuple[Case, Report]:
    """A case with what the checker says of it."""
    return as_case(value), check(file_form(value))


def smallest(**more: Any) -> dict[str, Any]:
    """One reading of one tooth."""
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:0b7d9a52-53c1-4c7e-a6f0-2f8e4d1c9b30",
        "specimens": [{"id": "tooth-45", "kind": "tooth", "tooth": "45"}],
        "readings": [
            {"id": "only", "specimen_id": "tooth-45", "zone": "occlusal", "colours": [colour(71.2, 2.3, 19.4, decimals=1)]}
        ],
        **more,
    }


def colour(L: float, a: float, b: float, *, decimals: int = 2, origin: str = "instrument") -> dict[str, Any]:
    """A CIELAB colour for daylight at 6500 K and the 2-degree observer."""
    return {**BASIS, "decimals": decimals, "origin": origin, "lab": {"L": L, "a": a, "b": b}}


def repeats(name: str, specimen: str, zone: str, session: str, lab: tuple[float, float, float], **more: Any) -> list:
    """Three readings around a colour: their mean is the colour."""
    shifts = ((0.06, -0.03, 0.09), (-0.02, 0.05, -0.12), (-0.04, -0.02, 0.03))
    return [
        {
            "id": f"{name}-{number}",
            "session_id": session,
            "specimen_id": specimen,
            "zone": zone,
            "repositioned": True,
            **more,
            "colours": [colour(*(round(one + shift, 2) for one, shift in zip(lab, shift_of, strict=True)))],
        }
        for number, shift_of in enumerate(shifts, start=1)
    ]


def mean(name: str, lab: tuple[float, float, float], **more: Any) -> dict[str, Any]:
    """The mean of the three readings of that name."""
    return {
        "id": f"mean-{name}",
        "reading_ids": [f"{name}-{number}" for number in (1, 2, 3)],
        "of_origin": "instrument",
        "colour": colour(*lab, origin="computed"),
        "spread": {"formula": "CIEDE2000", **FACTORS, "decimals": 1, "mcdm": 0.1},
        **more,
    }


def comparison(name: str, standard: str, trial: str, difference: float, **more: Any) -> dict[str, Any]:
    """A comparison with a stated uncertainty."""
    return {
        "id": name,
        "question": "match",
        "standard_id": standard,
        "trial_id": trial,
        **BASIS,
        "formula": "CIEDE2000",
        **FACTORS,
        "decimals": 2,
        "difference": difference,
        "uncertainty": {
            "coverage_factor": 2,
            "decimals": 2,
            "expanded": 0.5,
            "method": "linear",
            "components": [
                {"source": "repeatability", "standard_uncertainty": 0.05},
                {"source": "inter-instrument", "standard_uncertainty": 0.245},
            ],
        },
        **more,
    }


TOOTH = {"cervical": (73.1, 2.4, 19.8), "middle": (76.2, 1.1, 15.6), "incisal": (77.4, 0.5, 11.2)}
WORK = {"cervical": (69.6, 2.9, 20.3), "middle": (75.9, 1.2, 15.9), "incisal": (76.1, 0.7, 12.6)}
TOOTH_NOW, WORK_NOW, TOOTH_DRY = (73.5, 1.7, 17.4), (76.4, 1.0, 15.2), (77.9, 0.7, 14.1)
NEIGHBOUR = (76.8, 0.9, 15.0)
LABELS = {"Mossop": (75.4, 1.4, 16.3), "Tarrel": (77.2, 0.8, 14.6), "Quindle": (70.1, 2.8, 21.9)}


def rich() -> dict[str, Any]:
    """A crown that somebody objected to, with every part that a case can have and all five outcomes."""
    moist = {"hydration": "moist", "isolation": "none"}
    fired, seated = {"state": "glazed", "backing": "tooth-coloured"}, {"state": "seated", "placed_over_id": "stump-12"}
    readings = [each for zone, lab in TOOTH.items() for each in repeats(f"tooth-{zone}", "tooth-11", zone, "chair", lab, **moist)]
    readings += [each for zone, lab in WORK.items() for each in repeats(f"work-{zone}", "crown-12", zone, "bench", lab, **fired)]
    readings += repeats("tooth-now", "tooth-11", "middle", "later", TOOTH_NOW, **moist)
    readings += repeats("work-now", "crown-12", "middle", "later", WORK_NOW, **seated)
    dry = {"hydration": "dry", "isolation": "dam", "minutes_since_isolation": 25}
    readings += repeats("tooth-dry", "tooth-11", "middle", "later", TOOTH_DRY, **dry)
    readings += repeats("neighbour", "tooth-22", "middle", "chair", NEIGHBOUR, **moist)
    return {
        **smallest(),
        "privacy": {"status": "pseudonymised", "dates": "exact"},
        "subject": {"pseudonym": "vv-Tarn-83q"},
        "parties": [{"id": "clinic", "role": "clinic", "code": "tern-steps"}, {"id": "lab", "role": "laboratory", "code": "slate-yard"}],
        "relations": [{"id": "remake", "relation": "remake-of", "other": {"on_paper": True}, "note": "the first one broke"}],
        "revisions": [{"id": "all", "party_id": "clinic", "at": "2027-06-04T09:00:00+02:00", "producer": {"name": "example-writer", "version": "2.1"}, "note": "put together for a look at the page"}],
        "instruments": [
            {"id": "chair-device", "kind": "contact-spectrophotometer", "geometry": "45:0", "specular": "excluded", "aperture_mm": 4},
            {"id": "bench-device", "kind": "imaging-colorimeter", "geometry": "45:0", "specular": "excluded", "model": "the one by the window"},
        ],
        "specimens": [
            {"id": "tooth-11", "kind": "tooth", "tooth": "11"},
            {"id": "tooth-22", "kind": "tooth", "tooth": "22"},
            {"id": "stump-12", "kind": "stump", "tooth": "12", "substrate": "metal"},
            {"id": "crown-12", "kind": "restoration", "tooth": "12", "support": "tooth"},
            {"id": "gum-12", "kind": "gingiva", "tooth": "12"},
            {"id": "disc", "kind": "material-disc"},
            {"id": "patch", "kind": "check-patch"},
        ],
        "groups": [{"id": "pair", "kind": "symmetrical-pair", "specimen_ids": ["crown-12", "tooth-22"], "label": "the two laterals"}],
        "prescriptions": [{"id": "order", "specimen_id": "crown-12", "restoration": "crown", "material_class": "glass-ceramic", "thickness_mm": 0.9, "stump_specimen_id": "stump-12", "layers": [{"material": "grey core", "lot": "7", "thickness_mm": 0.5}, {"reference_id": "ref-mossop"}], "due": "2027-05-27", "texture": "fine ripples, one white spot", "attachment_ids": ["picture"]}],
        "backings": [{"id": "backing-white", "kind": "white", "label": "tile"}, {"id": "backing-black", "kind": "black"}],
        "sessions": [
            {"id": "chair", "instrument_id": "chair-device", "party_id": "clinic", "started": "2027-05-10T10:05:00+02:00", "barrier_fitted": True, "surface_cleaned": True, "calibration": {"at": "2027-05-10T10:00:00+02:00", "barrier_fitted": False, "result": "passed"}},
            {"id": "bench", "instrument_id": "bench-device", "party_id": "lab", "started": "2027-05-20T15:00:00+02:00", "barrier_fitted": False, "calibration": {"at": "2027-05-20T14:50:00+02:00", "barrier_fitted": False, "result": "passed"}},
            {"id": "later", "instrument_id": "chair-device", "party_id": "clinic", "started": "2027-06-03T09:10:00+02:00", "barrier_fitted": True},
            {"id": "window", "party_id": "clinic", "started": "2027-05-10T09:50:00+02:00", "observer_count": 2, "colour_vision_checked": "2027-01-11", "light": {"kind": "daylight", "colour_temperature_K": 5600, "illuminance_lx": 1200}},
        ],
        "readings": [
            *readings,
            {"id": "chosen", "session_id": "window", "specimen_id": "tooth-11", "zone": "middle", "visual": {"reference_set_id": "planks", "chosen_id": "ref-mossop", "second_id": "ref-tarrel", "between": True, "sure": False}},
            {"id": "stump-reading", "session_id": "chair", "specimen_id": "stump-12", "zone": "region", "region": "below the edge", "hydration": "unknown", "colours": [colour(58.3, 5.2, 19.9)]},
            {"id": "slipped", "session_id": "chair", "specimen_id": "tooth-11", "zone": "middle", "colours": [colour(66.0, 9.0, 18.0)]},
            {"id": "over-white", "session_id": "bench", "specimen_id": "disc", "zone": "whole", "backing": "white", "backing_id": "backing-white", "colours": [colour(79.0, 0.1, 12.0)]},
            {"id": "patch-chair", "session_id": "chair", "specimen_id": "patch", "zone": "whole", "role": "check-patch", "colours": [colour(88.2, -0.4, 3.0)]},
            {"id": "patch-bench", "session_id": "bench", "specimen_id": "patch", "zone": "whole", "role": "check-patch", "colours": [colour(88.0, -0.3, 3.3)]},
            {"id": "over-black", "session_id": "bench", "specimen_id": "disc", "zone": "whole", "backing": "black", "backing_id": "backing-black", "colours": [colour(70.0, -1.1, 5.0)]},
        ],
        "withdrawals": [{"id": "away", "entry_id": "slipped", "reason": "moved", "note": "the tip slid onto the gum"}],
        "means": [
            *(mean(f"tooth-{zone}", lab) for zone, lab in TOOTH.items()),
            *(mean(f"work-{zone}", lab) for zone, lab in WORK.items()),
            mean("tooth-now", TOOTH_NOW),
            mean("work-now", WORK_NOW),
            mean("tooth-dry", TOOTH_DRY),
            mean("neighbour", NEIGHBOUR),
        ],
        "bridges": [{"id": "bridge", "first_instrument_id": "chair-device", "second_instrument_id": "bench-device", "made_at": "2027-05-02", "tooth_like": True, **BASIS, "pairs": [{"first_id": "patch-chair", "second_id": "patch-bench"}], "decimals": 2, "offset": {"L": -0.2, "a": 0.1, "b": 0.3}}],
        "indices": [{"id": "white-then", "of_id": "mean-tooth-middle", **BASIS, "index": "WI_D", "decimals": 1, "value": 19.2}, {"id": "white-now", "of_id": "mean-tooth-now", **BASIS, "index": "WI_D", "decimals": 1, "value": 14.5}],
        "translucencies": [{"id": "shine", "over_white_id": "over-white", "over_black_id": "over-black", **BASIS, "thickness_mm": 1, "formula": "CIEDE2000", **FACTORS, "decimals": 2, "difference": 8.54, "contrast_ratio": 0.74}],
        "targets": [
            {"id": f"target-{zone}", "specimen_id": "crown-12", "zone": zone, "source_kind": "measured-tooth", "source_id": f"mean-tooth-{zone}", "set_at": "2027-05-10", "model_specimen_id": "tooth-11", "model_reason": "its neighbour", "colour": colour(*lab, origin="copied")}
            for zone, lab in TOOTH.items()
        ],
        "reference_sets": [{"id": "planks", "title": "Ferry Planks, an invented guide", "extract": True, "document": {"id": "urn:example:planks", "sha256": DIGEST}, "references": [{"id": f"ref-{label.lower()}", "label": label, "colour": colour(*lab, decimals=1, origin="copied")} for label, lab in LABELS.items()]}],
        "matches": [
            {"id": "match-middle", "of_id": "mean-tooth-middle", "reference_set_id": "planks", **BASIS, "formula": "CIEDE2000", **FACTORS, "decimals": 2, "nearest_id": "ref-mossop", "nearest_difference": 0.78, "runner_up_id": "ref-tarrel", "runner_up_difference": 0.99},
            {"id": "match-cervical", "of_id": "mean-tooth-cervical", "reference_set_id": "planks", **BASIS, "formula": "CIEDE2000", **FACTORS, "decimals": 2, "nearest_id": "ref-quindle", "nearest_difference": 2.54, "close_up_to": 1.8, "conclusion": "none-close"},
        ],
        "tolerances": [{"id": "limit", "title": "Front teeth", "formula": "CIEDE2000", **FACTORS, "tissue": "tooth", "source": "Paravina et al. 2015, J Esthet Restor Dent 27 Suppl 1", "agreed_by_ids": ["clinic", "lab"], "agreed_at": "2027-02-02", "grades": [{"grade": "up-to-perceptible", "at_most": 0.8}, {"grade": "up-to-acceptable", "at_most": 1.8}, {"grade": "beyond-acceptable"}], "limit": 1.8, "decision_rule": "four-way-guarded", "coverage_factor": 2, "document": {"id": "urn:example:limit", "sha256": DIGEST}}],
        "comparisons": [
            comparison("compare-cervical", "target-cervical", "mean-work-cervical", 2.72),
            comparison("compare-middle", "target-middle", "mean-work-middle", 0.3),
            comparison("compare-incisal", "target-incisal", "mean-work-incisal", 1.32),
            comparison("compare-dry", "mean-tooth-dry", "mean-work-now", 1.3),
            comparison("compare-now", "mean-tooth-now", "mean-work-now", 2.57),
            comparison("compare-pair", "mean-tooth-middle", "mean-neighbour", 0.6, question="symmetry"),
            comparison("compare-change", "mean-tooth-middle", "mean-tooth-now", 2.31, question="change"),
        ],
        "verdicts": [
            {"id": "verdict-cervical", "comparison_id": "compare-cervical", "tolerance_id": "limit", "grade": "beyond-acceptable", "decision": "does-not-conform"},
            {"id": "verdict-middle", "comparison_id": "compare-middle", "tolerance_id": "limit", "grade": "up-to-perceptible", "decision": "conforms"},
            {"id": "verdict-incisal", "comparison_id": "compare-incisal", "tolerance_id": "limit", "grade": "up-to-acceptable", "decision": "conditionally-conforms"},
            {"id": "verdict-dry", "comparison_id": "compare-dry", "tolerance_id": "limit", "decision": "cannot-be-compared", "obstacles": ["hydration-differs", "instruments-unbridged"]},
            {"id": "verdict-now", "comparison_id": "compare-now", "tolerance_id": "limit", "decision": "conditionally-conforms"},
            {"id": "verdict-pair", "comparison_id": "compare-pair", "decision": "not-judged"},
        ],
        "conclusions": [{"id": "in-all", "specimen_id": "crown-12", "verdict_ids": ["verdict-cervical", "verdict-middle", "verdict-incisal"], "decision": "does-not-conform"}],
        "events": [
            {"id": "sent", "kind": "dispatched", "at": "2027-05-21", "party_id": "lab"},
            {"id": "in-place", "kind": "seated", "at": "2027-05-27", "specimen_ids": ["crown-12"]},
            {"id": "said", "kind": "objection", "at": "2027-06-03", "by_role": "patient", "specimen_ids": ["crown-12"], "state": "seated", "light": "by the window", "note": "too bright in the middle"},
            {"id": "agreed", "kind": "acceptance", "at": "2027-06-10", "by_role": "patient", "specimen_ids": ["crown-12"]},
        ],
        "courses": [{"id": "course", "specimen_ids": ["tooth-11"], "note": "home trays"}],
        "effects": [{"id": "effect", "course_id": "course", "moment": "after-settling", "days": 24, "comparison_id": "compare-change", "index_before_id": "white-then", "index_after_id": "white-now", "decimals": 1, "change": -4.7}],
        "dispositions": [{"id": "done", "specimen_id": "crown-12", "verdict_ids": ["verdict-cervical"], "party_id": "clinic", "action": "accept-under-concession", "note": "kept for now"}],
        "attachments": [{"id": "picture", "path": "pictures/front.jpg", "media_type": "image/jpeg", "use": ["shape", "characterisation"], "processing": "recompressed", "shows": ["teeth"], "consent": "yes", "size_bytes": 182, "sha256": DIGEST}],
        "extensions": {"org.example.kiln": {"programme": "slow"}},
    }
