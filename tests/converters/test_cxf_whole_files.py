"""CxF3 files that an independent program wrote are read right; a file cut anywhere is refused."""

import contextlib
import warnings
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from xsdata.models.datatype import XmlDateTime

from shadefmt.converters.cxf import read_cxf
from shadefmt.errors import Refused
from shadefmt.model.case import Case
from shadefmt.model.schema import schema_of

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour_cxf
    from colour_cxf import cxf3

EXAMPLE = Path(__file__).resolve().parent.parent.parent / "schema" / "1.0" / "examples" / "bench-export.cxf"
VALIDATOR = Draft202012Validator(schema_of("case"))
MOMENT = "2026-01-02T03:04:05"


def valid(case: dict[str, Any]) -> Case:
    VALIDATOR.validate(case)
    return Case.model_validate(case)


def written(objects: list[tuple[str, list[float], tuple[float, float, float]]], start: int, step: int) -> bytes:
    """A file by colour-cxf: one object a reading, spectrum and CIELAB under one specification."""
    geometry = cxf3.SingleAngleType(
        single_angle_configuration=cxf3.SingleAngleConfiguration(value=cxf3.EsingleAngleConfigurationType("Annular")),
        illumination_angle=45,
        measurement_angle=0,
    )
    specification = cxf3.ColorSpecification(
        id="spec",
        tristimulus_spec=cxf3.TristimulusSpec(
            illuminant_or_custom_illuminant=cxf3.Illuminant(value=cxf3.EilluminantType("D65")),
            observer=cxf3.Observer(value=cxf3.EobserverType("2_Degree")),
            method=cxf3.Method(value=cxf3.EastmTableType("E308_Table5")),
        ),
        measurement_spec=cxf3.MeasurementSpec(
            measurement_type=cxf3.MeasurementType(value=cxf3.EspectrumType("Spectrum_Reflectance")),
            geometry_choice=cxf3.GeometryChoice(choice=geometry),
            wavelength_range=cxf3.WavelengthRange(start_wl=start, increment=step),
        ),
    )
    made = [
        cxf3.Object(
            object_type="Trial",
            name=name,
            id=f"o{number}",
            creation_date=cxf3.CreationDate(value=XmlDateTime.from_string(MOMENT)),
            color_values=cxf3.ColorValues(
                choice=[
                    cxf3.ReflectanceSpectrum(value=values, color_specification="spec"),
                    cxf3.ColorCielab(l=lab[0], a=lab[1], b=lab[2], color_specification="spec"),
                ]
            ),
        )
        for number, (name, values, lab) in enumerate(objects, 1)
    ]
    document = cxf3.CxF(
        resources=cxf3.Resources(
            object_collection=cxf3.ObjectCollection(object_value=made),
            color_specification_collection=cxf3.ColorSpecificationCollection(color_specification=[specification]),
        )
    )
    data: bytes = colour_cxf.write_cxf(document)
    return data


def decimals(values: list[float]) -> int:
    return max(max(0, -int(Decimal(repr(each)).as_tuple().exponent)) for each in values)


FACTORS = st.lists(st.integers(1, 9999).map(lambda n: n / 10_000), min_size=16, max_size=36)
COORDINATE = st.integers(-4000, 9000).map(lambda n: n / 100)
OBJECTS = st.lists(
    st.tuples(
        st.text("abc xyz", min_size=1, max_size=8), FACTORS, st.tuples(COORDINATE.map(abs), COORDINATE, COORDINATE)
    ),
    min_size=1,
    max_size=4,
)


@given(OBJECTS, st.sampled_from([360, 380, 400]), st.sampled_from([5, 10, 20]))
def test_files_by_an_independent_writer_are_read_number_by_number(
    objects: list[tuple[str, list[float], tuple[float, float, float]]], start: int, step: int
) -> None:
    objects = [(name, values[: (830 - start) // step], lab) for name, values, lab in objects]
    case = read_cxf(written(objects, start, step)).case
    valid(case)
    assert len(case["readings"]) == len(objects)
    for reading, (_, values, lab) in zip(case["readings"], objects, strict=True):
        spectrum = reading["spectrum"]
        assert (spectrum["start_nm"], spectrum["step_nm"], spectrum["values"]) == (start, step, values)
        assert spectrum["decimals"] >= decimals(values)
        (colour,) = reading["colours"]
        assert (colour["illuminant"], colour["observer"], colour["origin"]) == ("D65", "2-degree", "instrument")
        assert tuple(colour["lab"].values()) == lab
    assert case["instruments"][0]["geometry"] == "45:0"


def test_the_same_bytes_give_the_same_case() -> None:
    data = EXAMPLE.read_bytes()
    first, second = read_cxf(data), read_cxf(data)
    assert (first.case, first.loss) == (second.case, second.loss)


def test_a_file_cut_at_any_byte_is_refused() -> None:
    data = written([("a", [0.1, 0.2, 0.3], (70.0, 1.0, 15.0)), ("b", [0.4, 0.5, 0.6], (60.0, 2.0, 9.0))], 400, 10)
    whole = read_cxf(data).case
    end = len(data.rstrip())
    for cut in range(end):
        with pytest.raises(Refused) as refusal:
            read_cxf(data[:cut])
        assert refusal.value.remedy or refusal.value.where
    assert read_cxf(data[:end]).case["readings"] == whole["readings"]


@given(st.binary(max_size=400))
def test_arbitrary_bytes_are_refused(data: bytes) -> None:
    with pytest.raises(Refused):
        read_cxf(data)


@given(st.data())
def test_a_damaged_file_is_read_or_refused_and_nothing_else(data: st.DataObject) -> None:
    whole = bytearray(EXAMPLE.read_bytes())
    for _ in range(data.draw(st.integers(1, 6))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    with contextlib.suppress(Refused):
        valid(read_cxf(bytes(whole)).case)


def edited(*pairs: tuple[str, str]) -> bytes:
    text = EXAMPLE.read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return text.encode()


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><x>&e;</x>', "DOCTYPE"),
        (b"<CXF><SampleSet/></CXF>", "CxF"),
        (b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"/>', "svg"),
        (b"", ""),
        (edited((" 0.5", " nan")), "line"),
        (edited(("<cc:L>", "<cc:L>x")), "line"),
    ],
)
def test_what_is_no_cxf3_is_named(data: bytes, said: str) -> None:
    with pytest.raises(Refused) as refusal:
        read_cxf(data)
    assert said.lower() in str(refusal.value).lower()


@pytest.mark.parametrize(
    "pairs",
    [
        [("cc:", "ns0:"), ("xmlns:cc", "xmlns:ns0")],
        [("<cc:", "<"), ("</cc:", "</"), ("xmlns:cc", "xmlns")],
        [("\n", "\r\n")],
        [(" 0.2", "\n\t0.2")],
    ],
    ids=["another prefix", "no prefix", "CRLF", "values over several lines"],
)
def test_harmless_differences_change_nothing(pairs: list[tuple[str, str]]) -> None:
    whole = read_cxf(EXAMPLE.read_bytes()).case
    assert read_cxf(edited(*pairs)).case["readings"] == whole["readings"]


def test_no_increment_means_no_grid() -> None:
    case = read_cxf(edited(('   <cc:WavelengthRange StartWL="380" Increment="10"/>\n', ""))).case
    spectrum = valid(case).readings[0].spectrum  # type: ignore[index]
    assert spectrum is not None
    assert spectrum.step_nm is None


def test_no_tristimulus_specification_means_an_unknown_basis() -> None:
    text = EXAMPLE.read_text(encoding="utf-8")
    begin, end = text.index("<cc:TristimulusSpec>"), text.index("</cc:TristimulusSpec>")
    case = read_cxf((text[:begin] + text[end + len("</cc:TristimulusSpec>") :]).encode()).case
    assert {(each["colours"][0]["illuminant"], each["colours"][0]["observer"]) for each in case["readings"]} == {
        ("unknown", "unknown")
    }


def test_what_is_not_read_is_accounted_for() -> None:
    loss = read_cxf(edited(("<cc:ColorValues>", '<x:odd xmlns:x="urn:odd">7</x:odd><cc:ColorValues>'))).loss
    dropped = [each for each in loss["items"] if each["fate"] == "dropped"]
    assert any("odd" in each["path"] and each["count"] == 9 for each in dropped), dropped
    assert loss["lossless"] is False


def test_percent_is_only_a_remark_unless_stated() -> None:
    data = written([("a", [20.0, 30.0, 40.0, 50.0], (70.0, 1.0, 15.0))], 400, 10)
    kept, converted = read_cxf(data), read_cxf(data, percent=True)
    assert kept.case["readings"][0]["spectrum"]["values"] == [20, 30, 40, 50]
    assert any("percent" in each.message for each in kept.notices)
    assert converted.case["readings"][0]["spectrum"]["values"] == [0.2, 0.3, 0.4, 0.5]
