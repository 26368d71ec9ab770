"""Rows at the edge: half empty, oddly cut, with comments inside, contradicting their header or one another."""

from typing import Any

import pytest
from cgats_cases import codes, kept, labs, losses, table

from shadefmt.converters.cgats import read_cgats
from shadefmt.errors import Refused

LAB = "SAMPLE_ID LAB_L LAB_A LAB_B"


def counted(result: Any, code: str) -> int:
    return sum(item["count"] for item in result.loss["items"] if item.get("code") == code)


def test_a_comment_inside_a_word_is_a_comment_and_said() -> None:
    result = read_cgats(table("LAB_L LAB_A LAB_B SAMPLE_NAME", "75.1 1.2 15.6 disc#5", "74 1 15 disc #6"))
    assert [each["texts"]["SAMPLE_NAME"] for each in kept(result)["readings"].values()] == ["disc", "disc"]
    assert kept(result)["tables"][0]["comments"] == ["5", "6"]
    said = next(notice for notice in result.notices if notice.code == "comment-in-word")
    assert (said.where, said.count) == ("line 6", 1)


def test_a_hash_in_quotes_is_data() -> None:
    result = read_cgats(table("LAB_L LAB_A LAB_B SAMPLE_NAME", '75.1 1.2 15.6 "disc#5" # why'))
    assert kept(result)["readings"]["reading-1"]["texts"]["SAMPLE_NAME"] == "disc#5"


@pytest.mark.parametrize(
    "text",
    [
        "BEGIN_DATA_FORMAT LAB_L LAB_A LAB_B END_DATA_FORMAT\nBEGIN_DATA 75.1 1.2 15.6 END_DATA",
        "BEGIN_DATA_FORMAT LAB_L\nLAB_A\n# between\nLAB_B\nEND_DATA_FORMAT NUMBER_OF_SETS 1\nBEGIN_DATA\n75.1\t1.2\t15.6\nEND_DATA",
        "begin_data_format\nlab_l lab_a lab_b\nend_data_format\nbegin_data\n75.1 1.2 15.6\nEnd_Data",
        "BEGIN_DATA_FORMAT\t\nLAB_L\tLAB_A\tLAB_B\t\t\nEND_DATA_FORMAT\t\nBEGIN_DATA\t\t\n75.1\t1.2\t15.6\t\t\nEND_DATA\t\t\n\x1a",
        'BEGIN_DATA_FORMAT\n"LAB_L" "LAB_A" "LAB_B"\nEND_DATA_FORMAT\nBEGIN_DATA\n"75.1" "1.2" "15.6"\nEND_DATA',
        '"BEGIN_DATA_FORMAT"\n"LAB_L LAB_A LAB_B"\n"END_DATA_FORMAT"\n"BEGIN_DATA"\n"75.1 1.2 15.6"\n"END_DATA"',
    ],
)
def test_the_words_of_the_format_may_share_lines_and_stand_in_quotes(text: str) -> None:
    assert labs(read_cgats(f"CGATS.17\n{text}".encode())) == [(75.1, 1.2, 15.6)]


def test_rows_of_an_unquoted_text_are_cut_at_tabs() -> None:
    result = read_cgats(table("SAMPLE_NAME LAB_L LAB_A LAB_B", "Red pink\t75.1\t1.2\t15.6", "Rose\t74\t1\t15"))
    assert labs(result) == [(75.1, 1.2, 15.6), (74, 1, 15)]
    assert kept(result)["readings"]["reading-1"]["texts"]["SAMPLE_NAME"] == "Red pink"
    assert "cells-by-tabs" in codes(result)


def test_rows_without_numbers_are_kept_aside() -> None:
    data = table("SAMPLE_ID\tZONE\tLAB_L\tLAB_A\tLAB_B", "1\tmiddle\t75.1\t1.2\t15.6", "2\tmiddle\t\t\t")
    result = read_cgats(data, fields={"zone": "ZONE"})
    assert result.loss["readings"] == 1
    assert kept(result)["tables"] == [{"table": 1, "rows": [{"SAMPLE_ID": "2", "ZONE": "middle"}]}]
    assert "row-without-reading" in codes(result)


def test_a_table_of_recipes_beside_one_of_colours_is_dropped_and_said() -> None:
    recipes = table("SAMPLE_ID CMYK_C", "1 20", "2 30")
    result = read_cgats(recipes + table(LAB, "1 75.1 1.2 15.6"))
    assert result.loss["readings"] == 1
    assert counted(result, "table-without-colour") == 4


def test_the_second_spectrum_of_a_row_is_kept_as_text() -> None:
    result = read_cgats(table("nm400 nm410 SPEC_400 SPEC_410", "0.1 0.2 0.3 0.4"))
    assert result.case["readings"][0]["spectrum"]["values"] == [0.1, 0.2]
    assert kept(result)["readings"]["reading-1"]["texts"] == {"SPEC_400": "0.3", "SPEC_410": "0.4"}
    assert "further-spectra" in codes(result)


@pytest.mark.parametrize("row", ["0.3 0 50.0", "0 0 1e5", "0.9 1e-9 99"])
def test_chromaticity_that_no_colour_has_is_left_out_and_said(row: str) -> None:
    result = read_cgats(table("XYY_X XYY_Y XYY_CAPY LAB_L LAB_A LAB_B", f"{row} 75.1 1.2 15.6"))
    assert "xyz" not in result.case["readings"][0]["colours"][0]
    assert counted(result, "incomplete") == 3


def test_more_decimals_than_a_block_states_are_rounded_and_said() -> None:
    result = read_cgats(table("LAB_L LAB_A LAB_B", "75.123456789012 1 15"))
    block = result.case["readings"][0]["colours"][0]
    assert (block["decimals"], block["lab"]["L"]) == (10, 75.123456789)
    assert counted(result, "decimals-cut") == 3


@pytest.mark.parametrize(
    ("fields", "row", "options", "code"),
    [
        ("nm400 nm410 nm420", "0.5 0.6 3.1", {}, "spectrum-out-of-range"),
        ("nm400 nm410", "-0.2 0.1", {}, "spectrum-out-of-range"),
        ("nm400 nm410", "0.5 0.6", {"percent": True}, "not-like-percent"),
        ("LAB_L LAB_A LAB_B", "-1 0 0", {}, "colour-out-of-range"),
        ("XYZ_X XYZ_Y XYZ_Z", "-1 0 0", {}, "colour-out-of-range"),
        ("LAB_L LAB_A LAB_B", "50 0 0", {"fields": {"zone": "ZONE"}}, "field-missing"),
    ],
)
def test_what_a_person_should_look_at(fields: str, row: str, options: Any, code: str) -> None:
    result = read_cgats(table(fields, row), **options)
    assert code in codes(result)
    assert result.loss["readings"] == 1


@pytest.mark.parametrize(
    ("rows", "fields", "says"),
    [
        (("1 black 75 1 15",), {"backing": "WHAT"}, "backing"),
        (("1 tooth 75 1 15", "1 stump 75 1 15"), {"group": "SAMPLE_ID", "specimen": "WHAT"}, "contradicts"),
        (("1 disc 75 1 15", "1 other 75 1 15"), {"id": "SAMPLE_ID", "specimen_id": "WHAT"}, "twice"),
        (("1 1 75 1 15",), {"id": "SAMPLE_ID", "specimen_id": "WHAT"}, "of a reading and of a specimen"),
        (("1 -x 75 1 15",), {"id": "WHAT"}, "cannot be an id"),
        ((f"1 {'x' * 201} 75 1 15",), {"group": "WHAT"}, "longer"),
    ],
)
def test_contradictions_are_refused(rows: tuple[str, ...], fields: dict[str, str], says: str) -> None:
    data = table("SAMPLE_ID WHAT LAB_L LAB_A LAB_B", *rows, header='SAMPLE_BACKING "white"')
    with pytest.raises(Refused, match=says):
        read_cgats(data, fields=fields)


@pytest.mark.parametrize("row", ["400 0.1 0 0.2", "400 0.1 -5 0.2", "400 0.1 400 0.2", '400 0.1 "" 0.2'])
def test_wavelengths_in_rows_have_to_be_wavelengths(row: str) -> None:
    with pytest.raises(Refused, match="line 6"):
        read_cgats(table("SPECTRAL_NM SPECTRAL_DEC SPECTRAL_NM SPECTRAL_DEC", row))


def test_a_field_that_is_read_as_member_cannot_be_there_twice() -> None:
    with pytest.raises(Refused, match="twice"):
        read_cgats(table("ZONE zone LAB_L LAB_A LAB_B", "middle middle 75 1 15"), fields={"zone": "ZONE"})


def test_fields_of_one_name_are_kept_apart() -> None:
    result = read_cgats(table("STDEV STDEV STDEV[2] LAB_L LAB_A LAB_B", "1 2 3 75 1 15"))
    assert kept(result)["readings"]["reading-1"]["texts"] == {"STDEV": "1", "STDEV[3]": "2", "STDEV[2]": "3"}


def test_keywords_behind_the_last_table_leave_a_doubt() -> None:
    result = read_cgats(table(LAB, "1 75.1 1.2 15.6") + b'TABLE_NAME "more"\n')
    assert "keywords-after-data" in codes(result)
    assert kept(result)["behind_tables"] == {"header": [{"keyword": "TABLE_NAME", "value": "more"}]}
    assert "tables" not in kept(result)


@pytest.mark.parametrize(
    ("data", "encoding"),
    [
        (table(LAB, "1 75 1 15").decode().encode("utf-16"), "utf-8"),
        (table(LAB, "1 75 1 15"), "utf-16"),
        (table("LAB_L LAB_A LAB_B ü", "75 1 15 x").decode().encode("cp1252"), "utf-8"),
        (table(LAB, "1 75 1 15").decode().encode("utf-16")[:-1], None),
    ],
)
def test_an_encoding_that_does_not_fit_is_refused(data: bytes, encoding: Any) -> None:
    with pytest.raises(Refused, match="line"):
        read_cgats(data, encoding=encoding)


def test_what_one_table_states_does_not_hold_for_the_next() -> None:
    stated = table(LAB, "1 75.1 1.2 15.6", header="ILLUMINANT D65\nOBSERVER 2\nSAMPLE_BACKING black")
    readings = read_cgats(stated + table(LAB, "2 75.1 1.2 15.6")).case["readings"]
    assert [reading["colours"][0]["illuminant"] for reading in readings] == ["D65", "unknown"]
    assert ["backing" in reading for reading in readings] == [True, False]


def test_readings_with_equal_conditions_are_taken_as_one_sitting() -> None:
    header = 'MEASUREMENT_GEOMETRY "45/0"'
    data = table(LAB, "1 75 1 15", header=header) + table("nm400 nm410", "0.1 0.2", header=header)
    case = read_cgats(data + table(LAB, "3 75 1 15", header='MEASUREMENT_GEOMETRY "0/45"')).case
    assert [each["kind"] for each in case["instruments"]] == ["spectrophotometer", "other"]
    assert [reading["session_id"] for reading in case["readings"]] == ["session-1", "session-1", "session-2"]
    assert "instrument-kind-assumed" not in losses(read_cgats(data, instrument_kind="colorimeter"))
