"""What a written CxF3 file looks like, what independent readers make of it, and what the account says."""

import contextlib
import os
import warnings
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from cgats_cases import CASE, Value
from cxf_cases import full_cases
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from shadefmt.converters.cxf import CxfFile, read_cxf, write_cxf
from shadefmt.errors import Refused, WrongUse
from shadefmt.model.case import Case

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour_cxf
    from colour_cxf import cxf3

DATA = Path(__file__).resolve().parent / "data" / "cxf"
SCHEMA = os.environ.get("SHADEFMT_CXF3_XSD", "")
"""The XML Schema of CxF3 (CxF3_Core.xsd of the source distribution of colour-cxf); not part of this project."""

EXPECTED = """\
<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">
 <cc:Resources>
  <cc:ObjectCollection>
   <cc:Object ObjectType="Trial" Name="crown-11 middle" Id="first">
    <cc:CreationDate>2026-03-04T09:31:00+01:00</cc:CreationDate>
    <cc:ColorValues>
     <cc:CustomSpectrum ColorSpecification="spec-1">
      <cc:SpectralPoint WL="400">0.2813</cc:SpectralPoint>
      <cc:SpectralPoint WL="500">0.4900</cc:SpectralPoint>
      <cc:SpectralPoint WL="600">0.5636</cc:SpectralPoint>
      <cc:SpectralPoint WL="700">0.5836</cc:SpectralPoint>
     </cc:CustomSpectrum>
     <cc:ColorCIELab Name="instrument" ColorSpecification="spec-1"><cc:L>75.04</cc:L><cc:A>-1.90</cc:A><cc:B>16.00</cc:B></cc:ColorCIELab>
    </cc:ColorValues>
    <cc:TagCollection Name="org.shadefmt">
     <cc:Tag Name="case.id" Value="urn:uuid:5f0c9f0e-8f5e-4b5c-9a55-0d9a3f1c7b21"/>
     <cc:Tag Name="reading.id" Value="first"/>
     <cc:Tag Name="reading.zone" Value="middle"/>
     <cc:Tag Name="reading.at" Value="2026-03-04T09:31:00+01:00"/>
     <cc:Tag Name="spectrum.start_nm" Value="400"/>
     <cc:Tag Name="spectrum.step_nm" Value="100"/>
     <cc:Tag Name="specimen.id" Value="crown-11"/>
     <cc:Tag Name="specimen.kind" Value="restoration"/>
     <cc:Tag Name="specimen.tooth" Value="11"/>
     <cc:Tag Name="session.id" Value="sitting"/>
     <cc:Tag Name="instrument.id" Value="bench"/>
     <cc:Tag Name="instrument.kind" Value="spectrophotometer"/>
    </cc:TagCollection>
   </cc:Object>
   <cc:Object ObjectType="Trial" Name="disc whole" Id="second">
    <cc:CreationDate>1900-01-01T00:00:00</cc:CreationDate>
    <cc:ColorValues>
     <cc:ColorCIEXYZ Name="typed" ColorSpecification="spec-2"><cc:X>45.7</cc:X><cc:Y>48.0</cc:Y><cc:Z>39.2</cc:Z></cc:ColorCIEXYZ>
    </cc:ColorValues>
    <cc:TagCollection Name="org.shadefmt">
     <cc:Tag Name="case.id" Value="urn:uuid:5f0c9f0e-8f5e-4b5c-9a55-0d9a3f1c7b21"/>
     <cc:Tag Name="reading.id" Value="second"/>
     <cc:Tag Name="reading.zone" Value="whole"/>
     <cc:Tag Name="specimen.id" Value="disc"/>
     <cc:Tag Name="specimen.kind" Value="material-disc"/>
    </cc:TagCollection>
   </cc:Object>
  </cc:ObjectCollection>
  <cc:ColorSpecificationCollection>
   <cc:ColorSpecification Id="spec-1">
    <cc:TristimulusSpec>
     <cc:Illuminant>D65</cc:Illuminant>
     <cc:Observer>2_Degree</cc:Observer>
     <cc:Method>unknown</cc:Method>
    </cc:TristimulusSpec>
    <cc:MeasurementSpec>
     <cc:MeasurementType>Spectrum_Reflectance</cc:MeasurementType>
     <cc:GeometryChoice>
      <cc:SingleAngle>
       <cc:SingleAngleConfiguration>Annular</cc:SingleAngleConfiguration>
       <cc:IlluminationAngle>45</cc:IlluminationAngle>
       <cc:MeasurementAngle>0</cc:MeasurementAngle>
      </cc:SingleAngle>
     </cc:GeometryChoice>
     <cc:Aperture>4.5 mm</cc:Aperture>
     <cc:Backing>black</cc:Backing>
    </cc:MeasurementSpec>
   </cc:ColorSpecification>
   <cc:ColorSpecification Id="spec-2">
    <cc:TristimulusSpec>
     <cc:Illuminant>D50</cc:Illuminant>
     <cc:Observer>10_Degree</cc:Observer>
     <cc:Method>unknown</cc:Method>
    </cc:TristimulusSpec>
    <cc:MeasurementSpec>
     <cc:MeasurementType>Colorimetric_Reflectance</cc:MeasurementType>
     <cc:GeometryChoice>
      <cc:UnknownGeometry>not stated</cc:UnknownGeometry>
     </cc:GeometryChoice>
    </cc:MeasurementSpec>
   </cc:ColorSpecification>
  </cc:ColorSpecificationCollection>
 </cc:Resources>
</cc:CxF>
"""


def changed(**members: Any) -> Value:
    """The case with its first reading changed."""
    case = deepcopy(CASE)
    case["readings"][0] |= {"at": "2026-03-04T09:31:00+01:00", **members}
    return case


WRITTEN = write_cxf(changed()).data


def lost(case: Value) -> dict[tuple[str, str], int]:
    items = write_cxf(case, full=True).loss["items"]
    return {(item["path"], item["code"]): item["count"] for item in items if "code" in item}


def back(case: Value, place: int = 0) -> Value:
    reading: Value = read_cxf(write_cxf(case).data, own_tags=True).case["readings"][place]
    return reading


def test_a_written_file() -> None:
    assert write_cxf(changed()).data.decode() == EXPECTED


def test_what_cxf_has_no_place_for_is_listed_by_path() -> None:
    case = changed(placed_over_id="stump", visual={"reference_set_id": "guide"})
    case["verdicts"] = [{"id": "v", "comparison_id": "c", "decision": "not-judged"}]
    assert lost(case) == {
        ("/instruments/*/geometry", "angle-configuration-assumed"): 1,
        ("/readings/*", "time-assumed"): 1,
        ("/readings/*/placed_over_id", "no-place-in-cxf"): 1,
        ("/readings/*/visual", "no-place-in-cxf"): 1,
        ("/verdicts/*", "no-place-in-cxf"): 1,
    }


@pytest.mark.parametrize(
    ("grid", "element"),
    [
        ({"start_nm": 400, "step_nm": 10}, b'<cc:ReflectanceSpectrum StartWL="400" '),
        ({"start_nm": 360, "step_nm": 20}, b'<cc:ReflectanceSpectrum StartWL="360" '),
        ({"start_nm": 350, "step_nm": 10}, b"<cc:CustomSpectrum "),
        ({"start_nm": 410, "step_nm": 10}, b"<cc:CustomSpectrum "),
        ({"start_nm": 380.5, "step_nm": 10}, b"<cc:CustomSpectrum "),
        ({"start_nm": 400, "step_nm": 3}, b"<cc:CustomSpectrum "),
        ({"wavelengths_nm": [400, 410, 420, 430]}, b"<cc:CustomSpectrum "),
        ({}, b"<cc:ReflectanceSpectrum ColorSpec"),
    ],
)
def test_a_list_where_the_schema_allows_start_and_step_else_points(grid: Value, element: bytes) -> None:
    case = changed()
    spectrum = case["readings"][0]["spectrum"]
    for name in ("start_nm", "step_nm"):
        del spectrum[name]
    case["readings"][0]["spectrum"] = spectrum | grid
    assert element in write_cxf(case).data
    assert back(case)["spectrum"] == spectrum | grid


@pytest.mark.parametrize(("value", "element"), [(2.9999, b"<cc:ReflectanceSpectrum"), (3, b"<cc:CustomSpectrum")])
def test_values_that_a_list_cannot_hold_are_points(value: float, element: bytes) -> None:
    case = changed()
    case["readings"][0]["spectrum"] |= {"step_nm": 10, "values": [0.1, 0.2, 0.3, value]}
    assert element in write_cxf(case).data
    assert back(case)["spectrum"] == case["readings"][0]["spectrum"]


def test_values_outside_the_range_without_wavelengths_are_left_out_and_said() -> None:
    case = changed(spectrum={"quantity": "reflectance-factor", "decimals": 1, "values": [0.1, 3.5]})
    assert lost(case)["/readings/*/spectrum", "outside-cxf"] == 1


def test_negative_light_is_left_out_and_said() -> None:
    case = changed()
    block = case["readings"][0]["colours"][0]
    case["readings"][0]["colours"] = [block | {"xyz": {"X": -0.01, "Y": 1, "Z": 1}}]
    assert lost(case)["/readings/*/colours/*/xyz", "outside-cxf"] == 1
    assert back(case)["colours"] == [block]


def test_digits_beyond_the_stated_decimals_are_rounded_and_said() -> None:
    case = changed()
    case["readings"][0]["colours"][0]["lab"] = {"L": 75.0449, "a": -0.001, "b": 16}
    item = next(item for item in write_cxf(case).loss["items"] if item["fate"] == "rounded")
    assert (item["path"], item["code"]) == ("/readings/*/colours/*/lab/L", "beyond-decimals")
    assert "75.0449" in item["instances"][0].values()
    assert "-0.00" not in write_cxf(case).data.decode()


def test_further_colours_of_a_reading_come_back_in_order() -> None:
    case = changed()
    block = case["readings"][0]["colours"][0]
    colours = [block, block | {"origin": "computed"}, block | {"illuminant": "LED-B3"}, block | {"observer": "unknown"}]
    case["readings"][0]["colours"] = [*colours, block]
    assert lost(case)["/readings/*/colours/*", "second-colour"] == 1
    assert back(case)["colours"] == colours


@pytest.mark.parametrize(
    "text", ["two\nlines", "tab\there", "\r\n", "a<b>&'\"", " blanks ", "größe", "\u2028", "\x85", "→"]
)
def test_a_text_comes_back_to_the_character(text: str) -> None:
    assert back(changed(zone="region", region=text))["region"] == text


@pytest.mark.parametrize("text", ["bell\x07", "\ufffe", "\x00"])
def test_a_text_that_xml_cannot_hold_is_left_out_and_said(text: str) -> None:
    assert lost(changed(zone="region", region=text))["/readings/*/region", "control-characters"] == 1


@pytest.mark.parametrize(
    ("at", "written", "said"),
    [
        ("2026-03-04T09:31:07Z", "2026-03-04T09:31:07Z", False),
        ("2026-03-04T09:31", "2026-03-04T09:31:00", False),
        ("2026-03-04T09:31+01:00", "2026-03-04T09:31:00+01:00", False),
        ("2026-03-04", "2026-03-04T00:00:00", True),
        ("2026-02-30T09:31:07Z", "2026-03-02T08:00:00", True),
        ("2026-03-04T09:31:07+15:00", "2026-03-02T08:00:00", True),
    ],
)
def test_the_date_that_cxf_demands(at: str, written: str, said: bool) -> None:
    case = changed(at=at)
    case["sessions"][0]["started"] = "2026-03-02T08:00"
    data = write_cxf(case).data
    assert f"<cc:CreationDate>{written}</cc:CreationDate>".encode() in data
    assert (("/readings/*/at", "time-assumed") in lost(case)) == said
    assert back(case)["at"] == at, "whatever date is written, the tag has the time as it was stated"


def test_a_date_that_is_made_up_is_no_time_of_the_reading() -> None:
    case = changed()
    case["revisions"] = [{"id": "r", "at": "2026-03-09T12:00:00Z"}]
    assert b"<cc:CreationDate>2026-03-09T12:00:00Z<" in write_cxf(case).data
    assert "at" not in back(case, 1)


def test_readings_that_were_withdrawn_are_not_passed_off_as_valid() -> None:
    case = changed()
    case["withdrawals"] = [{"id": "w", "entry_id": "first", "reason": "moved"}]
    assert b'"first"' not in write_cxf(case).data
    assert lost(case)["/readings/*", "withdrawn"] == 1


def test_ids_are_names_of_xml() -> None:
    case = deepcopy(CASE)
    case["readings"][0]["id"], case["readings"][1]["id"] = "9", "2.x"
    assert [each.get("Id") for each in objects(write_cxf(case).data)] == ["_9", "_2.x"]


def objects(data: bytes) -> list[etree._Element]:
    return list(etree.fromstring(data).iter("{*}Object"))


def test_one_case_is_taken_at_a_time() -> None:
    taken: list[int] = []

    def cases() -> Iterator[Value]:
        for number in range(3):
            taken.append(number)
            yield CASE

    pieces = iter(CxfFile(cases()))
    while b'Id="second"' not in next(pieces):
        assert taken == [0]
    assert taken == [0]
    assert b"".join(pieces).count(b"<cc:Object ") == 4


def test_many_cases_are_one_file_with_ids_that_differ() -> None:
    file = CxfFile([CASE, CASE, CASE])
    data = b"".join(file)
    names = [each.get("Id") for each in objects(data)]
    assert names == ["first", "second", "__2.first", "__2.second", "__3.first", "__3.second"]
    assert data.count(b"<cc:ColorSpecification ") == 2
    loss = file.loss()
    assert (loss["documents"], loss["readings"]) == (3, 6)
    assert len(read_cxf(data).case["readings"]) == 6


def test_many_cases_come_back_as_many() -> None:
    other = changed() | {"id": "urn:x:y"}
    alone = [read_cxf(write_cxf(case).data, own_tags=True).case for case in (CASE, other)]
    result = read_cxf(b"".join(CxfFile([CASE, other, CASE])), own_tags=True)
    assert len(result.cases) == result.loss["documents"] == 3
    assert len({case["id"] for case in result.cases}) == 3
    for case, single in zip(result.cases, [*alone, alone[0]], strict=True):
        for name in ("instruments", "specimens", "sessions", "readings"):
            assert case.get(name) == single.get(name)
        kept, expected = (each["extensions"]["org.shadefmt.cxf"] for each in (case, single))
        assert kept["case_id"] == expected["case_id"]
        assert [each["object_id"] for each in kept["readings"].values()] == [
            each["object_id"] for each in expected["readings"].values()
        ]
        assert len(kept["specifications"]) == len(expected["specifications"])
    with pytest.raises(WrongUse, match="3 cases"):
        _ = result.case


def test_objects_of_two_cases_whose_ids_do_not_say_so_are_refused() -> None:
    data = b"".join(CxfFile([CASE, CASE | {"id": "urn:x:y"}]))
    with pytest.raises(Refused, match="several cases"):
        read_cxf(data.replace(b'Id="__2.', b'Id="x'), own_tags=True)


def test_a_date_that_was_made_up_is_no_time_of_a_reading() -> None:
    """Read without the tags that say so, too."""
    case = deepcopy(CASE)
    for reading in case["readings"]:
        reading.pop("at", None)
    undated = case | {
        "sessions": [{name: each[name] for name in each if name != "started"} for each in case["sessions"]]
    }
    data = write_cxf(undated).data
    assert b"1900-01-01T00:00:00" in data
    result = read_cxf(data)
    assert not [each for each in result.case["readings"] if "at" in each]
    assert not [each for each in result.notices if each.code == "date-unreadable"]
    kept = result.case["extensions"]["org.shadefmt.cxf"]["readings"].values()
    assert {each["created"] for each in kept} == {"1900-01-01T00:00:00"}
    case["readings"][0]["at"] = "2026-03-12T09:30:00Z"
    case["readings"][1]["at"] = "2026-03-12"
    assert [each.get("at") for each in read_cxf(write_cxf(case).data).case["readings"]] == [
        "2026-03-12T09:30:00Z",
        None,
    ]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b'Name="reading.id" Value="second"', b'Name="reading.id" Value="first"', "twice"),
        (b'Name="reading.id" Value="second"', b'Name="other" Value="x"', "reading.id"),
        (b'Name="reading.zone" Value="whole"', b'Name="reading.zone" Value="nowhere"', "nowhere"),
        (b'Name="specimen.id" Value="disc"', b'Name="specimen.id" Value="crown-11"', "different things"),
        (b'Name="spectrum.step_nm" Value="100"', b'Name="spectrum.step_nm" Value="10"', "start and step"),
        (b'Name="case.id" Value="urn', b'Name="case.id" Value="xrn', "several cases"),
        (b'Name="session.id" Value="sitting"', b'Name="session.id" Value=""', "session.id"),
        (b'Name="instrument.kind"', b'Name="other"', "instrument.kind"),
        (
            b'Name="specimen.tooth" Value="11"',
            b'Name="session.calibration.result" Value="passed"',
            "session.calibration.at",
        ),
        (b'Name="specimen.tooth" Value="11"', b'Name="session.observer_count" Value="1.5"', "observer_count"),
        (b'Name="specimen.tooth" Value="11"', b'Name="reading.repositioned" Value="yes"', "repositioned"),
    ],
)
def test_tags_that_were_changed_are_refused(old: bytes, new: bytes, said: str) -> None:
    data = write_cxf(changed()).data
    assert old in data
    with pytest.raises(Refused, match=said):
        read_cxf(data.replace(old, new, 1), own_tags=True)


def test_a_written_file_cut_at_any_byte_is_refused() -> None:
    data = write_cxf(changed()).data.rstrip()
    for cut in range(len(data)):
        with pytest.raises(Refused):
            read_cxf(data[:cut], own_tags=True)


def test_a_case_without_numbers_is_refused() -> None:
    case = deepcopy(CASE)
    for reading in case["readings"]:
        reading.pop("colours")
        reading.pop("spectrum", None)
    with pytest.raises(Refused, match="no case has a reading"):
        write_cxf(case)


def test_what_is_no_sound_case_is_wrong_use() -> None:
    for case in ({}, CASE | {"kind": "report"}, CASE | {"readings": 5}, changed(zone="nowhere")):
        with pytest.raises(WrongUse):
            write_cxf(case)


WHOLE = sorted(
    path for path in DATA.glob("*.cxf") if path.stem not in ("decimal-comma",) and b"CxF3-core" in path.read_bytes()
)


def measured(case: Value) -> list[Value]:
    """The numbers of each reading and what its instrument is known by, ids aside."""
    sessions = {each["id"]: each for each in case.get("sessions", ())}
    instruments = {each["id"]: each for each in case.get("instruments", ())}
    found = []
    for reading in case["readings"]:
        session = sessions.get(reading.get("session_id"), {})
        instrument = instruments.get(session.get("instrument_id"), {})
        found.append({"reading": reading, "instrument": instrument})
    return found


@pytest.mark.parametrize("path", WHOLE, ids=lambda path: path.stem)
def test_a_case_that_came_from_cxf_goes_back_and_comes_again(path: Path) -> None:
    try:
        case = read_cxf(path.read_bytes(), full=True).case
    except Refused:
        return
    try:
        made = write_cxf(case, full=True)
    except Refused:
        assert all("spectrum" not in each and "colours" not in each for each in case["readings"])
        return
    again = read_cxf(made.data, own_tags=True, full=True).case
    assert measured(again) == measured(case)
    restored = {item["path"] for item in made.loss["items"] if item["fate"] in ("kept", "renamed")}
    gone = {item["path"] for item in made.loss["items"] if item["fate"] == "dropped"}
    assert restored
    here, there = (each["extensions"].get("org.shadefmt.cxf", {}) for each in (case, again))
    prefix = "/extensions/org.shadefmt.cxf/readings/*/"
    for identity, kept in here.get("readings", {}).items():
        for name, value in kept.items():
            if not any(path.startswith(prefix + name) for path in gone):
                assert there["readings"][identity][name] == value
    if "/extensions/org.shadefmt.cxf/objects/*" not in gone:
        assert there.get("objects") == here.get("objects")
    if SCHEMA:
        assert valid(made.data)


def valid(data: bytes) -> bool:
    schema = etree.XMLSchema(file=SCHEMA)
    fits: bool = schema.validate(etree.fromstring(data))
    assert fits, schema.error_log
    return fits


@pytest.mark.skipif(not SCHEMA, reason="SHADEFMT_CXF3_XSD names no XML Schema of CxF3")
@given(full_cases())
def test_every_written_file_fits_the_public_schema(case: Value) -> None:
    try:
        made = write_cxf(case)
    except Refused:
        return
    assert valid(made.data)


ILLUMINANTS = {"FL2": "F2", "LED-B3": "Custom", "unknown": "Custom"}
OBSERVERS = {"2-degree": "2_Degree", "10-degree": "10_Degree", "unknown": "Custom_CMF"}


@given(full_cases())
def test_colour_cxf_reads_what_we_write(case: Value) -> None:
    """Values, specifications and tags as an independent library made from the schema reads them."""
    try:
        made = write_cxf(case)
    except Refused:
        return
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        resources = colour_cxf.read_cxf(made.data).resources
    specifications = {each.id: each for each in resources.color_specification_collection.color_specification}
    readings = {each["id"]: each for each in case["readings"]}
    found = resources.object_collection.object_value
    assert len(found) == made.loss["readings"]
    for each in found:
        (tags,) = [one for one in each.tag_collection if one.name == "org.shadefmt"]
        said = {tag.name: tag.value for tag in tags.tag}
        reading = readings[said["reading.id"]]
        assert (said["case.id"], said["specimen.id"]) == (case["id"], reading["specimen_id"])
        assert said.get("reading.note", reading.get("note")) == reading.get("note")
        blocks = {
            (one["illuminant"], one["observer"], one["origin"]): one for one in reversed(reading.get("colours", []))
        }
        for value in each.color_values.choice:
            specification = specifications[value.color_specification]
            if isinstance(value, cxf3.ColorCielab | cxf3.ColorCiexyz):
                numbers(value, specification, blocks)
            else:
                spectrum(value, specification, reading["spectrum"])
            assert specification.measurement_spec.backing == reading.get("backing")


def numbers(value: Any, specification: Any, blocks: dict[tuple[str, str, str], Value]) -> None:
    light = specification.tristimulus_spec
    (block,) = [
        one
        for (illuminant, observer, origin), one in blocks.items()
        if origin == value.name and basis(illuminant, observer) == stated(light)
    ]
    if isinstance(value, cxf3.ColorCielab):
        assert (value.l, value.a, value.b) == tuple(block["lab"].values())
    else:
        assert (value.x, value.y, value.z) == tuple(block["xyz"].values())


def basis(illuminant: str, observer: str) -> tuple[Any, ...] | None:
    if (illuminant, observer) == ("unknown", "unknown"):
        return None
    light = ILLUMINANTS.get(illuminant, illuminant)
    eye = OBSERVERS[observer]
    return (light, illuminant if light == "Custom" else None, eye, observer if eye == "Custom_CMF" else None)


def stated(light: Any) -> tuple[Any, ...] | None:
    if light is None:
        return None
    one, other = light.illuminant_or_custom_illuminant, light.observer
    return (one.value.value, one.name, other.value.value, other.name)


def spectrum(value: Any, specification: Any, block: Value) -> None:
    count = len(block["values"])
    kind = specification.measurement_spec.measurement_type.value.value
    assert kind == {"r": "Spectrum_Reflectance", "t": "Spectrum_Transmittance"}[block["quantity"][0]]
    waves = block.get("wavelengths_nm") or [block["start_nm"] + place * block["step_nm"] for place in range(count)]
    if isinstance(value, cxf3.CustomSpectrum):
        assert [(point.wl, point.value) for point in value.spectral_point] == list(
            zip(waves, block["values"], strict=True)
        )
        return
    range_ = specification.measurement_spec.wavelength_range
    assert value.start_wl == range_.start_wl == block["start_nm"]
    assert range_.increment == block["step_nm"]
    assert value.value == block["values"]


@given(st.integers(0, 10_000), st.sampled_from([b"", b"9", b"<", b'"', b"e", b"id"]), st.integers(0, 40))
def test_a_damaged_file_of_ours_is_read_or_refused_and_nothing_else(place: int, put: bytes, length: int) -> None:
    data = WRITTEN[: place % len(WRITTEN)] + put + WRITTEN[place % len(WRITTEN) + length :]
    with contextlib.suppress(Refused):
        Case.model_validate(read_cxf(data, own_tags=True).case)
