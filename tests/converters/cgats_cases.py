"""CGATS files with one table, cases for the round trip, and what a reading says, worked out without the converter."""

from copy import deepcopy
from pathlib import Path
from typing import Any, Final

from hypothesis import strategies as st

from shadefmt.converters.cgats import CgatsResult
from shadefmt.model import case as models
from shadefmt.model import measuring

Value = dict[str, Any]

DATA = Path(__file__).parent / "data" / "cgats"

IDS: Final = [
    *("crown-11", "reading-1", "reading-2", "specimen-1", "session-1", "instrument-1", "k.9_x", "0", "z" * 80),
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
]
TEXTS: Final = st.one_of(
    st.sampled_from(
        ['say ""', '"', "#5", "a\tb", "two\nlines", " lead", "trail ", "é 21", "END_DATA", "1,5", "\x85", "☃" * 40]
    ),
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=12),
)
UNKNOWN_TO_CGATS: Final = {
    "hydration": "moist",
    "isolation": "none",
    "state": "glazed",
    "order": 3,
    "repositioned": True,
    "note": "calm",
    "at": "2026-03-04",
    "minutes_since_isolation": 2.5,
    "medium": "gel",
    "visual": {"reference_set_id": "guide", "sure": True},
}
INSTRUMENT: Final = {
    "geometry": st.sampled_from(["0:45", "45:0", "d:0", "0:d", "d:8", "8:d", "other", "unknown"]),
    "specular": st.sampled_from(["included", "excluded", "unknown"]),
    "aperture_mm": st.sampled_from([3, 4.5, 0.125, 1e-3, 12345.678]),
    "bandpass_nm": st.just(10),
    "model": TEXTS,
}
SPECIMEN: Final = {
    "tooth": st.sampled_from(["11", "48", "85"]),
    "substrate": st.just("dentine"),
    "restored": st.booleans(),
    "note": st.just("calm"),
}
READING: Final = {
    "column": st.sampled_from(["mesial", "central", "distal"]),
    "region": TEXTS,
    "role": st.sampled_from(["ordinary", "control", "check-patch"]),
    "backing": st.sampled_from(["black", "white", "grey", "tooth-coloured", "mouth", "none", "unknown"]),
    **{name: st.just(value) for name, value in UNKNOWN_TO_CGATS.items()},
}


def kept(result: CgatsResult) -> Value:
    extension: Value = result.case["extensions"]["org.shadefmt.cgats"]
    return extension


def codes(result: CgatsResult) -> set[str]:
    return {notice.code for notice in result.notices}


def losses(result: CgatsResult) -> dict[str, int]:
    return {item["code"]: item["count"] for item in result.loss["items"] if "code" in item}


def labs(result: CgatsResult) -> list[tuple[float, ...]]:
    return [tuple(reading["colours"][0]["lab"].values()) for reading in result.case["readings"]]


def basis(result: CgatsResult) -> set[tuple[str, str]]:
    blocks = [colour for reading in result.case["readings"] for colour in reading.get("colours", ())]
    return {(block["illuminant"], block["observer"]) for block in blocks}


def table(fields: str, *rows: str, header: str = "") -> bytes:
    """A file with one table."""
    head = ["CGATS.17", *([header] if header else []), "BEGIN_DATA_FORMAT", fields, "END_DATA_FORMAT", "BEGIN_DATA"]
    return "\n".join([*head, *rows, "END_DATA", ""]).encode()


def rounded(number: float, decimals: int) -> float:
    value = round(number, decimals)
    return int(value) if float(value).is_integer() else value


@st.composite
def some(draw: st.DrawFn, members: dict[str, st.SearchStrategy[Any]]) -> Value:
    """A few of the members, in their order."""
    chosen = draw(st.sets(st.sampled_from(sorted(members))))
    return {name: draw(each) for name, each in members.items() if name in chosen}


@st.composite
def spectra(draw: st.DrawFn) -> Value:
    decimals = draw(st.integers(0, 10))
    grid = draw(
        st.sampled_from(
            [
                {"start_nm": 400, "step_nm": 10},
                {"start_nm": 353.333333, "step_nm": 3.3333333333333335},
                {"start_nm": 380.5, "step_nm": 0.1},
                {"start_nm": 60, "step_nm": 20},
                {"start_nm": 9990, "step_nm": 10},
                {"start_nm": 400, "step_nm": 1e-7},
                {"wavelengths_nm": [400, 410, 430, 500]},
                {"wavelengths_nm": [400.123456789, 410, 420.25]},
                {"wavelengths_nm": [400, 420, 440]},
                {"wavelengths_nm": [10, 20]},
                {"wavelengths_nm": [500, 400, 300]},
            ]
        )
    )
    count = len(grid.get("wavelengths_nm", [])) or draw(st.integers(2, 6))
    values = draw(st.lists(st.floats(-0.1, 2), min_size=count, max_size=count))
    quantity = draw(st.sampled_from(["reflectance-factor", "transmittance-factor"]))
    return {"quantity": quantity, **grid, "decimals": decimals, "values": [rounded(v, decimals) for v in values]}


@st.composite
def colours(draw: st.DrawFn) -> Value:
    decimals = draw(st.integers(0, 10))
    numbers = st.floats(-130, 130).map(lambda number: rounded(number, decimals))
    made: Value = {
        "illuminant": draw(st.sampled_from(["D65", "A", "FL2", "LED-B3", "unknown"])),
        "observer": draw(st.sampled_from(["2-degree", "10-degree", "unknown"])),
        "decimals": decimals,
        "origin": draw(st.sampled_from(["instrument", "computed", "typed"])),
    }
    for member, letters in (("lab", "Lab"), ("xyz", "XYZ")):
        if draw(st.booleans()):
            made[member] = {letter: draw(numbers) for letter in letters}
    return made


@st.composite
def readings(draw: st.DrawFn, identity: str, specimens: list[str], sessions: list[str]) -> Value:
    made: Value = {"id": identity}
    if sessions and draw(st.booleans()):
        made["session_id"] = draw(st.sampled_from(sessions))
    made["specimen_id"] = draw(st.sampled_from(specimens))
    made["zone"] = draw(st.sampled_from(["whole", "middle", "region", "unknown"]))
    made |= draw(some(READING))
    if draw(st.booleans()):
        made["spectrum"] = draw(spectra())
    if draw(st.booleans()):
        made["colours"] = draw(st.lists(colours(), min_size=1, max_size=3))
    order = list(measuring.Reading.model_fields)
    return dict(sorted(made.items(), key=lambda item: order.index(item[0])))


@st.composite
def cases(draw: st.DrawFn) -> Value:
    """Cases of every shape that bears on the round trip; ids differ, references hold."""
    ids = iter(draw(st.permutations(IDS)))
    instruments = [{"id": next(ids), "kind": "colorimeter", **draw(some(INSTRUMENT))} for _ in range(draw(counts(2)))]
    specimens = [{"id": next(ids), "kind": "tooth", **draw(some(SPECIMEN))} for _ in range(1 + draw(counts(2)))]
    sessions = [{"id": next(ids), "barrier_fitted": True} for _ in range(draw(counts(2)))]
    for session in sessions:
        if instruments:
            session["instrument_id"] = draw(st.sampled_from(instruments))["id"]
    names = [each["id"] for each in specimens], [each["id"] for each in sessions]
    taken = [draw(readings(next(ids), *names)) for _ in range(1 + draw(counts(4)))]
    withdrawals = [{"id": next(ids), "entry_id": taken[0]["id"], "reason": "moved"}] if draw(st.booleans()) else []
    lists = {
        "instruments": instruments,
        "specimens": specimens,
        "sessions": sessions,
        "readings": taken,
        "withdrawals": withdrawals,
    }
    made = {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:5f0c9f0e-8f5e-4b5c-9a55-0d9a3f1c7b21",
    }
    if draw(st.booleans()):
        made["privacy"] = {"status": "pseudonymised", "dates": "exact"}
        made["extensions"] = {"org.example.kiln": {"programme": [1, {"a": "b"}]}}
    made |= {name: entries for name, entries in lists.items() if entries}
    order = list(models.Case.model_fields)
    return dict(sorted(made.items(), key=lambda item: order.index(item[0])))


def counts(most: int) -> st.SearchStrategy[int]:
    return st.integers(0, most)


def without(case: Value, pointers: list[str]) -> Value:
    """The case without what pointers name; entries keep their places, what is empty is left."""
    left = deepcopy(case)
    for pointer in pointers:
        *above, last = [part.replace("~1", "/").replace("~0", "~") for part in pointer[1:].split("/")]
        holder: Any = left
        for part in above:
            holder = holder[int(part)] if isinstance(holder, list) else holder[part]
        if isinstance(holder, list):
            assert holder[int(last)] is not None, f"{pointer} is dropped twice"
            holder[int(last)] = None
        else:
            del holder[last]
    return left


def said(case: Value, links: Value | None = None) -> dict[str, Value]:
    """What the readings of a case say, by id, with instrument and specimen put in place of references to them.

    `links` is the case whose references hold, where `case` has lost some.
    """
    links = links or case
    found = {}
    for place, reading in enumerate(case["readings"]):
        if not reading:
            continue
        original = links["readings"][place]
        facts = {name: value for name, value in reading.items() if name != "session_id"}
        specimens = dict(zip([each["id"] for each in links["specimens"]], case["specimens"], strict=True))
        facts["specimen"] = specimens[original["specimen_id"]]
        sessions = {each["id"]: each for each in links.get("sessions", ())}
        instruments = dict(
            zip([each["id"] for each in links.get("instruments", ())], case.get("instruments", ()), strict=True)
        )
        session = sessions.get(original.get("session_id"), {})
        instrument = instruments.get(session.get("instrument_id")) or {}
        facts["instrument"] = {name: value for name, value in instrument.items() if name not in ("id", "kind")}
        facts["colours"] = [each for each in reading.get("colours", ()) if each]
        found[original["id"]] = facts
    return found


CASE: Value = {
    "format": "shadefmt",
    "version": "1.0",
    "kind": "case",
    "id": "urn:uuid:5f0c9f0e-8f5e-4b5c-9a55-0d9a3f1c7b21",
    "instruments": [{"id": "bench", "kind": "spectrophotometer", "geometry": "45:0", "aperture_mm": 4.5}],
    "specimens": [{"id": "crown-11", "kind": "restoration", "tooth": "11"}, {"id": "disc", "kind": "material-disc"}],
    "sessions": [{"id": "sitting", "instrument_id": "bench"}],
    "readings": [
        {
            "id": "first",
            "session_id": "sitting",
            "specimen_id": "crown-11",
            "zone": "middle",
            "backing": "black",
            "spectrum": {
                "quantity": "reflectance-factor",
                "start_nm": 400,
                "step_nm": 100,
                "decimals": 4,
                "values": [0.2813, 0.49, 0.5636, 0.5836],
            },
            "colours": [
                {
                    "illuminant": "D65",
                    "observer": "2-degree",
                    "decimals": 2,
                    "origin": "instrument",
                    "lab": {"L": 75.04, "a": -1.9, "b": 16},
                }
            ],
        },
        {
            "id": "second",
            "specimen_id": "disc",
            "zone": "whole",
            "colours": [
                {
                    "illuminant": "D50",
                    "observer": "10-degree",
                    "decimals": 1,
                    "origin": "typed",
                    "xyz": {"X": 45.7, "Y": 48, "Z": 39.2},
                }
            ],
        },
    ],
}
"""One case with a spectrum and two colours, written out."""
