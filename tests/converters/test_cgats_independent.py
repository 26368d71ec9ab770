"""Files that we write are read right by independent readers; files that an independent program wrote, by us."""

import json
import unicodedata

import pytest
from cgats_cases import CASE, Value, basis, cases, labs
from hypothesis import given
from independent_cgats import LittleCms, by_csv, library

from shadefmt.converters.cgats import read_cgats, write_cgats
from shadefmt.errors import Refused

LIBRARY = library()
needs_little_cms = pytest.mark.skipif(LIBRARY is None, reason="Little CMS is not on this system")


@needs_little_cms
def test_little_cms_reads_what_we_write() -> None:
    assert LIBRARY is not None
    first, second = LittleCms(LIBRARY).read(write_cgats(CASE).data)
    assert first["names"] == [
        *("SAMPLE_ID", "SAMPLE_NAME", "SPECIMEN_KIND", "TOOTH", "ZONE", "LAB_L", "LAB_A", "LAB_B"),
        *("SPECTRAL_NM400", "SPECTRAL_NM500", "SPECTRAL_NM600", "SPECTRAL_NM700"),
    ]
    assert [first["rows"][0][place] for place in (0, 1, 2, 3, 4)] == [
        "first",
        "crown-11",
        "restoration",
        "11",
        "middle",
    ]
    assert [float(cell) for cell in first["rows"][0][5:]] == [75.04, -1.9, 16, 0.2813, 0.49, 0.5636, 0.5836]
    keywords = first["keywords"]
    assert keywords["ORIGINATOR"] == "shadefmt"
    assert keywords["CASE_ID"] == CASE["id"]
    assert (keywords["SAMPLE_BACKING"], keywords["MEASUREMENT_GEOMETRY"], keywords["APERTURE"]) == (
        "black",
        "45/0",
        "4.5 mm",
    )
    assert (keywords["ILLUMINANT"], keywords["OBSERVER"]) == ("D65", "2 degree")
    assert second["keywords"]["ILLUMINANT"] == "D50"
    assert [float(cell) for cell in second["rows"][0][-3:]] == [45.7, 48, 39.2]


@needs_little_cms
def test_we_read_what_little_cms_writes() -> None:
    assert LIBRARY is not None
    data = LittleCms(LIBRARY).write(
        ["SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"],
        [["1", "Oskin disc", "75.1", "1.2", "15.6"], ["2", "Varle", "74.0", "1.9", "17.6"]],
        {"DESCRIPTOR": "invented", "SAMPLE_BACKING": "black", "MEASUREMENT_GEOMETRY": "45/0"},
        {"ILLUMINANT": "D50", "OBSERVER": "2 degree"},
    )
    result = read_cgats(data)
    assert labs(result) == [(75.1, 1.2, 15.6), (74, 1.9, 17.6)]
    assert basis(result) == {("D50", "2-degree")}
    assert {reading["backing"] for reading in result.case["readings"]} == {"black"}
    assert result.case["instruments"][0]["geometry"] == "45:0"
    texts = [each["texts"] for each in result.case["extensions"]["org.shadefmt.cgats"]["readings"].values()]
    assert [each["SAMPLE_NAME"] for each in texts] == ["Oskin disc", "Varle"]
    assert not [notice for notice in result.notices if notice.code == "count-mismatch"]


@given(cases())
def test_the_csv_module_reads_what_we_write(case: Value) -> None:
    try:
        made = write_cgats(case)
    except Refused:
        return
    tables = list(by_csv(made.data))
    readings = {each["id"]: each for each in case["readings"]}
    found = set()
    for table in tables:
        assert int(table["header"]["NUMBER_OF_FIELDS"][0]) == len(table["names"])
        assert int(table["header"]["NUMBER_OF_SETS"][0]) == len(table["rows"])
        for row in table["rows"]:
            assert len(row) == len(table["names"])
            cells = dict(zip(table["names"], row, strict=True))
            reading = readings[cells["SAMPLE_ID"]]
            found.add(reading["id"])
            assert cells["SAMPLE_NAME"] == reading["specimen_id"]
            if "SPECTRAL_QUANTITY" in table["header"]:
                name = "SPECTRAL_DEC" if "SPECTRAL_DEC" in table["names"] else "SPECTRAL_NM"
                values = [float(cell) for each, cell in zip(table["names"], row, strict=True) if each.startswith(name)]
                assert values == reading["spectrum"]["values"]
            for member, fields in (("lab", "LAB_L LAB_A LAB_B"), ("xyz", "XYZ_X XYZ_Y XYZ_Z")):
                if fields.split()[0] in cells:
                    numbers = [float(cells[field]) for field in fields.split()]
                    blocks = [list(each[member].values()) for each in reading["colours"] if member in each]
                    assert numbers in blocks
    assert len(found) == made.loss["readings"]
    assert made.data.startswith(b"ISO28178\n")
    assert made.data.endswith(b"\nEND_DATA\n")


@given(cases())
def test_written_files_are_plain_text(case: Value) -> None:
    try:
        data = write_cgats(case).data
    except Refused:
        return
    text = data.decode("utf-8")
    assert not [character for character in text if unicodedata.category(character) == "Cc" and character not in "\t\n"]
    assert text.isascii() or not json.dumps(case, ensure_ascii=False).isascii()
