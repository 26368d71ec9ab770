"""What a written file looks like, and what the account says where something cannot be written as it stands."""

from copy import deepcopy
from typing import Any

import pytest
from cgats_cases import CASE

from shadefmt.converters.cgats import OWN_FIELDS, read_cgats, write_cgats
from shadefmt.errors import Refused, WrongUse

Value = dict[str, Any]

EXPECTED = """\
ISO28178
ORIGINATOR	"shadefmt"
KEYWORD	"CASE_ID"
CASE_ID	"urn:uuid:5f0c9f0e-8f5e-4b5c-9a55-0d9a3f1c7b21"
MEASUREMENT_GEOMETRY	"45/0"
KEYWORD	"APERTURE"
APERTURE	"4.5 mm"
SAMPLE_BACKING	"black"
WEIGHTING_FUNCTION	"ILLUMINANT, D65"
WEIGHTING_FUNCTION	"OBSERVER, 2 degree"
KEYWORD	"COLOUR_ORIGIN"
COLOUR_ORIGIN	"instrument"
KEYWORD	"SPECTRAL_QUANTITY"
SPECTRAL_QUANTITY	"reflectance-factor"
KEYWORD	"SPECTRAL_NORM"
SPECTRAL_NORM	"1"
KEYWORD	"SPECTRAL_BANDS"
SPECTRAL_BANDS	"4"
KEYWORD	"SPECTRAL_START_NM"
SPECTRAL_START_NM	"400"
KEYWORD	"SPECTRAL_END_NM"
SPECTRAL_END_NM	"700"
KEYWORD	"SPECTRAL_STEP_NM"
SPECTRAL_STEP_NM	"100"
KEYWORD	"SPECIMEN_KIND"
KEYWORD	"TOOTH"
KEYWORD	"ZONE"
KEYWORD	"SPECTRAL_NM400"
KEYWORD	"SPECTRAL_NM500"
KEYWORD	"SPECTRAL_NM600"
KEYWORD	"SPECTRAL_NM700"
NUMBER_OF_FIELDS	12
BEGIN_DATA_FORMAT
SAMPLE_ID	SAMPLE_NAME	SPECIMEN_KIND	TOOTH	ZONE	LAB_L	LAB_A	LAB_B	SPECTRAL_NM400	SPECTRAL_NM500	SPECTRAL_NM600	SPECTRAL_NM700
END_DATA_FORMAT
NUMBER_OF_SETS	1
BEGIN_DATA
"first"	"crown-11"	"restoration"	"11"	"middle"	75.04	-1.90	16.00	0.2813	0.4900	0.5636	0.5836
END_DATA

WEIGHTING_FUNCTION	"ILLUMINANT, D50"
WEIGHTING_FUNCTION	"OBSERVER, 10 degree"
KEYWORD	"COLOUR_ORIGIN"
COLOUR_ORIGIN	"typed"
KEYWORD	"SPECIMEN_KIND"
KEYWORD	"ZONE"
NUMBER_OF_FIELDS	7
BEGIN_DATA_FORMAT
SAMPLE_ID	SAMPLE_NAME	SPECIMEN_KIND	ZONE	XYZ_X	XYZ_Y	XYZ_Z
END_DATA_FORMAT
NUMBER_OF_SETS	1
BEGIN_DATA
"second"	"disc"	"material-disc"	"whole"	45.7	48.0	39.2
END_DATA
"""


def changed(**members: Any) -> Value:
    """The case with its first reading changed."""
    case = deepcopy(CASE)
    case["readings"][0] |= members
    return case


def lost(case: Value) -> dict[tuple[str, str], int]:
    items = write_cgats(case, full=True).loss["items"]
    return {(item["path"], item["code"]): item["count"] for item in items if "code" in item}


def test_a_written_file() -> None:
    assert write_cgats(CASE).data.decode() == EXPECTED


def test_what_cgats_has_no_place_for_is_listed_by_path() -> None:
    case = changed(hydration="moist", note="calm")
    case["verdicts"] = [{"id": "v", "comparison_id": "c", "decision": "not-judged"}]
    assert lost(case) == {
        ("/instruments/*/id", "no-place-in-cgats"): 1,
        ("/instruments/*/kind", "no-place-in-cgats"): 1,
        ("/sessions/*", "no-place-in-cgats"): 1,
        ("/readings/*/session_id", "no-place-in-cgats"): 1,
        ("/readings/*/hydration", "no-place-in-cgats"): 1,
        ("/readings/*/note", "no-place-in-cgats"): 1,
        ("/verdicts/*", "no-place-in-cgats"): 1,
    }


def test_readings_that_were_withdrawn_are_not_passed_off_as_valid() -> None:
    case = deepcopy(CASE)
    case["withdrawals"] = [{"id": "w", "entry_id": "first", "reason": "moved"}]
    made = write_cgats(case)
    assert b'"first"' not in made.data
    assert lost(case)["/readings/*", "withdrawn"] == 1
    assert made.loss["readings"] == 1


def test_digits_beyond_the_stated_decimals_are_rounded_and_said() -> None:
    case = deepcopy(CASE)
    case["readings"][0]["colours"][0]["lab"] = {"L": 75.0449, "a": -0.001, "b": 16}
    item = next(item for item in write_cgats(case).loss["items"] if item["fate"] == "rounded")
    assert (item["path"], item["code"]) == ("/readings/*/colours/*/lab/L", "beyond-decimals")
    assert "75.0449" in item["instances"][0].values()
    assert "75.04" in item["instances"][0].values()
    assert "-0.00" not in write_cgats(case).data.decode()


@pytest.mark.parametrize("text", ["two\nlines", "tab\there", "bell\x07", "next\x85line", "\u2028"])
def test_a_text_of_several_lines_is_left_out_and_said(text: str) -> None:
    case = changed(zone="region", region=text)
    assert lost(case)["/readings/*/region", "text-of-several-lines"] == 1
    assert read_cgats(write_cgats(case).data).loss["readings"] == 2


@pytest.mark.parametrize("text", ['say "x"', "#5", "END_DATA", "größe", " blanks ", "'", "a,b;c=d"])
def test_a_text_of_one_line_comes_back(text: str) -> None:
    case = changed(zone="region", region=text)
    found = read_cgats(write_cgats(case).data, fields=OWN_FIELDS, notation="iso-3950")
    assert found.case["readings"][0]["region"] == text


def test_further_colours_of_a_reading_stand_in_tables_behind() -> None:
    case = deepcopy(CASE)
    block = case["readings"][0]["colours"][0]
    case["readings"][0]["colours"] = [block, block | {"origin": "computed"}, block | {"illuminant": "A"}, block]
    made = write_cgats(case)
    assert made.data.count(b"BEGIN_DATA\n") == 4
    assert lost(case)["/readings/*/colours/*", "second-colour"] == 1
    found = read_cgats(made.data, fields=OWN_FIELDS, notation="iso-3950").case["readings"][0]
    assert found["colours"] == case["readings"][0]["colours"][:3]
    assert read_cgats(made.data).loss["readings"] == 4, "without fields nothing says that rows are one reading"


def test_the_same_id_for_two_readings_is_refused_by_the_reader() -> None:
    data = write_cgats(CASE).data.replace(b'"second"', b'"first"')
    with pytest.raises(Refused, match="twice"):
        read_cgats(data, fields=OWN_FIELDS, notation="iso-3950")


def test_a_case_without_numbers_is_refused() -> None:
    case = deepcopy(CASE)
    for reading in case["readings"]:
        reading.pop("colours")
        reading.pop("spectrum", None)
    with pytest.raises(Refused, match="no reading"):
        write_cgats(case)


def test_what_is_no_sound_case_is_wrong_use() -> None:
    twice = deepcopy(CASE)
    twice["readings"][1]["id"] = "first"
    for case in ({}, CASE | {"kind": "report"}, CASE | {"readings": 5}, changed(zone="nowhere"), twice):
        with pytest.raises(WrongUse):
            write_cgats(case)


def test_members_of_a_newer_version_are_dropped_and_said() -> None:
    case = changed(glow="faint") | {"version": "1.7"}
    assert lost(case)["/readings/*/glow", "no-place-in-cgats"] == 1
