"""Corners of CxF3 one by one: small files made here, each with one thing that is unusual."""

from typing import Any

import pytest

from shadefmt.converters.cxf import CxfResult, read_cxf
from shadefmt.errors import Refused
from shadefmt.model.case import Case

NAMESPACE = "http://colorexchangeformat.com/CxF3-core"
SPECTRUM = '<ReflectanceSpectrum ColorSpecification="s1">0.4120 0.4375 0.4610 0.4833</ReflectanceSpectrum>'
COLOUR = '<ColorCIELab ColorSpecification="s1"><L>74.31</L><A>1.20</A><B>15.77</B></ColorCIELab>'
TRISTIMULUS = "<TristimulusSpec><Illuminant>D65</Illuminant><Observer>2_Degree</Observer></TristimulusSpec>"
RANGE = '<WavelengthRange StartWL="400" Increment="10"/>'

Value = dict[str, Any]


def specification(name: str = "s1", inside: str = RANGE, light: str = TRISTIMULUS, kind: str = "Reflectance") -> str:
    return (
        f'<ColorSpecification Id="{name}">{light}<MeasurementSpec><MeasurementType>Spectrum_{kind}</MeasurementType>'
        f"{inside}</MeasurementSpec></ColorSpecification>"
    )


def file(values: str, *specifications: str, around: str = "", resources: str = "") -> bytes:
    """One object with some values, under some specifications."""
    return (
        f'<CxF xmlns="{NAMESPACE}"><Resources><ObjectCollection><Object ObjectType="Trial" Name="" Id="o1">'
        f"{around}<ColorValues>{values}</ColorValues></Object></ObjectCollection><ColorSpecificationCollection>"
        f"{''.join(specifications or (specification(),))}</ColorSpecificationCollection>{resources}</Resources></CxF>"
    ).encode()


def read(data: bytes, **options: Any) -> CxfResult:
    result = read_cxf(data, **options)
    assert Case.model_validate(result.case).to_value() == result.case
    return result


def readings(result: CxfResult) -> list[Value]:
    found: list[Value] = result.case["readings"]
    return found


def kept(result: CxfResult, reading: str = "reading-1") -> Value:
    found: Value = result.case["extensions"]["org.shadefmt.cxf"]["readings"][reading]
    return found


def codes(result: CxfResult) -> set[str]:
    return {notice.code for notice in result.notices}


def losses(result: CxfResult) -> dict[str, int]:
    return {item["path"]: item["count"] for item in result.loss["items"] if item["fate"] in ("dropped", "rounded")}


# --- objects


def test_comments_and_attributes_of_the_thing_are_kept_and_pictures_are_not() -> None:
    more = (
        "<Comment>read twice</Comment><Comment>again</Comment><CreationDate/><PhysicalAttributes>"
        '<FinishType OtherType="glazed">Other</FinishType><Thickness Units="mm">1.2</Thickness>'
        '<Gloss Method="60">35</Gloss><Gloss Method="20">12</Gloss><Image ImageFileName="a.png">QUJD</Image>'
        "</PhysicalAttributes>"
    )
    result = read(file(COLOUR, around=more))
    assert kept(result)["comment"] == "read twice"
    assert kept(result)["other"] == {
        "PhysicalAttributes/FinishType": "Other",
        "PhysicalAttributes/FinishType/@OtherType": "glazed",
        "PhysicalAttributes/Thickness": "1.2",
        "PhysicalAttributes/Thickness/@Units": "mm",
        "PhysicalAttributes/Gloss": "35",
        "PhysicalAttributes/Gloss/@Method": "60",
        "PhysicalAttributes/Gloss[2]": "12",
        "PhysicalAttributes/Gloss/@Method[2]": "20",
    }
    assert losses(result) == {
        "Object/Comment": 1,
        "Object/PhysicalAttributes/Image": 1,
        "Object/PhysicalAttributes/Image/@ImageFileName": 1,
    }
    assert "texts-kept" in codes(result)


def test_the_first_date_of_an_object_counts() -> None:
    dates = "<CreationDate>2026-02-03</CreationDate><CreationDate>2026-02-04</CreationDate>"
    result = read(file(COLOUR, around=dates))
    assert readings(result)[0]["at"] == "2026-02-03"
    assert losses(result) == {"Object/CreationDate": 1}


def test_tags_by_other_spellings_and_with_content() -> None:
    tags = '<tagcollection name="x"><tag name="Row" value="1">odd<b/></tag></tagcollection>'
    result = read(file(COLOUR, around=tags))
    assert kept(result)["tags"] == [{"collection": "x", "name": "Row", "value": "1"}]
    assert losses(result) == {
        "Object/TagCollection/Tag/b": 1,
        "Object/TagCollection/Tag/text()": 1,
    }


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('Id="o1"', 'Id="o1" id="o2"', "the attribute Id is there twice"),
        ("<A>1.20</A>", "<A>1.20</A><a>1.30</a>", "states A twice"),
        ("<A>1.20</A>", "<A>1.20 1.30</A>", "does not hold exactly one number"),
        ("<A>1.20</A>", "<A>few</A>", "ColorCIELab: 'few' is not a number"),
    ],
)
def test_what_is_stated_twice_or_not_at_all_is_refused(old: str, new: str, said: str) -> None:
    with pytest.raises(Refused, match=said) as refusal:
        read(file(COLOUR).replace(old.encode(), new.encode()))
    assert "Object" in refusal.value.where or "line" in refusal.value.where


def test_a_file_without_anything_measured_is_refused() -> None:
    with pytest.raises(Refused, match="no spectrum and no colour"):
        read(file("<ColorSRGB><R>1</R><G>2</G><B>3</B></ColorSRGB>"))


@pytest.mark.parametrize(
    ("root", "said"),
    [
        (f'<Palette xmlns="{NAMESPACE}"/>', "something else of CxF3's namespace"),
        ("<CxF/>", "CxF of an unstated generation"),
    ],
)
def test_other_roots_are_named(root: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        read(root.encode())


def test_the_root_by_another_spelling() -> None:
    data = file(COLOUR).replace(b"<CxF", b"<CXF").replace(b"</CxF", b"</CXF")
    assert "other-spelling" in codes(read(data))


# --- spectra


def spectrum(values: str, attributes: str = "") -> str:
    return f'<ReflectanceSpectrum ColorSpecification="s1" {attributes}>{values}</ReflectanceSpectrum>'


def test_an_element_inside_the_values_leaves_the_values() -> None:
    result = read(file(spectrum("0.4120 0.4<odd>9</odd>375 0.4610")))
    assert readings(result)[0]["spectrum"]["values"] == [0.412, 0.4375, 0.461]
    assert losses(result) == {"Object/ColorValues/ReflectanceSpectrum/odd": 1}


@pytest.mark.parametrize("values", ["", " ", "0.5"])
def test_fewer_than_two_values_are_no_spectrum(values: str) -> None:
    result = read(file(spectrum(values) + COLOUR))
    assert "spectrum" not in readings(result)[0]
    assert losses(result)["Object/ColorValues/ReflectanceSpectrum"] == 1


def cuts(result: CxfResult, name: str) -> list[tuple[str, str]]:
    """Old and new of every number that lost digits, all of which stand at one path."""
    [item] = [item for item in result.loss["items"] if item.get("code") == "decimals-cut"]
    assert item["path"] == f"Object/ColorValues/{name}/text()"
    assert item["count"] == len(item["instances"])
    return [(each["before"], each["after"]) for each in item["instances"]]


def test_more_than_ten_decimals_are_rounded_and_said() -> None:
    result = read(file(spectrum("0.41203333333333331 0.5 1e-12")))
    block = readings(result)[0]["spectrum"]
    assert (block["values"], block["decimals"]) == ([0.4120333333, 0.5, 0], 10)
    assert cuts(result, "ReflectanceSpectrum") == [("0.41203333333333331", "0.4120333333"), ("1e-12", "0")]
    zeros = read(file(spectrum("0.500000000000000 0.25")))
    assert readings(zeros)[0]["spectrum"]["decimals"] == 10
    assert losses(zeros) == {}


def test_percent_with_many_decimals_is_rounded_and_said() -> None:
    result = read(file(spectrum("41.2033333333 50")), percent=True)
    block = readings(result)[0]["spectrum"]
    assert (block["values"], block["decimals"]) == ([0.4120333333, 0.5], 10)
    assert cuts(result, "ReflectanceSpectrum") == [("41.2033333333", "0.4120333333")]
    both = read(file(spectrum("41.203333333333333 50")), percent=True)
    assert cuts(both, "ReflectanceSpectrum") == [("41.203333333333333", "0.4120333333")]
    assert losses(read(file(spectrum("41.2000000000 50")), percent=True)) == {}


def test_a_colour_with_many_decimals_is_rounded_and_said() -> None:
    result = read(file(COLOUR.replace("1.20", "1.203333333333333")))
    assert readings(result)[0]["colours"][0]["lab"] == {"L": 74.31, "a": 1.2033333333, "b": 15.77}
    assert cuts(result, "ColorCIELab/A") == [("1.203333333333333", "1.2033333333")]
    comma = read(file(COLOUR.replace("1.20", "1,203333333333333")), decimal_comma=True)
    assert cuts(comma, "ColorCIELab/A") == [("1,203333333333333", "1.2033333333")]


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ("-0.2 0.5 0.5", "spectrum-out-of-range"),
        ("0.5 0.5 3.5", "spectrum-out-of-range"),
        ("2 3 0.1", "looks-like-percent"),
    ],
)
def test_values_out_of_the_range_of_the_schema_are_kept_and_said(values: str, code: str) -> None:
    result = read(file(spectrum(values)))
    assert readings(result)[0]["spectrum"]["values"] == [float(each) for each in values.split()]
    assert code in codes(result)


@pytest.mark.parametrize(
    ("attributes", "said"),
    [
        ('StartWL="0"', "not a wavelength"),
        ('StartWL="-400"', "not a wavelength"),
        ('StartWL="x"', "StartWL: 'x' is not a number"),
        ('StartWL=""', "StartWL: '' is not one number"),
        ('Increment="0"', "not a wavelength"),
        ('NumPoints="x"', "NumPoints"),
    ],
)
def test_a_grid_that_is_none_is_refused(attributes: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        read(file(spectrum("0.5 0.6", attributes)))


def test_steps_and_ranges_that_are_unusual_are_said() -> None:
    odd = read(file(spectrum("0.5 0.6"), specification(inside='<WavelengthRange StartWL="400" Increment="3.3"/>')))
    assert readings(odd)[0]["spectrum"]["step_nm"] == 3.3
    assert "step-unusual" in codes(odd)
    far = read(file(spectrum("0.5 " * 60)))
    assert "grid-unusual" in codes(far)
    own = read(file(spectrum("0.5 0.6", 'Increment="5"')))
    assert readings(own)[0]["spectrum"]["step_nm"] == 5
    assert {"increment-on-spectrum", "grid-step-conflict"} <= codes(own)


def test_no_first_wavelength_means_no_grid() -> None:
    result = read(file(spectrum("0.5 0.6", 'Increment="10"'), specification(inside="")))
    assert set(readings(result)[0]["spectrum"]) == {"quantity", "decimals", "values"}
    assert kept(result)["as_written"] == {"ReflectanceSpectrum/@Increment": "10"}
    assert "grid-unknown" in codes(result)


def test_a_date_of_measurement_that_is_none_is_kept_as_written() -> None:
    result = read(file(spectrum("0.5 0.6", 'MeasureDate="last week"')))
    assert "at" not in readings(result)[0]
    assert kept(result)["as_written"] == {"ReflectanceSpectrum/@MeasureDate": "last week"}
    assert "date-unreadable" in codes(result)


def test_a_spectrum_of_another_kind_than_its_specification_is_said() -> None:
    result = read(file(SPECTRUM, specification(kind="Transmittance")))
    assert readings(result)[0]["spectrum"]["quantity"] == "reflectance-factor"
    assert "quantity-conflict" in codes(result)
    total = read(file(SPECTRUM.replace("Reflectance", "Transmittance"), specification(kind="TotalTransmittance")))
    assert readings(total)[0]["spectrum"]["quantity"] == "transmittance-factor"
    assert "quantity-conflict" not in codes(total)


def points(*pairs: tuple[str, str], more: str = "") -> str:
    made = "".join(f'<SpectralPoint WL="{place}">{value}</SpectralPoint>' for place, value in pairs)
    return f'<CustomSpectrum ColorSpecification="s1" {more}>{made}</CustomSpectrum>'


def test_points_with_date_and_decimals() -> None:
    values = points(("400", "0.5"), ("410.5", "0.625"), more='MeasureDate="2026-02-03" Name="second"')
    result = read(file(values))
    assert readings(result)[0]["at"] == "2026-02-03"
    assert readings(result)[0]["spectrum"]["wavelengths_nm"] == [400, 410.5]
    assert kept(result)["value_names"] == ["second"]


@pytest.mark.parametrize(
    ("pairs", "said"),
    [
        ([("400", "0.5"), ("400.0", "0.6")], "a wavelength twice"),
        ([("400", "0.5 0.6"), ("410", "0.6")], "exactly one number"),
        ([("400", "0.5 0.6"), ("410", "")], "exactly one number"),
        ([("", "0.5"), ("410", "0.5")], "WL"),
    ],
)
def test_points_that_do_not_fit_are_refused(pairs: list[tuple[str, str]], said: str) -> None:
    with pytest.raises(Refused, match=said):
        read(file(points(*pairs)))


def test_one_point_is_no_spectrum() -> None:
    result = read(file(points(("400", "0.5")) + COLOUR))
    assert losses(result)["Object/ColorValues/CustomSpectrum/SpectralPoint/@WL"] == 1


def test_points_in_percent() -> None:
    result = read(file(points(("400", "50"), ("410", "62.5"))), percent=True)
    assert readings(result)[0]["spectrum"]["values"] == [0.5, 0.625]


# --- colours


def test_light_without_chromaticity_is_no_colour() -> None:
    values = '<ColorCIExyY ColorSpecification="s1"><x>0.3</x><y>0</y><Y>20</Y></ColorCIExyY>' + COLOUR
    result = read(file(values))
    assert "xyz" not in readings(result)[0]["colours"][0]
    assert losses(result)["Object/ColorValues/ColorCIExyY/y"] == 1


@pytest.mark.parametrize(
    "values",
    [
        COLOUR.replace("74.31", "-1.00"),
        '<ColorCIEXYZ ColorSpecification="s1"><X>1</X><Y>-2</Y><Z>3</Z></ColorCIEXYZ>',
        '<ColorCIELCh ColorSpecification="s1"><L>70</L><C>20</C><H>361</H></ColorCIELCh>',
    ],
)
def test_coordinates_out_of_range_are_kept_and_said(values: str) -> None:
    assert "colour-out-of-range" in codes(read(file(values)))


def test_tristimulus_values_with_other_decimals_go_aside() -> None:
    xyz = '<ColorCIEXYZ ColorSpecification="s1"><X>43.1234</X><Y>47.1876</Y><Z>36.7562</Z></ColorCIEXYZ>'
    result = read(file(xyz + COLOUR))
    (colour,) = readings(result)[0]["colours"]
    assert (colour["decimals"], "xyz" in colour) == (2, False)
    assert kept(result)["colours"] == [
        {"kind": "ColorCIEXYZ", "specification_id": "s1", "numbers": [43.1234, 47.1876, 36.7562], "decimals": 4}
    ]
    assert "colour-kept-aside" in codes(result)


def test_a_second_value_of_one_kind_is_a_second_reading() -> None:
    result = read(file(COLOUR + COLOUR.replace("74.31", "74.35")))
    assert [each["colours"][0]["lab"]["L"] for each in readings(result)] == [74.31, 74.35]
    assert len(result.case["specimens"]) == 1


def test_the_same_basis_under_two_specifications_is_one_colour() -> None:
    other = COLOUR.replace("s1", "s2").replace("74.31", "74.29")
    result = read(file(COLOUR + other, specification(), specification("s2")))
    assert [each["lab"]["L"] for each in readings(result)[0]["colours"]] == [74.31]
    assert kept(result)["colours"][0]["numbers"] == [74.29, 1.2, 15.77]


def test_colours_go_to_the_spectrum_of_their_name() -> None:
    values = (
        SPECTRUM.replace('"s1"', '"s1" Name="first"')
        + SPECTRUM.replace('"s1"', '"s1" Name="second"').replace("0.4120", "0.4220")
        + COLOUR.replace('"s1"', '"s1" Name="second"')
    )
    first, second = readings(read(file(values)))
    assert ("colours" in first, "colours" in second) == (False, True)


def test_a_colour_that_could_belong_to_two_spectra_belongs_to_none() -> None:
    values = SPECTRUM + SPECTRUM.replace("0.4120", "0.4220") + COLOUR
    first, second, third = readings(read(file(values)))
    assert [sorted({"spectrum", "colours"} & set(each)) for each in (first, second, third)] == [
        ["spectrum"],
        ["spectrum"],
        ["colours"],
    ]


def test_a_colour_goes_to_the_spectrum_of_its_specification_among_equal_ones() -> None:
    other = SPECTRUM.replace("s1", "s2").replace("0.4120", "0.4220")
    values = SPECTRUM + other + COLOUR.replace("s1", "s2")
    first, second = readings(read(file(values, specification(), specification("s2"))))
    assert ("colours" in first, "colours" in second) == (False, True)


@pytest.mark.parametrize("bare", ['<ColorSpecification Id="s2">' + TRISTIMULUS + "</ColorSpecification>", ""])
def test_a_colour_that_states_no_conditions_joins_the_only_spectrum(bare: str) -> None:
    sphere = "<GeometryChoice><SphereGeometry>Specular_Excluded</SphereGeometry></GeometryChoice>" + RANGE
    colour = COLOUR.replace("s1", "s2") if bare else COLOUR.replace(' ColorSpecification="s1"', "")
    (reading,) = readings(read(file(SPECTRUM + colour, specification(inside=sphere), bare)))
    assert {"spectrum", "colours"} <= set(reading)


# --- specifications


def test_a_specification_without_an_id_is_refused() -> None:
    with pytest.raises(Refused, match="without Id"):
        read(file(COLOUR.replace(' ColorSpecification="s1"', ""), specification("")))


def test_a_specification_that_contradicts_itself_is_refused() -> None:
    twice = TRISTIMULUS.replace("<Observer>", "<Illuminant>A</Illuminant><Observer>")
    with pytest.raises(Refused, match="Illuminant is stated twice"):
        read(file(COLOUR, specification(light=twice)))


def test_a_specification_that_is_there_twice_is_said() -> None:
    assert "specification-repeated" in codes(read(file(COLOUR, specification(), specification())))


def test_a_custom_illuminant_is_unknown_and_kept() -> None:
    light = (
        '<TristimulusSpec><CustomIlluminant Name="lamp" WLStart="400" List_Increment="100"><SPDList>1 2 3 4</SPDList>'
        "</CustomIlluminant><Observer>2_Degree</Observer></TristimulusSpec>"
    )
    result = read(file(COLOUR, specification(light=light)))
    assert readings(result)[0]["colours"][0]["illuminant"] == "unknown"
    texts = result.case["extensions"]["org.shadefmt.cxf"]["specifications"][0]["texts"]
    assert texts["TristimulusSpec/CustomIlluminant/SPDList"] == "1 2 3 4"
    assert "illuminant-outside-vocabulary" in {item.get("code") for item in result.loss["items"]}


@pytest.mark.parametrize(
    ("illuminant", "observer", "basis", "lost"),
    [
        ('<Illuminant Name="LED-B3">Custom</Illuminant>', "2_Degree", ("LED-B3", "2-degree"), False),
        ('<Illuminant Name="unknown">Custom</Illuminant>', "2_Degree", ("unknown", "2-degree"), False),
        ('<Illuminant Name="D65">Custom</Illuminant>', "2_Degree", ("unknown", "2-degree"), True),
        ("<Illuminant>Custom</Illuminant>", "2_Degree", ("unknown", "2-degree"), True),
        ("<Illuminant>D65</Illuminant>", "Custom_CMF", ("D65", "unknown"), True),
    ],
)
def test_a_custom_illuminant_counts_by_its_name_where_cxf_has_no_word(
    illuminant: str, observer: str, basis: tuple[str, str], lost: bool
) -> None:
    light = f"<TristimulusSpec>{illuminant}<Observer>{observer}</Observer></TristimulusSpec>"
    result = read(file(COLOUR, specification(light=light)))
    block = readings(result)[0]["colours"][0]
    assert (block["illuminant"], block["observer"]) == basis
    said = {item.get("code") for item in result.loss["items"]}
    assert bool(said & {"illuminant-outside-vocabulary", "observer-outside-vocabulary"}) == lost


@pytest.mark.parametrize("word", ["mouth", "tooth-coloured", "not-applicable", "unknown"])
def test_backings_in_the_words_of_the_format(word: str) -> None:
    result = read(file(COLOUR, specification(inside=f"{RANGE}<Backing>{word}</Backing>")))
    assert readings(result)[0]["backing"] == word


def test_the_range_of_screen_colours_is_an_element() -> None:
    colour = '<ColorSRGB ColorSpecification="s1"><MaxRange>255</MaxRange><R>1</R><G>2</G><B>3</B></ColorSRGB>'
    assert kept(read(file(COLOUR + colour)))["other"]["ColorSRGB[1]/MaxRange"] == "255"


def test_wavelengths_keep_all_their_digits() -> None:
    points = "".join(f'<SpectralPoint WL="{wave}">0.5</SpectralPoint>' for wave in ("400.12345678901234", "410"))
    result = read(file(f'<CustomSpectrum ColorSpecification="s1">{points}</CustomSpectrum>'))
    assert readings(result)[0]["spectrum"]["wavelengths_nm"] == [400.12345678901234, 410]


@pytest.mark.parametrize(
    ("choice", "geometry"),
    [
        ("<UnknownGeometry>as built</UnknownGeometry>", "unknown"),
        ("<EmissiveMode>EmissiveMode_Other</EmissiveMode>", "other"),
        ('<MultiAngle><BRDFAngle Notation="a"><Aspecular>25</Aspecular></BRDFAngle></MultiAngle>', "other"),
        (
            "<SingleAngle><IlluminationAngle>45</IlluminationAngle><MeasurementAngle>0</MeasurementAngle></SingleAngle>",
            "45:0",
        ),
    ],
)
def test_geometries(choice: str, geometry: str) -> None:
    result = read(file(COLOUR, specification(inside=f"<GeometryChoice>{choice}</GeometryChoice>")))
    assert [each["geometry"] for each in result.case["instruments"]] == [geometry]


def test_what_the_format_has_no_member_for_is_in_the_extension_word_for_word() -> None:
    inside = RANGE + (
        "<Aperture>MAV</Aperture><Backing>tile 3</Backing><BandpassCorrected>true</BandpassCorrected>"
        "<Device><Manufacturer>Example Works</Manufacturer><DeviceFilter FilterPosition='2'>Filter_None</DeviceFilter>"
        "</Device>"
    )
    result = read(file(COLOUR, specification(inside=inside)))
    (instrument,) = result.case["instruments"]
    assert not {"aperture_mm", "model"} & set(instrument)
    assert "backing" not in readings(result)[0]
    texts = result.case["extensions"]["org.shadefmt.cxf"]["specifications"][0]["texts"]
    assert texts["MeasurementSpec/Aperture"] == "MAV"
    assert texts["MeasurementSpec/Backing"] == "tile 3"
    assert texts["MeasurementSpec/Device/Manufacturer"] == "Example Works"
    assert texts["MeasurementSpec/Device/DeviceFilter/@FilterPosition"] == "2"


def test_instruments_that_differ_in_serial_number_only_are_two() -> None:
    def by(number: int) -> str:
        return f"<Device><Model>bench</Model><SerialNumber>{number}</SerialNumber></Device>"

    values = COLOUR + COLOUR.replace("s1", "s2").replace("74.31", "74.35")
    result = read(file(values, specification(inside=by(1)), specification("s2", inside=by(2))))
    assert [each["session_id"] for each in readings(result)] == ["session-1", "session-2"]
    assert [each["model"] for each in result.case["instruments"]] == ["bench", "bench"]
    long = read(file(COLOUR, specification(inside=f"<Device><Model>{'m' * 300}</Model></Device>")))
    assert "model" not in long.case["instruments"][0]
