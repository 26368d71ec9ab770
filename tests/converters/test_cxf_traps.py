"""What real CxF3 files do that breaks a naive reader: one small hand-written file each, in data/cxf."""

from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from shadefmt.converters.cxf import CxfResult, read_cxf
from shadefmt.errors import Refused
from shadefmt.model.case import Case
from shadefmt.model.loss_report import LossReport
from shadefmt.model.schema import schema_of

DATA = Path(__file__).resolve().parent / "data" / "cxf"
CASE_SCHEMA = Draft202012Validator(schema_of("case"))
LOSS_SCHEMA = Draft202012Validator(schema_of("loss-report"))
VALUES = [0.412, 0.4375, 0.461, 0.4833]

Value = dict[str, Any]


def data(name: str) -> bytes:
    return (DATA / f"{name}.cxf").read_bytes()


def read(name: str, **options: Any) -> CxfResult:
    result = read_cxf(data(name), **options)
    CASE_SCHEMA.validate(result.case)
    LOSS_SCHEMA.validate(result.loss)
    LossReport.model_validate(result.loss)
    assert Case.model_validate(result.case).to_value() == result.case
    return result


def codes(result: CxfResult) -> set[str]:
    """Codes of the notices but for the one that every file with names brings."""
    return {notice.code for notice in result.notices} - {"texts-kept"}


def losses(result: CxfResult) -> set[str]:
    return {item["code"] for item in result.loss["items"] if "code" in item}


def kept(result: CxfResult) -> Value:
    extension: Value = result.case["extensions"]["org.shadefmt.cxf"]
    return extension


def only_reading(result: CxfResult) -> Value:
    (reading,) = result.case["readings"]
    assert isinstance(reading, dict)
    return reading


def grid(reading: Value) -> tuple[Any, Any]:
    return reading["spectrum"].get("start_nm"), reading["spectrum"].get("step_nm")


def test_layout_of_the_xml_says_nothing() -> None:
    result = read("layout")
    reading = only_reading(result)
    assert reading["spectrum"] == {
        "quantity": "reflectance-factor",
        "start_nm": 400,
        "step_nm": 20,
        "decimals": 4,
        "values": VALUES,
    }
    assert reading["at"] == "2026-02-03T10:00:00"
    assert kept(result)["readings"]["reading-1"]["object_name"] == "disc & tile"


def test_spectrum_and_colour_under_two_specifications_of_one_measurement_are_one_reading() -> None:
    result = read("two-specifications")
    reading = only_reading(result)
    (colour,) = reading["colours"]
    assert (colour["illuminant"], colour["observer"], colour["origin"]) == ("D50", "2-degree", "instrument")
    assert reading["spectrum"]["values"] == VALUES
    assert kept(result)["readings"]["reading-1"]["specification_ids"] == ["s1", "s2"]


def test_other_conditions_of_measurement_are_another_reading() -> None:
    result = read("other-conditions")
    first, second = result.case["readings"]
    assert ("spectrum" in first, "colours" in first, "spectrum" in second, "colours" in second) == (
        True,
        False,
        False,
        True,
    )
    assert [each["specular"] for each in result.case["instruments"]] == ["included", "excluded"]
    assert first["specimen_id"] == second["specimen_id"]


def test_several_conditions_give_several_readings_and_the_colour_finds_its_own() -> None:
    result = read("three-conditions")
    readings = result.case["readings"]
    assert [each["at"] for each in readings] == [f"2026-02-03T10:0{minute}:00+01:00" for minute in range(3)]
    assert ["colours" in each for each in readings] == [False, True, False]
    assert {each["backing"] for each in readings} == {"black"}
    assert [(each["aperture_mm"], each["model"]) for each in result.case["instruments"]] == [(4.5, "bench seven")] * 3


def test_a_serial_number_goes_nowhere() -> None:
    result = read("three-conditions")
    assert "serial-number" in losses(result)
    assert "00001" not in str(result.case)
    assert "00001" not in str(result.loss)
    assert [each["id"] for each in result.case["instruments"]] == ["instrument-1", "instrument-2", "instrument-3"]


def test_an_id_that_says_something_is_not_believed() -> None:
    (colour,) = only_reading(read("id-says-otherwise"))["colours"]
    assert (colour["illuminant"], colour["observer"]) == ("D65", "10-degree")


def test_names_and_guids_need_not_be_unique_nor_ids_be_xml_names() -> None:
    result = read("names-repeat")
    first, second = result.case["readings"]
    assert first["specimen_id"] != second["specimen_id"]
    objects = kept(result)["readings"]
    assert [objects[each]["object_id"] for each in ("reading-1", "reading-2")] == ["01_1", "01_2"]
    assert objects["reading-1"]["object_guid"] == objects["reading-2"]["object_guid"] == "7f1d"


def test_a_colour_far_from_its_spectrum_stays_beside_it() -> None:
    reading = only_reading(read("colour-far-off"))
    assert reading["colours"][0]["lab"] == {"L": 34.31, "a": 1.2, "b": 15.77}
    assert reading["spectrum"]["values"] == VALUES


def test_the_grid_begins_where_the_file_says() -> None:
    assert grid(only_reading(read("start-380"))) == (380, 20)


def test_the_start_on_the_spectrum_wins_and_the_conflict_is_said() -> None:
    result = read("start-conflict")
    assert grid(only_reading(result)) == (390, 20)
    assert "grid-start-conflict" in codes(result)
    assert "grid-start-conflict" not in codes(read("start-380"))


def test_an_increment_on_the_spectrum_is_used_and_said() -> None:
    result = read("increment-on-spectrum")
    assert grid(only_reading(result)) == (400, 10)
    assert "increment-on-spectrum" in codes(result)


def test_a_wrong_number_of_points_is_refused() -> None:
    with pytest.raises(Refused, match="NumPoints says 5, but there are 4"):
        read("number-of-points-wrong")


def test_colours_without_a_spectrum_although_the_type_says_spectral() -> None:
    reading = only_reading(read("colours-only"))
    assert "spectrum" not in reading
    assert reading["colours"][0]["lab"] == {"L": 74.31, "a": 1.2, "b": 15.77}


def test_without_an_increment_there_is_no_grid() -> None:
    result = read("no-increment")
    reading = only_reading(result)
    assert grid(reading) == (None, None)
    assert reading["spectrum"]["values"] == VALUES
    assert "grid-unknown" in codes(result)
    assert kept(result)["readings"]["reading-1"]["as_written"] == {"ReflectanceSpectrum/@StartWL": "400"}


def test_objects_paired_by_tags_keep_their_tags() -> None:
    result = read("location-tags")
    tags = [
        {"collection": "Location", "name": name, "value": value}
        for name, value in (("Page", "1"), ("Row", "2"), ("Column", "1"))
    ]
    assert kept(result)["readings"]["reading-1"]["tags"] == tags
    assert kept(result)["objects"][0]["tags"] == tags
    assert kept(result)["objects"][0]["object_name"] == "patch"
    assert "device-colours" in losses(result)
    assert "object-without-reading" in codes(result)


def test_missing_parts_stay_missing() -> None:
    first, second = read("parts-missing").case["readings"]
    assert "at" not in first
    assert "session_id" not in first
    assert "session_id" not in second
    assert (second["colours"][0]["illuminant"], second["colours"][0]["observer"]) == ("D65", "2-degree")


def test_nil_leaves_half_a_colour_and_that_is_left_out() -> None:
    result = read("nil-values")
    assert "colours" not in only_reading(result)
    assert {"colour-incomplete", "xml-attribute", "not-carried"} <= losses(result)
    paths = {item["path"] for item in result.loss["items"]}
    assert "CxF/Resources/ProfileCollection/Profile/ProfileChoice/ProfileFile" in paths
    assert "CxF/CustomResources/{urn:example:sheet}Sheet/{urn:example:sheet}Patch/@ObjectRef" in paths


def test_percent_is_said_and_only_converted_on_request() -> None:
    result = read("percent")
    assert only_reading(result)["spectrum"]["values"] == [41.2, 43.75, 46.1, 48.33]
    assert "looks-like-percent" in codes(result)
    converted = read("percent", percent=True)
    assert only_reading(converted)["spectrum"] == {
        "quantity": "reflectance-factor",
        "start_nm": 400,
        "step_nm": 20,
        "decimals": 4,
        "values": VALUES,
    }
    assert codes(converted) == set()
    assert any(item.get("reason") == "percent to factor" for item in converted.loss["items"])


def test_factors_above_one_are_factors() -> None:
    result = read("above-one")
    assert only_reading(result)["spectrum"]["values"] == [0.98, 1.05, 1.1, 1.03]
    assert codes(result) == set()
    assert "not-like-percent" in codes(read("above-one", percent=True))


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("cad-font", "not XML"),
        ("controller-project", "another kind of XML"),
        ("first-generation", "CxF of the first generation"),
        ("second-generation", "CxF2 or another CxF"),
        ("tm-27", "TM-27"),
        ("doctype", "DOCTYPE"),
        ("external-entity", "DOCTYPE"),
        ("growing-entities", "DOCTYPE"),
        ("undeclared-entity", "entity|Entity"),
        ("empty-collection", "no Object"),
        ("dangling", "'s9', which the file does not hold"),
        ("specification-twice", "two different ColorSpecifications have the Id 's1'"),
        ("not-finite", "'NaN' is not a finite number"),
        ("decimal-comma", "decimal comma"),
    ],
)
def test_what_cannot_be_a_faithful_case_is_refused_by_name(name: str, said: str) -> None:
    with pytest.raises(Refused, match=said) as refusal:
        read(name)
    assert refusal.value.where


def test_early_spellings_are_read_and_said() -> None:
    result = read("colour-spellings")
    reading = only_reading(result)
    assert reading["spectrum"]["values"] == VALUES
    assert grid(reading) == (400, 20)
    assert reading["colours"][0]["lab"] == {"L": 74.31, "a": 1.2, "b": 15.77}
    said = {notice.message for notice in result.notices if notice.code == "other-spelling"}
    assert "The name ColourValues was read as ColorValues." in said
    assert "basis-unknown" in codes(result)


def test_a_sphere_as_an_element_is_read_and_said() -> None:
    result = read("sphere-as-element")
    assert result.case["instruments"][0]["specular"] == "excluded"
    assert "other-spelling" in codes(result)


def test_decimal_commas_are_read_on_request() -> None:
    reading = only_reading(read("decimal-comma", decimal_comma=True))
    assert reading["spectrum"]["values"] == VALUES
    assert reading["colours"][0]["lab"] == {"L": 74.31, "a": 1.2, "b": 15.77}


def test_encrypted_values_are_said_to_be_unread() -> None:
    result = read("encrypted")
    assert "spectrum" not in only_reading(result)
    assert "encrypted" in codes(result)
    assert "encrypted" in losses(result)


def test_points_become_wavelengths_in_order() -> None:
    result = read("points")
    assert only_reading(result)["spectrum"] == {
        "quantity": "reflectance-factor",
        "wavelengths_nm": [403.5, 550, 700],
        "decimals": 4,
        "values": [0.412, 0.55, 0.6031],
    }
    assert "points-reordered" in codes(result)


def test_points_of_an_unknown_quantity_stay_aside() -> None:
    result = read("points-of-unknown-kind")
    assert "spectrum" not in only_reading(result)
    assert kept(result)["readings"]["reading-1"]["other"] == {
        "CustomSpectrum[1]": {"wavelengths_nm": [400, 700], "decimals": 4, "values": [0.412, 0.6031]}
    }
    assert "quantity-unknown" in codes(result)


def test_restated_colours_keep_their_own_words() -> None:
    result = read("restated-colours")
    (colour,) = only_reading(result)["colours"]
    assert colour["lab"] == {"L": 70, "a": 10, "b": 17.32}  # 20 cos 60 degrees, 20 sin 60 degrees
    assert colour["decimals"] == 2
    mine = kept(result)["readings"]["reading-1"]
    assert mine["as_written"] == {"ColorCIELCh/L": "70.00", "ColorCIELCh/C": "20.00", "ColorCIELCh/H": "60.00"}
    assert mine["colours"][0]["as_written"] == ["0.3500", "0.3600", "45.00"]
    assert {item["fate"] for item in result.loss["items"] if "ColorCIELCh/C" in item["path"]} == {"converted"}


def test_one_colour_in_several_coordinates() -> None:
    result = read("several-coordinates")
    (colour,) = only_reading(result)["colours"]
    assert colour["lab"] == {"L": 74.31, "a": 1.2, "b": 15.77}
    assert colour["xyz"] == {"X": 45.15, "Y": 47.19, "Z": 36.76}
    mine = kept(result)["readings"]["reading-1"]
    assert mine["colours"][0]["kind"] == "ColorCIELCh"
    assert mine["other"]["ColorSRGB[1]/@MaxRange"] == "255"
    assert mine["other"]["ColorDensity[1]/Density"] == "0.31"


def test_illuminants_by_their_present_names_and_others_as_unknown() -> None:
    result = read("other-illuminants")
    assert [(each["illuminant"], each["observer"]) for each in only_reading(result)["colours"]] == [
        ("FL2", "10-degree"),
        ("unknown", "unknown"),
    ]
    assert {"illuminant-outside-vocabulary", "observer-outside-vocabulary"} <= losses(result)
    assert "F12" in str(kept(result)["specifications"])
