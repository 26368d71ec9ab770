"""The same CxF3 bytes read by an independent library (colour-cxf) and here: number by number the same.

Files are written by that library from drawn objects: several specifications, several spectra and colours an
object, tags, with another prefix now and then.
"""

import warnings
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from xsdata.models.datatype import XmlDateTime

from shadefmt.converters.cxf import CxfResult, read_cxf, write_cxf
from shadefmt.model.case import Case

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour_cxf
    from colour_cxf import cxf3

ILLUMINANTS = {"A": "A", "C": "C", "D50": "D50", "D65": "D65", "F2": "FL2", "F11": "FL11", "E": "unknown"}
OBSERVERS = {"2_Degree": "2-degree", "10_Degree": "10-degree", "Custom_CMF": "unknown"}
LIGHTS = ("M0_Incandescent", "M1_Daylight", "M2_UVExcluded", "M3_Polarized")
SPHERES = {"Specular_Included": "included", "Specular_Excluded": "excluded", "Diffuse": None}

FACTOR = st.integers(0, 12_000).map(lambda n: n / 10_000)
FACTORS = st.lists(FACTOR, min_size=2, max_size=40)
HUNDREDTH = st.integers(-9000, 9000).map(lambda n: n / 100)
LIGHTNESS = st.integers(0, 10_000).map(lambda n: n / 100)
WORD = st.text("abcdef ghi&<>\"'é→", max_size=12)


@st.composite
def specifications(draw: st.DrawFn) -> list[Any]:
    """One specification for each light of the instrument, so that no two state equal conditions."""
    sphere = draw(st.sampled_from(sorted(SPHERES)))
    start, step = draw(st.sampled_from([360, 380, 400])), draw(st.sampled_from([1, 2, 5, 10, 20]))
    return [
        cxf3.ColorSpecification(
            id=f"spec-{light[:2]}",
            tristimulus_spec=cxf3.TristimulusSpec(
                illuminant_or_custom_illuminant=cxf3.Illuminant(
                    value=cxf3.EilluminantType(draw(st.sampled_from(sorted(ILLUMINANTS))))
                ),
                observer=cxf3.Observer(value=cxf3.EobserverType(draw(st.sampled_from(sorted(OBSERVERS))))),
                method=cxf3.Method(value=cxf3.EastmTableType("E308_1nm")),
            ),
            measurement_spec=cxf3.MeasurementSpec(
                measurement_type=cxf3.MeasurementType(value=cxf3.EspectrumType("Spectrum_Reflectance")),
                geometry_choice=cxf3.GeometryChoice(choice=cxf3.EsphereType(sphere)),
                wavelength_range=cxf3.WavelengthRange(start_wl=start, increment=step),
                device=cxf3.Device(
                    device_illumination=cxf3.DeviceIllumination(value=cxf3.EdeviceIlluminationType(light))
                ),
            ),
        )
        for light in LIGHTS[: draw(st.integers(1, 4))]
    ]


@st.composite
def values(draw: st.DrawFn, names: list[str]) -> list[Any]:
    """For each specification a spectrum, a colour, both or nothing, in any order."""
    made: list[Any] = []
    for name in names:
        if draw(st.booleans()):
            kind = draw(st.sampled_from([cxf3.ReflectanceSpectrum, cxf3.TransmittanceSpectrum]))
            start = draw(st.sampled_from([None, 370, 400]))
            made.append(kind(value=draw(FACTORS), color_specification=name, start_wl=start))
        if draw(st.booleans()):
            L, a, b = draw(LIGHTNESS), draw(HUNDREDTH), draw(HUNDREDTH)
            made.append(cxf3.ColorCielab(l=L, a=a, b=b, color_specification=name))
        elif draw(st.booleans()):
            X, Y, Z = draw(LIGHTNESS), draw(LIGHTNESS), draw(LIGHTNESS)
            made.append(cxf3.ColorCiexyz(x=X, y=Y, z=Z, color_specification=name))
    return draw(st.permutations(made))


@st.composite
def files(draw: st.DrawFn) -> bytes:
    """The bytes of a file with at least one colour."""
    specs = draw(specifications())
    names = [each.id for each in specs]
    last = cxf3.ColorCielab(l=70.0, a=1.0, b=15.0, color_specification=names[0])
    objects = [draw(values(names)) for _ in range(draw(st.integers(0, 3)))] + [[last]]
    document = cxf3.CxF(
        resources=cxf3.Resources(
            object_collection=cxf3.ObjectCollection(
                object_value=[
                    cxf3.Object(
                        object_type="Trial",
                        name=draw(WORD),
                        id=f"o{number}",
                        guid=draw(st.sampled_from([None, "g"])),
                        creation_date=cxf3.CreationDate(value=XmlDateTime.from_string("2026-01-02T03:04:05+01:00")),
                        color_values=cxf3.ColorValues(choice=each),
                        tag_collection=[
                            cxf3.TagCollection(name=draw(WORD), tag=[cxf3.Tag(name=draw(WORD), value=draw(WORD))])
                        ],
                    )
                    for number, each in enumerate(objects)
                ]
            ),
            color_specification_collection=cxf3.ColorSpecificationCollection(color_specification=specs),
        )
    )
    data: bytes = colour_cxf.write_cxf(document)
    prefix = draw(st.sampled_from([b"ns0", b"cc", b"x-1"]))
    for before, after in ((b"<ns0:", b"<%s:"), (b"</ns0:", b"</%s:"), (b"xmlns:ns0=", b"xmlns:%s=")):
        data = data.replace(before, after % prefix)
    return data


Spectrum = tuple[str, Any, Any, tuple[float, ...]]
Colour = tuple[str, str, str, tuple[float, ...]]


def theirs(data: bytes) -> tuple[list[list[Spectrum]], list[list[Colour]]]:
    """Spectra and colours by object, linked here to what colour-cxf read of the specifications."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        resources = colour_cxf.read_cxf(data).resources
    specs = {each.id: each for each in resources.color_specification_collection.color_specification}
    spectra: list[list[Spectrum]] = []
    colours: list[list[Colour]] = []
    for each in resources.object_collection.object_value:
        spectra.append([])
        colours.append([])
        for value in each.color_values.choice:
            spec = specs[value.color_specification]
            range_ = spec.measurement_spec.wavelength_range
            light = spec.tristimulus_spec
            basis = (
                ILLUMINANTS[light.illuminant_or_custom_illuminant.value.value],
                OBSERVERS[light.observer.value.value],
            )
            if isinstance(value, cxf3.ColorCielab):
                colours[-1].append((*basis, "lab", (value.l, value.a, value.b)))
            elif isinstance(value, cxf3.ColorCiexyz):
                colours[-1].append((*basis, "xyz", (value.x, value.y, value.z)))
            else:
                kind = "reflectance" if isinstance(value, cxf3.ReflectanceSpectrum) else "transmittance"
                start = value.start_wl or range_.start_wl
                spectra[-1].append((f"{kind}-factor", start, range_.increment, tuple(value.value)))
    return spectra, colours


def ours(result: CxfResult, objects: int) -> tuple[list[list[Spectrum]], list[list[Colour]]]:
    """The same out of the case."""
    spectra: list[list[Spectrum]] = [[] for _ in range(objects)]
    colours: list[list[Colour]] = [[] for _ in range(objects)]
    kept = result.case["extensions"]["org.shadefmt.cxf"]["readings"]
    for reading in result.case["readings"]:
        number = int(kept[reading["id"]]["object_id"].removeprefix("o"))
        if "spectrum" in reading:
            block = reading["spectrum"]
            spectra[number].append((block["quantity"], block["start_nm"], block["step_nm"], tuple(block["values"])))
        for colour in reading.get("colours", []):
            for member in ("lab", "xyz"):
                if member in colour:
                    numbers = tuple(colour[member].values())
                    colours[number].append((colour["illuminant"], colour["observer"], member, numbers))
    return spectra, colours


@given(files())
def test_every_number_is_the_one_that_an_independent_library_reads(data: bytes) -> None:
    result = read_cxf(data)
    assert Case.model_validate(result.case).to_value() == result.case
    their_spectra, their_colours = theirs(data)
    our_spectra, our_colours = ours(result, len(their_spectra))
    assert [sorted(each) for each in our_spectra] == [sorted(each) for each in their_spectra]
    assert [sorted(each) for each in our_colours] == [sorted(each) for each in their_colours]


@given(files())
def test_decimals_are_those_that_python_writes(data: bytes) -> None:
    for reading in read_cxf(data).case["readings"]:
        blocks = [(colour, (colour.get("lab") or colour["xyz"]).values()) for colour in reading.get("colours", [])]
        blocks += [(reading["spectrum"], reading["spectrum"]["values"])] if "spectrum" in reading else []
        for block, numbers in blocks:
            needed = max(-int(Decimal(repr(each)).as_tuple().exponent) for each in numbers)
            assert needed <= block["decimals"] <= 4


@given(files())
def test_readings_share_an_object_only_where_conditions_differ(data: bytes) -> None:
    result = read_cxf(data)
    kept = result.case["extensions"]["org.shadefmt.cxf"]["readings"]
    seen = set()
    for entry in kept.values():
        (specification,) = entry["specification_ids"]
        assert (entry["object_id"], specification) not in seen
        seen.add((entry["object_id"], specification))


@given(files())
def test_reading_twice_gives_the_same(data: bytes) -> None:
    first, second = read_cxf(data), read_cxf(data)
    assert (first.case, first.loss, first.notices) == (second.case, second.loss, second.notices)
    assert list(first.case) == list(second.case)


@given(files())
def test_a_case_made_of_their_file_goes_back_whole(data: bytes) -> None:
    """What the library wrote, read, written and read again: readings, instruments and specifications the same."""
    case = read_cxf(data).case
    made = write_cxf(case, full=True)
    again = read_cxf(made.data, own_tags=True).case
    for name in ("readings", "specimens", "sessions", "instruments"):
        assert again.get(name) == case.get(name)
    gone = [item["path"] for item in made.loss["items"] if item["fate"] == "dropped"]
    assert not [path for path in gone if not path.startswith("/extensions/org.shadefmt.cxf/")]
    kept = "/extensions/org.shadefmt.cxf/readings/*/"
    for path in ("object_name", "object_type", "object_guid", "tags", "comment"):
        assert not [each for each in gone if each.startswith(kept + path)]
