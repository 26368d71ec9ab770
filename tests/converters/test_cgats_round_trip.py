"""A case through CGATS text and back is the case minus what the loss report lists, for cases of every shape.

The expectation is made from the original and the places that the loss report names as dropped; nothing of the
converter takes part in it.
"""

from cgats_cases import Value, cases, said, without
from hypothesis import given
from model_values import values_of
from round_trips import carried, dropped, emptied, leaves

from shadefmt.converters.cgats import OWN_FIELDS, read_cgats, write_cgats
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.case import Case
from shadefmt.model.loss_report import LossReport

CARRIED = {
    "": {"format", "version", "kind", "id", "specimens", "instruments", "readings"},
    "specimens": {"id", "kind", "tooth"},
    "instruments": {"geometry", "specular", "aperture_mm", "model"},
    "readings": {"id", "specimen_id", "zone", "column", "region", "role", "backing", "spectrum", "colours"},
}
"""What CGATS text carries of a case."""


def comparable(facts: dict[str, Value]) -> dict[str, Value]:
    """The same with a grid as its wavelengths: a list that is even may come back as start and step."""
    for each in facts.values():
        spectrum = each.get("spectrum")
        if spectrum:
            count = len(spectrum["values"])
            start, step = spectrum.pop("start_nm", None), spectrum.pop("step_nm", None)
            waves = spectrum.pop("wavelengths_nm", None) or [start + place * step for place in range(count)]
            each["waves"] = [round(wave, 9) for wave in waves]
    return facts


def back(data: bytes) -> Value:
    result = read_cgats(data, fields=OWN_FIELDS, notation="iso-3950", full=True)
    Case.model_validate(result.case)
    LossReport.model_validate(result.loss)
    return result.case


def usable(case: Value) -> bool:
    """Whether a reading that counts has a colour, or a spectrum with rising wavelengths."""
    withdrawn = {each["entry_id"] for each in case.get("withdrawals", ())}
    counting = [each for each in case["readings"] if each["id"] not in withdrawn]
    coloured = any("lab" in colour or "xyz" in colour for each in counting for colour in each.get("colours", ()))
    falling = [500, 400, 300]
    return coloured or any(each.get("spectrum", {}).get("wavelengths_nm", falling) != falling for each in counting)


@given(cases())
def test_a_case_comes_back_but_for_what_the_report_lists(case: Value) -> None:
    try:
        made = write_cgats(case, full=True)
    except Refused:
        assert not usable(case)
        return
    LossReport.model_validate(made.loss)
    left = without(case, dropped(made.loss))
    for name, members in CARRIED.items():
        for entry in [emptied(left)] if not name else [each for each in left.get(name, ()) if each]:
            assert set(entry) <= members, "something is left that CGATS has no place for"
    expected = comparable(said(left, case))
    found = comparable(said(back(made.data)))
    assert found == expected


@given(cases())
def test_every_value_is_accounted_for_once(case: Value) -> None:
    try:
        made = write_cgats(case, full=True)
    except Refused:
        return
    left = without(case, dropped(made.loss))
    empty = {"/readings", "/specimens", "/instruments", "/sessions", "/withdrawals"}
    remaining = {path: count for path, count in leaves(emptied(left)).items() if path not in empty}
    assert carried(made.loss) == remaining


@given(values_of(Case))
def test_any_case_that_fits_the_model_is_written_or_refused(case: Value) -> None:
    try:
        made = write_cgats(case)
    except (Refused, WrongUse):
        return
    LossReport.model_validate(made.loss)
    assert read_cgats(made.data).loss["readings"] >= made.loss["readings"]


@given(cases())
def test_the_same_case_gives_the_same_bytes(case: Value) -> None:
    try:
        made = write_cgats(case)
    except Refused:
        return
    assert write_cgats(case) == made
    assert read_cgats(made.data) == read_cgats(made.data)
