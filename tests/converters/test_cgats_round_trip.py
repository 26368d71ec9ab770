"""A case through CGATS text and back is the case minus what the loss report lists, for cases of every shape.

The expectation is made from the original and the places that the loss report names as dropped; nothing of the
converter takes part in it.
"""

from typing import Any

from cgats_cases import Value, cases, said, without
from hypothesis import given
from model_values import values_of

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


def dropped(loss: Value) -> list[str]:
    return [each["where"] for item in loss.get("items", ()) if item["fate"] == "dropped" for each in item["instances"]]


def leaves(value: Any, pattern: str = "") -> dict[str, int]:
    """How often each member that holds no object occurs, by path with `*` for places."""
    found: dict[str, int] = {}
    if isinstance(value, dict):
        pairs = [(f"{pattern}/{name}", each) for name, each in value.items()]
    elif isinstance(value, list) and any(isinstance(each, dict) for each in value):
        pairs = [(f"{pattern}/*", each) for each in value]
    else:
        return {pattern: 1}
    for path, each in pairs:
        for leaf, count in leaves(each, path).items():
            found[leaf] = found.get(leaf, 0) + count
    return found


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
    carried: dict[str, int] = {}
    for item in made.loss["items"]:
        if item["fate"] in ("kept", "renamed", "converted"):
            carried[item["path"]] = carried.get(item["path"], 0) + item["count"]
        elif item["fate"] == "dropped":
            assert item["count"] == len(item["instances"])
    empty = {"/readings", "/specimens", "/instruments", "/sessions", "/withdrawals"}
    remaining = {path: count for path, count in leaves(emptied(left)).items() if path not in empty}
    assert carried == remaining


def emptied(value: Any) -> Any:
    """Without entries that were dropped whole and objects that hold nothing any more."""
    if isinstance(value, dict):
        made = {name: emptied(each) for name, each in value.items()}
        return {name: each for name, each in made.items() if each not in ({}, [])}
    if isinstance(value, list):
        made_list = [emptied(each) for each in value if each is not None]
        return [each for each in made_list if each not in ({}, [])]
    return value


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
