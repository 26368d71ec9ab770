"""What the caller states about a file: fields that become members, notation, ids; and what is never carried."""

from typing import Any

import pytest
from cgats_cases import labs, losses, table

from shadefmt.converters.cgats import read_cgats
from shadefmt.errors import Refused, WrongUse

FIELDS = {"specimen": "KIND", "tooth": "TOOTH", "zone": "ZONE", "group": "WHICH", "state": "STATE", "region": "WHERE"}


def test_fields_that_the_caller_names_become_members() -> None:
    data = table(
        "SampleID kind tooth zone which state where LAB_L LAB_A LAB_B",
        '1 restoration UL1 region crown glazed "near the, edge" 75.1 1.2 15.6',
        '2 restoration UL1 middle crown "" "" 74.1 1.2 15.6',
    )
    result = read_cgats(data, fields=FIELDS, notation="palmer")
    assert result.case["specimens"] == [{"id": "specimen-1", "kind": "restoration", "tooth": "21"}]
    first_reading, second = result.case["readings"]
    assert (first_reading["zone"], first_reading["region"], first_reading["state"]) == (
        "region",
        "near the, edge",
        "glazed",
    )
    assert second["zone"] == "middle"
    assert "state" not in second
    assert set(losses(result)) == {"origin-assumed"}


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("1 brick UL1 middle crown glazed x 75 1 15", "KIND"),
        ("1 tooth UL9 middle crown glazed x 75 1 15", "TOOTH"),
        ("1 tooth UL1 nowhere crown glazed x 75 1 15", "ZONE"),
    ],
)
def test_words_that_are_not_of_the_vocabulary_are_refused(row: str, said: str) -> None:
    data = table("SampleID KIND TOOTH ZONE WHICH STATE WHERE LAB_L LAB_A LAB_B", row)
    with pytest.raises(Refused, match=f"line 6: {said}"):
        read_cgats(data, fields=FIELDS, notation="palmer")


@pytest.mark.parametrize(
    "options",
    [
        {"fields": {"teeth": "TOOTH"}},
        {"fields": {"tooth": "TOOTH"}},
        {"fields": {"zone": "PLACE", "column": "place"}},
        {"fields": {"group": "ONE", "specimen_id": "TWO"}},
        {"notation": "guess"},
        {"specimen_kind": "brick"},
        {"encoding": "ascii"},
        {"quantity": "radiance"},
    ],
)
def test_arguments_that_make_no_sense(options: Any) -> None:
    with pytest.raises(WrongUse):
        read_cgats(table("LAB_L LAB_A LAB_B", "75 1 15"), **options)


def test_ids_of_the_file_stay_and_those_made_here_make_way() -> None:
    data = table("NAME WHAT LAB_L LAB_A LAB_B", "session-1 instrument-1 75 1 15", header='APERTURE "3 mm"')
    case = read_cgats(data, fields={"id": "NAME", "specimen_id": "WHAT"}).case
    assert [each["id"] for each in case["readings"] + case["specimens"]] == ["session-1", "instrument-1"]
    assert case["instruments"][0]["id"] == case["sessions"][0]["instrument_id"] == "instrument-2"
    assert case["sessions"][0]["id"] == case["readings"][0]["session_id"] == "session-2"


def test_fields_and_keywords_that_may_name_people_are_left_out() -> None:
    data = table("LAB_L LAB_A LAB_B PATIENT", '75.1 1.2 15.6 "somebody"', header='OPERATOR "someone"\nSERIAL "77"')
    result = read_cgats(data)
    text = repr(result.case)
    assert "somebody" not in text
    assert "someone" not in text
    assert "77" not in text
    assert {"may-name-a-person", "serial-number"} <= set(losses(result))


def test_labels_of_rows_do_not_become_numbers() -> None:
    assert labs(read_cgats(table("SAMPLE_ID LAB_L LAB_A LAB_B", '"0x1F" 75 1 15'))) == [(75, 1, 15)]
