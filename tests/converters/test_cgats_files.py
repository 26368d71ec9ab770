"""Files as they occur, each with one trap or several; what they say was read off by eye.

The traps are those of published files: measurement archives of the printing industry, exports of bench
instruments, files that a spreadsheet program has saved again. Values are invented.
"""

from typing import Any

import pytest
from cgats_cases import DATA, basis, codes, kept, labs, losses

from shadefmt.converters.cgats import CgatsResult, read_cgats, seems_cgats
from shadefmt.model.case import Case
from shadefmt.model.loss_report import LossReport


def read(name: str, **options: Any) -> CgatsResult:
    result = read_cgats((DATA / name).read_bytes(), **options)
    Case.model_validate(result.case)
    LossReport.model_validate(result.loss)
    return result


def test_a_plain_file() -> None:
    result = read("plain.txt")
    assert result.case["instruments"] == [
        {"id": "instrument-1", "kind": "spectrophotometer", "geometry": "45:0", "aperture_mm": 4, "model": "bench one"}
    ]
    assert result.case["sessions"] == [{"id": "session-1", "instrument_id": "instrument-1"}]
    assert result.case["readings"][1] == {
        "id": "reading-2",
        "session_id": "session-1",
        "specimen_id": "specimen-2",
        "zone": "unknown",
        "backing": "black",
        "spectrum": {
            "quantity": "reflectance-factor",
            "start_nm": 400,
            "step_nm": 100,
            "decimals": 4,
            "values": [0.279, 0.488, 0.56, 0.581],
        },
        "colours": [
            {
                "illuminant": "D65",
                "observer": "2-degree",
                "decimals": 2,
                "origin": "instrument",
                "lab": {"L": 74.31, "a": 2.24, "b": 16.98},
            }
        ],
    }
    assert kept(result)["readings"]["reading-2"] == {
        "texts": {"SAMPLE_ID": "2", "SAMPLE_NAME": 'Varle "thin" #2', "STDEV_DE": "0.11"}
    }
    assert kept(result)["tables"][0]["comments"] == ["the day was not noted", "a line of its own"]
    assert {"keyword": "CREATED", "value": "March 2026"} in kept(result)["tables"][0]["header"]
    assert "count-mismatch" not in codes(result)
    assert losses(result) == {
        "may-name-a-person": 1,
        "quantity-assumed": 1,
        "instrument-kind-assumed": 1,
        "sitting-assumed": 1,
        "specimen-kind-assumed": 3,
        "zone-unknown": 3,
        "origin-assumed": 1,
    }


def test_the_light_of_a_measurement_is_not_the_illuminant_of_its_colours() -> None:
    """MEASUREMENT_SOURCE "A" stands in the plain file beside colours for D65."""
    assert basis(read("plain.txt")) == {("D65", "2-degree")}


@pytest.mark.parametrize(
    ("name", "identifier", "first"),
    [
        ("no-identifier.txt", "LGOROWLENGTH 10", (75.1, 1.2, 15.6)),
        ("starts-with-keyword.txt", None, (75.1, 1.2, 15.6)),
        ("spreadsheet.txt", "CGATS.17\tAverage of 2", (75.1, 1.2, 15.6)),
        ("wrong-counts.txt", "CGATS.5", (75.1, 1.2, 15.6)),
    ],
)
def test_any_first_line(name: str, identifier: str | None, first: tuple[float, ...]) -> None:
    result = read(name)
    assert kept(result).get("identifier") == identifier
    assert labs(result)[0] == first


def test_a_sentence_as_first_line_keeps_its_hash() -> None:
    result = read("sentence-first.txt")
    assert kept(result)["identifier"] == "File created by hand, on a #2 bench"
    assert result.case["readings"][0]["colours"][0]["xyz"] == {"X": 45.68, "Y": 48.27, "Z": 39.02}
    assert basis(result) == {("unknown", "unknown")}
    assert "basis-unknown" in codes(result)


def test_values_without_quotes_go_to_the_end_of_the_line() -> None:
    result = read("no-identifier.txt")
    header = kept(result)["tables"][0]["header"]
    assert {"keyword": "CREATED", "value": "July 2023"} in header
    assert {"keyword": "FILE_DESCRIPTOR", "value": "Sheet-fed test strip, second run"} in header
    assert kept(result)["tables"][0]["comments"] == ["by hand"]
    assert [each["texts"]["SampleID"] for each in kept(result)["readings"].values()] == ["0", "5"]
    assert basis(result) == {("D50", "2-degree")}


def test_what_a_spreadsheet_program_does_to_a_file() -> None:
    result = read("spreadsheet.txt")
    assert labs(result) == [(75.1, 1.2, 15.6), (74, 1.9, 17.6), (70.2, 1, 12.2)]
    assert result.case["instruments"][0]["model"] == 'bench "two"'
    assert basis(result) == {("D65", "10-degree")}
    texts = [each["texts"] for each in kept(result)["readings"].values()]
    assert texts == [
        {"SAMPLE_ID": "1", "SAMPLE_NAME": "Oskin disc"},
        {"SAMPLE_ID": "2", "SAMPLE_NAME": "Varle #3"},
        {"SAMPLE_ID": "3"},
    ]
    damaged = next(notice for notice in result.notices if notice.code == "line-in-quotes")
    assert (damaged.where, damaged.count) == ("line 2", 5)


@pytest.mark.parametrize("name", ["mixed-line-ends.txt", "cr-only.txt", "utf-8-mark.txt", "utf-16.txt"])
def test_line_ends_and_encodings(name: str) -> None:
    result = read(name)
    assert labs(result) == [(75.1, 1.2, 15.6), (74, 1.9, 17.6)]
    assert [each["texts"]["SAMPLE_NAME"] for each in kept(result)["readings"].values()] == ["Prüf", "Straße"]
    assert kept(result)["tables"][0]["header"][0]["value"] == "Prüfplättchen, Größe „klein“"
    assert basis(result) == {("D50", "10-degree")}
    assert ("encoding-assumed" in codes(result)) == (name == "mixed-line-ends.txt")
    assert result.loss["items"][0]["instances"][0]["where"] == "line 9", "lines are counted whatever ends them"


def test_a_stated_encoding_is_not_assumed() -> None:
    assert "encoding-assumed" not in codes(read("mixed-line-ends.txt", encoding="windows-1252"))


def test_pairs_of_wavelength_and_value_on_several_lines() -> None:
    result = read("pairs.txt")
    spectra = [reading["spectrum"] for reading in result.case["readings"]]
    assert [spectrum["values"] for spectrum in spectra] == [[0.2813, 0.4916, 0.5636], [0.2901, 0.5017, 0.573]]
    assert {(spectrum["start_nm"], spectrum["step_nm"], spectrum["decimals"]) for spectrum in spectra} == {
        (400, 100, 4)
    }
    assert result.case["instruments"][0]["geometry"] == "0:45"
    assert {"rows-on-several-lines", "colour-without-field"} <= codes(result)
    assert kept(result)["readings"]["reading-1"]["texts"]["LAB_H"] == "83.3"
    percent = [item for item in result.loss["items"] if item["fate"] == "converted"]
    assert [(item["path"], item["count"]) for item in percent] == [("fields/SPECTRAL_PCT", 6)]


def test_a_second_table_has_a_header_of_its_own() -> None:
    result = read("two-tables.txt")
    readings = result.case["readings"]
    assert [reading["backing"] for reading in readings] == ["black", "black", "white"]
    assert [("colours" in reading, "spectrum" in reading) for reading in readings] == [
        (True, False),
        (True, False),
        (False, True),
    ]
    assert readings[2]["spectrum"]["values"] == [0.2813, 0.3016, 1.026]
    assert kept(result)["readings"]["reading-3"] == {"texts": {"SAMPLE_ID": "k3"}, "table": 2}
    assert not codes(result) & {"looks-like-percent", "keywords-after-data"}


def test_rounded_band_names_follow_the_stated_grid_and_norm() -> None:
    """Names 353, 357 ... stand for 353.33, 356.67 ...; norm 100 makes 102.6 a factor above 1, as paper can have."""
    result = read("rounded-bands.txt")
    spectrum = result.case["readings"][0]["spectrum"]
    assert spectrum["start_nm"] == 353.333333
    assert spectrum["step_nm"] == pytest.approx(10 / 3, abs=1e-6)
    assert spectrum["values"] == [0.6532, 0.661, 0.67005, 0.68, 1.026]
    assert spectrum["decimals"] == 5
    assert "colours" not in result.case["readings"][0], "X, Y, Z are not on a scale of 100"
    assert "xyz-not-normalised" in codes(result)


def test_decimal_commas_by_option_only() -> None:
    assert labs(read("decimal-comma.txt", decimal_comma=True)) == [(85.46, -0.52, 12.1), (84, 0.4, 11.95)]


def test_wrong_counts_are_named_and_not_believed() -> None:
    result = read("wrong-counts.txt")
    messages = [notice.message for notice in result.notices if notice.code == "count-mismatch"]
    assert [("51" in text, "1624" in text) for text in messages] == [(True, False), (False, True)]
    assert result.loss["readings"] == 2


def test_settings_inside_vendor_strings() -> None:
    result = read("vendor-strings.txt")
    assert basis(result) == {("D65", "10-degree")}
    instrument = result.case["instruments"][0]
    assert (instrument["geometry"], instrument["specular"], instrument["aperture_mm"]) == ("d:8", "included", 6)


def test_spectra_of_light_are_no_reflectance() -> None:
    result = read("light.txt")
    reading = result.case["readings"][0]
    assert "spectrum" not in reading
    assert reading["colours"][0]["xyz"] == {"X": 100.378, "Y": 100, "Z": 80.393}
    assert basis(result) == {("unknown", "unknown")}
    assert kept(result)["readings"]["reading-1"]["texts"]["nm410"] == "0.93775"
    assert "spectra-of-light" in codes(result)


def test_a_file_is_read_from_where_it_stands_and_stays_open() -> None:
    with (DATA / "plain.txt").open("rb") as file:
        assert read_cgats(file) == read("plain.txt")
        assert not file.closed


def test_a_header_of_a_bench_instrument() -> None:
    """Lines without keyword, quotes that are not closed, a blank field name between two tabs, a serial number."""
    result = read("bench-header.txt")
    header = kept(result)["tables"][0]["header"]
    assert {"value": "4/28/2015"} in header
    assert {"value": "MeasurementCondition=M0    Filter=no"} in header
    assert labs(result) == [(75.1, 1.2, 15.6), (74, 1.9, 17.6)]
    assert "1001785" not in repr(result.case) + repr(result.loss)
    assert {"quotes-in-header", "count-mismatch"} <= codes(result)
    assert losses(result)["serial-number"] == 1
    assert kept(result)["readings"]["reading-2"]["texts"] == {"SAMPLE_ID": "2", "CMYK_C": "20.0"}


def test_every_file_is_known_by_its_content() -> None:
    assert all(seems_cgats(path.read_bytes()) for path in DATA.iterdir())


@pytest.mark.parametrize(
    "data",
    [b"", b"L;a;b\n75;1;15\n", b"<CxF>BEGIN_DATA</CxF>", b'{"BEGIN_DATA": 1}', b"BEGIN_DATABASE\n", b"x BEGIN_DATA"],
)
def test_other_files_are_not_taken_for_cgats(data: bytes) -> None:
    assert not seems_cgats(data)
