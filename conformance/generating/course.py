"""A whitening course of one tooth: before, after, and six weeks later; one instrument, dates shifted, no offsets."""

from typing import Final

from generating.colours import Triple
from generating.entries import ONES, Entry, comparison, lab_colour, mean, uncertainty
from generating.writing import Value

VISITS: Final[dict[str, tuple[str, list[Triple]]]] = {
    "before": ("2031-03-02", [(70.22, 3.41, 22.63), (70.31, 3.36, 22.5), (70.17, 3.44, 22.71)]),
    "after": ("2031-03-17", [(75.86, 1.12, 14.18), (75.93, 1.08, 14.09), (75.79, 1.15, 14.29)]),
    "later": ("2031-04-28", [(75.22, 1.33, 14.93), (75.14, 1.37, 15.02), (75.29, 1.3, 14.86)]),
}
"""Day of each visit and what was read there; invented."""


def course() -> Value:
    """The case."""
    readings = [reading for visit in VISITS for reading in _readings(visit)]
    means = [
        mean(f"mean-{visit}", [each for each in readings if each["session_id"] == f"visit-{visit}"]) for visit in VISITS
    ]
    before, after, later = means
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:08d7f3b1-6a4c-4e29-95d0-b1f8c7e25a63",
        "privacy": {"status": "deidentified", "dates": "shifted"},
        "subject": {"pseudonym": "kestos-vv-bramble"},
        "instruments": [{"id": "chair-meter", "kind": "colorimeter", "geometry": "45:0", "aperture_mm": 3}],
        "specimens": [{"id": "tooth-13", "kind": "tooth", "tooth": "13", "restored": False}],
        "sessions": [_session(visit, day) for visit, (day, _) in VISITS.items()],
        "readings": readings,
        "means": means,
        "tolerances": [_TOLERANCE],
        "comparisons": [_change("effect", before, after), _change("stability", after, later)],
        "verdicts": [
            {"id": "verdict-effect", "comparison_id": "effect", "decision": "not-judged"},
            {
                "id": "verdict-stability",
                "comparison_id": "stability",
                "tolerance_id": "tolerance-change",
                "grade": "change-up-to-perceptible",
                "decision": "conforms",
            },
        ],
    }


_TOLERANCE: Final = {
    "id": "tolerance-change",
    "formula": "CIEDE2000",
    **ONES,
    "tissue": "tooth",
    "source": "Paravina et al. 2015, J Esthet Restor Dent 27 Suppl 1: 0.8 and 1.8 for half of the observers",
    "question": "change",
    "grades": [
        {"grade": "change-up-to-perceptible", "at_most": 0.8},
        {"grade": "change-up-to-acceptable", "at_most": 1.8},
        {"grade": "change-above-acceptable"},
    ],
    "limit": 1.8,
    "decision_rule": "guarded",
    "coverage_factor": 2,
}


def _session(visit: str, day: str) -> Entry:
    calibration = {"at": f"{day}T08:05:00", "barrier_fitted": True, "result": "passed"}
    head = {"id": f"visit-{visit}", "instrument_id": "chair-meter", "started": f"{day}T08:10:00"}
    return {**head, "barrier_fitted": True, "calibration": calibration}


def _readings(visit: str) -> list[Entry]:
    day, labs = VISITS[visit]
    return [
        {
            "id": f"{visit}-{place}",
            "session_id": f"visit-{visit}",
            "specimen_id": "tooth-13",
            "zone": "middle",
            "at": f"{day}T08:1{place}:00",
            "repositioned": True,
            "hydration": "moist",
            "isolation": "none",
            "colours": [lab_colour(lab)],
        }
        for place, lab in enumerate(labs, start=1)
    ]


def _change(entry_id: str, standard: Entry, trial: Entry) -> Entry:
    sides = (standard["id"], standard["colour"]), (trial["id"], trial["colour"])
    made = comparison(entry_id, "change", sides, "CIEDE2000")
    return {**made, "uncertainty": uncertainty(repeatability=0.06, repositioning=0.1)}
