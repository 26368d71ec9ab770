"""A case through CxF3 and back is the case minus what the loss report lists, for cases of every shape.

The expectation is made from the original and the places that the loss report names as dropped; nothing of the
converter takes part in it.
"""

from cgats_cases import Value, without
from cxf_cases import full_cases, linked
from hypothesis import given
from model_values import values_of
from round_trips import carried, dropped, emptied, leaves

from shadefmt.checking import check
from shadefmt.converters.cxf import read_cxf, write_cxf
from shadefmt.documents import dumps
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.case import Case
from shadefmt.model.loss_report import LossReport

CARRIED = {
    "": {"format", "version", "kind", "id", "specimens", "instruments", "sessions", "readings"},
    "specimens": {"id", "kind", "tooth", "substrate", "restored", "note"},
    "instruments": {"id", "kind", "geometry", "specular", "aperture_mm", "bandpass_nm", "model"},
    "sessions": {
        *("id", "instrument_id", "started", "barrier_fitted", "surface_cleaned", "observer_count"),
        *("light", "calibration"),
    },
    "readings": {
        *("id", "session_id", "specimen_id", "zone", "column", "region", "at", "order", "repositioned", "role"),
        *("state", "medium", "backing", "hydration", "isolation", "minutes_since_isolation", "spectrum"),
        *("colours", "note"),
    },
}
"""What CxF3 carries of these cases."""


def back(data: bytes) -> Value:
    result = read_cxf(data, own_tags=True, full=True)
    Case.model_validate(result.case)
    LossReport.model_validate(result.loss)
    return result.case


def usable(case: Value) -> bool:
    """Whether a reading that counts has a number that CxF3 can hold."""
    withdrawn = {each["entry_id"] for each in case.get("withdrawals", ())}
    for reading in case["readings"]:
        if reading["id"] in withdrawn:
            continue
        if reading.get("spectrum", {}).get("wavelengths_nm", [2, 1]) != [500, 400, 300] and "spectrum" in reading:
            return True
        for colour in reading.get("colours", ()):
            if colour.get("lab", {"L": -1})["L"] >= 0 or min(colour.get("xyz", {"X": -1}).values()) >= 0:
                return True
    return False


@given(full_cases())
def test_a_case_comes_back_but_for_what_the_report_lists(case: Value) -> None:
    try:
        made = write_cxf(case, full=True)
    except Refused:
        assert not usable(case)
        return
    LossReport.model_validate(made.loss)
    assert not [item for item in made.loss["items"] if item["fate"] == "rounded"], "these cases keep to their decimals"
    left = without(case, dropped(made.loss))
    for name, members in CARRIED.items():
        for entry in [emptied(left)] if not name else [each for each in left.get(name, ()) if each]:
            assert set(entry) <= members, "something is left that CxF3 has no place for"
    found = back(made.data)
    assert linked(found) == linked(left, case)
    assert found["extensions"]["org.shadefmt.cxf"]["case_id"] == case["id"]


@given(full_cases())
def test_every_value_is_accounted_for_once(case: Value) -> None:
    try:
        made = write_cxf(case, full=True)
    except Refused:
        return
    left = without(case, dropped(made.loss))
    empty = {"/readings", "/specimens", "/instruments", "/sessions", "/withdrawals", "/revisions"}
    assert carried(made.loss) == {path: count for path, count in leaves(emptied(left)).items() if path not in empty}


@given(full_cases())
def test_what_comes_back_is_never_worse_than_what_went(case: Value) -> None:
    """A case in which no reference is broken comes back as one: what a reference needs travels with it."""
    before = check(dumps(case))
    try:
        made = write_cxf(case)
    except Refused:
        return
    broken = {each.code for each in before.findings or []}
    after = check(dumps(back(made.data)))
    assert {each.code for each in after.findings or [] if each.severity == "error"} <= broken


@given(values_of(Case))
def test_any_case_that_fits_the_model_is_written_or_refused(case: Value) -> None:
    try:
        made = write_cxf(case)
    except (Refused, WrongUse):
        return
    LossReport.model_validate(made.loss)
    assert len(back(made.data)["readings"]) == made.loss["readings"]


@given(full_cases())
def test_the_same_case_gives_the_same_bytes(case: Value) -> None:
    try:
        made = write_cxf(case)
    except Refused:
        return
    assert write_cxf(case) == made
    assert back(made.data) == back(made.data)
