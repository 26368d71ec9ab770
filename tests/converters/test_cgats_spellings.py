"""One table, spelled in many ways: names of spectral fields, colours, scales, conditions, counts of words."""

from typing import Any

import pytest
from cgats_cases import basis, codes, kept, losses, table

from shadefmt.converters.cgats import CgatsResult, read_cgats
from shadefmt.errors import Refused

Value = dict[str, Any]


def first(fields: str, row: str, header: str = "", **options: Any) -> Value:
    reading: Value = read_cgats(table(fields, row, header=header), **options).case["readings"][0]
    return reading


def colours(header: str) -> CgatsResult:
    return read_cgats(table("LAB_L LAB_A LAB_B", "75.1 1.2 15.6", header=header))


@pytest.mark.parametrize(
    "names",
    [
        *("nm380 nm390 nm400", "NM_380 NM_390 NM_400", "SPECTRAL_380 SPECTRAL_390 SPECTRAL_400"),
        *("SPECTRAL_NM380 SPECTRAL_NM390 SPECTRAL_NM400", "SPECTRAL_NM_380 SPECTRAL_NM_390 SPECTRAL_NM_400"),
        *("SPEC_380 SPEC_390 SPEC_400", "380_NM 390_NM 400_NM", "380 390 400", "R_380 R_390 R_400", "R380 R390 R400"),
        *("SPECTRAL_DEC_380 SPECTRAL_DEC_390 SPECTRAL_DEC_400", '"380 nm" "390 nm" "400 nm"', "380nm 390nm 400nm"),
        *("REFLECTANCE_380 REFLECTANCE_390 REFLECTANCE_400", "spectral_nm380.0 spectral_nm390.0 spectral_nm400.0"),
    ],
)
def test_names_of_spectral_fields(names: str) -> None:
    spectrum = first(f"SAMPLE_ID {names}", "1 0.2 0.3 0.45")["spectrum"]
    assert spectrum == {
        "quantity": "reflectance-factor",
        "start_nm": 380,
        "step_nm": 10,
        "decimals": 2,
        "values": [0.2, 0.3, 0.45],
    }


@pytest.mark.parametrize("names", ["CMYK_C CMYK_M", "R_100 R_110", "D_RED D_VIS", "SPEC_380 LAB_L", "NM38 NM39"])
def test_names_of_other_fields_are_no_spectrum(names: str) -> None:
    reading = first(f"{names} XYZ_X XYZ_Y XYZ_Z", "1 2 45.6 48.2 39.0")
    assert "spectrum" not in reading


def test_spectral_fields_out_of_order_are_put_in_order() -> None:
    result = read_cgats(table("nm420 nm400 nm410", "0.3 0.1 0.2"))
    assert result.case["readings"][0]["spectrum"]["values"] == [0.1, 0.2, 0.3]
    assert "fields-reordered" in codes(result)


def test_uneven_wavelengths_are_listed() -> None:
    result = read_cgats(table("nm400 nm410 nm430", "0.1 0.2 0.3"))
    assert result.case["readings"][0]["spectrum"]["wavelengths_nm"] == [400, 410, 430]
    assert "grid-uneven" in codes(result)


@pytest.mark.parametrize(
    ("header", "names"),
    [
        ('SPECTRAL_START_NM "400"', "nm380 nm390 nm405"),
        ('SPECTRAL_END_NM "730"', "nm380 nm390 nm405"),
        ('SPECTRAL_START_NM "380"\nSPECTRAL_END_NM "420"\nSPECTRAL_BANDS "3"', "nm380 nm383 nm420"),
        ('SPECTRAL_START_NM "380"\nSPECTRAL_START_NM "390"', "nm380 nm390"),
        ("SPECTRAL_START_NM soon", "nm380 nm390"),
        ('SPECTRAL_NORM "4096"', "nm380 nm390"),
        ("", "nm380 nm380"),
        ("", "SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_DEC"),
        ("", "SPECTRAL_NM SPECTRAL_NM SPECTRAL_DEC SPECTRAL_DEC"),
        ("", "SPECTRAL_NM SPECTRAL_DEC SAMPLE_ID SPECTRAL_NM"),
    ],
)
def test_wavelengths_that_contradict_each_other_are_refused(header: str, names: str) -> None:
    with pytest.raises(Refused, match="line "):
        read_cgats(table(names, " ".join(["0.1"] * len(names.split())), header=header))


@pytest.mark.parametrize(
    "header",
    [
        *('SPECTRAL_START_NM "400"', 'SPECTRAL_END_NM "730"', 'SPECTRAL_START_NM "380"\nSPECTRAL_STEP_NM "5"'),
        'SPECTRAL_BANDS "80"\nSPECTRAL_START_NM "400"\nSPECTRAL_END_NM "730"',
    ],
)
def test_names_that_lie_evenly_are_believed_against_the_header(header: str) -> None:
    """A published lamp file has fields from 355 nm on and a header that says 380."""
    result = read_cgats(table("nm380 nm390 nm400", "0.1 0.2 0.3", header=header))
    spectrum = result.case["readings"][0]["spectrum"]
    assert (spectrum["start_nm"], spectrum["step_nm"]) == (380, 10)
    assert "grid-mismatch" in codes(result)


def test_an_uneven_grid_may_have_its_ends_stated() -> None:
    header = 'SPECTRAL_START_NM "380"\nSPECTRAL_END_NM "420"'
    assert first("nm380 nm383 nm420", "0.1 0.2 0.3", header)["spectrum"]["wavelengths_nm"] == [380, 383, 420]


@pytest.mark.parametrize(
    ("names", "header", "option", "value"),
    [
        ("nm400 nm410", "", None, 65.32),
        ("nm400 nm410", "", True, 0.6532),
        ("nm400 nm410", 'SPECTRAL_NORM "100.000000"', None, 0.6532),
        ("nm400 nm410", 'SPECTRAL_NORM "1"', None, 65.32),
        ("nm400 nm410", 'SPECTRAL_NORM "100"', False, 65.32),
        ("SPECTRAL_PCT_400 SPECTRAL_PCT_410", "", None, 0.6532),
        ("SPECTRAL_PCT_400 SPECTRAL_PCT_410", "", False, 65.32),
        ("SPECTRAL_DEC_400 SPECTRAL_DEC_410", "", None, 65.32),
        ("nm400 nm410", 'SPECTRAL_NORM "4096"', True, 0.6532),
    ],
)
def test_percent_where_it_is_stated_and_never_by_looks(
    names: str, header: str, option: bool | None, value: float
) -> None:
    result = read_cgats(table(names, "65.32 65.32", header=header), percent=option)
    spectrum = result.case["readings"][0]["spectrum"]
    assert spectrum["values"] == [value, value]
    assert spectrum["decimals"] == (4 if value < 1 else 2)
    assert ("looks-like-percent" in codes(result)) == (value > 1)
    says_percent = "PCT" in names or "100" in header
    says = says_percent or "DEC" in names or 'NORM "1"' in header
    assert ("scale-overruled" in codes(result)) == (option is not None and says and option != says_percent)


def test_a_factor_above_one_is_no_percent() -> None:
    assert "looks-like-percent" not in codes(read_cgats(table("nm400 nm410 nm420", "0.9 1.026 1.1")))


def test_names_and_norm_that_contradict_are_refused_until_the_caller_says() -> None:
    data = table("SPECTRAL_DEC_400 SPECTRAL_DEC_410", "65.3 65.3", header='SPECTRAL_NORM "100"')
    with pytest.raises(Refused, match="contradict"):
        read_cgats(data)
    assert read_cgats(data, percent=True).case["readings"][0]["spectrum"]["values"] == [0.653, 0.653]


@pytest.mark.parametrize(
    ("header", "option", "quantity"),
    [
        ('MEAS_TYPE "TRANSMISSIVE"', None, "transmittance-factor"),
        ('SPECTRAL_QUANTITY "transmittance-factor"', None, "transmittance-factor"),
        ('BENCH_INFO "MeasurementOptics=Remission"', None, "reflectance-factor"),
        ("", "transmittance-factor", "transmittance-factor"),
    ],
)
def test_what_spectra_are_of(header: str, option: Any, quantity: str) -> None:
    result = read_cgats(table("nm400 nm410", "0.5 0.6", header=header), quantity=option)
    assert result.case["readings"][0]["spectrum"]["quantity"] == quantity
    assert "quantity-assumed" not in losses(result)


@pytest.mark.parametrize(
    ("header", "expected"),
    [
        ('WEIGHTING_FUNCTION "ILLUMINANT, D65"\nWEIGHTING_FUNCTION "OBSERVER, 2 degree"', ("D65", "2-degree")),
        ('WEIGHTING_FUNCTION "ILLUMINANT,D50;OBSERVER,10 degree"', ("D50", "10-degree")),
        ('WEIGHTING_FUNCTION "ILLUMINANT" "D50"', ("D50", "unknown")),
        ("ILLUMINANT CIE D65\nOBSERVER CIE 1964", ("D65", "10-degree")),
        ('ILLUMINANT "D65/10°"', ("D65", "10-degree")),
        ('ILLUMINATION_NAME "F11"\nOBSERVER_ANGLE "10"', ("FL11", "10-degree")),
        ('ILLUMINATION_NAME "a"\nOBSERVER "2 Degree Standard Observer"', ("A", "2-degree")),
        ('INFO "Illumination=D65\tObserverAngle=10"', ("D65", "10-degree")),
        ('INFO "Illumination=D65 ObserverAngle=10 WhiteBase=Abs"', ("D65", "10-degree")),
        ('INFO "Patches=17,MR,Illuminant=D50,Observer=10,Density=T"', ("D50", "10-degree")),
        ('INFO "Illumination=D50\tObserverAngle=10degree\tFilter=No"', ("D50", "10-degree")),
        ('INFO "Illumination=D65\tFilter=None"', ("unknown", "unknown")),
        ('INFO "Illuminant=D65,Filter=None"', ("unknown", "unknown")),
        ('MEASUREMENT_SOURCE "D50"', ("unknown", "unknown")),
        ('MEASUREMENT_SOURCE "Measurement Condition=M1"\nFILTER "D65"', ("unknown", "unknown")),
        ('ILLUMINANT "D65"\nILLUMINATION_NAME "D50"\nOBSERVER "2"', ("unknown", "2-degree")),
        ('ILLUMINANT "daylight"\nOBSERVER "4 degree"', ("unknown", "unknown")),
        ('ILLUMINANT "unknown"\nOBSERVER "N.A."', ("unknown", "unknown")),
        ('OBSERVER "2"\nOBSERVER_ANGLE "10"', ("unknown", "unknown")),
    ],
)
def test_illuminant_and_observer_where_plainly_stated(header: str, expected: tuple[str, str]) -> None:
    assert basis(colours(header)) == {expected}


def test_what_is_not_in_the_vocabulary_is_on_record() -> None:
    assert losses(colours('ILLUMINANT "daylight"'))["illuminant-outside-vocabulary"] == 1
    assert losses(colours('ILLUMINANT "D65"\nILLUMINATION_NAME "D50"'))["illuminant-contradictory"] == 1
    assert not any("illuminant" in code for code in losses(colours('ILLUMINANT "unknown"')))


@pytest.mark.parametrize(
    ("header", "members"),
    [
        ('MEASUREMENT_GEOMETRY "45/0"', {"geometry": "45:0"}),
        ("MEASUREMENT_GEOMETRY 0:45", {"geometry": "0:45"}),
        ('MEASUREMENT_GEOMETRY "45°/0°"', {"geometry": "45:0"}),
        ('MEASUREMENT_GEOMETRY "45a:0"', {"geometry": "45:0"}),
        ('MEASUREMENT_GEOMETRY "di:8"', {"geometry": "d:8", "specular": "included"}),
        ('MEASUREMENT_GEOMETRY "8:de"', {"geometry": "8:d", "specular": "excluded"}),
        ('MEASUREMENT_GEOMETRY "d/8, SCE"', {"geometry": "d:8", "specular": "excluded"}),
        ('MEASUREMENT_GEOMETRY "di:8 SCE"', None),
        ('MEASUREMENT_GEOMETRY "diffuse"', None),
        ('MEASUREMENT_GEOMETRY "45/0"\nGEOMETRY "0/45"', None),
        ('APERTURE "6 mm"', {"aperture_mm": 6}),
        ('APERTURE "6"', None),
        ('APERTURE_MM "6"', {"aperture_mm": 6}),
        ('INFO "Measurement Condition=M1,Aperture=6 mm"', {"aperture_mm": 6}),
        ('INSTRUMENTATION "bench; serial number 1234"', None),
        ('INSTRUMENTATION "bench ver:6.26,SN=1234"', None),
        ("INSTRUMENTATION bench three", {"model": "bench three"}),
    ],
)
def test_conditions_where_plainly_readable(header: str, members: Value | None) -> None:
    result = colours(header)
    found = [{k: v for k, v in each.items() if k not in ("id", "kind")} for each in result.case.get("instruments", ())]
    assert found == ([members] if members else [])


@pytest.mark.parametrize(
    ("fields", "row", "expected"),
    [
        ("Lab_L Lab_a Lab_b", "75.1 1.2 15.6", {"L": 75.1, "a": 1.2, "b": 15.6}),
        ("LAB_L LAB_C LAB_H", "75.1 20.0 90.0", {"L": 75.1, "a": 0, "b": 20}),
        ("LAB_L LAB_A LAB_B LAB_C LAB_H", "75.1 1.2 15.6 9 9", {"L": 75.1, "a": 1.2, "b": 15.6}),
    ],
)
def test_cielab(fields: str, row: str, expected: Value) -> None:
    assert first(fields, row)["colours"][0]["lab"] == expected


def test_chromaticity_of_the_equal_energy_white() -> None:
    """x = y = 1/3 with Y = 100 is X = Z = 100 (CIE 15); four decimals of x carry X to two."""
    block = first("XYY_X XYY_Y XYY_CAPY", "0.3333 0.3333 100.00")["colours"][0]
    assert block["decimals"] == 2
    assert block["xyz"] == {"X": 100, "Y": 100, "Z": pytest.approx(100.03, abs=0.01)}


def test_xyz_stands_beside_cielab_where_decimals_are_the_same() -> None:
    fields = "LAB_L LAB_A LAB_B XYZ_X XYZ_Y XYZ_Z"
    block = first(fields, "75.10 1.20 15.60 45.68 48.27 39.02")["colours"][0]
    assert set(block) >= {"lab", "xyz"}
    result = read_cgats(table(fields, "75.10 1.20 15.60 45.6812 48.2701 39.0200"))
    assert "xyz" not in result.case["readings"][0]["colours"][0]
    assert kept(result)["readings"]["reading-1"]["texts"] == {
        "XYZ_X": "45.6812",
        "XYZ_Y": "48.2701",
        "XYZ_Z": "39.0200",
    }
    assert "colour-kept-aside" in codes(result)


def test_half_a_colour_and_a_spectrum_with_gaps_are_left_out_and_said() -> None:
    result = read_cgats(table("LAB_L\tLAB_A\tLAB_B\tnm400\tnm410", "75.1\t\t15.6\t0.2\t0.3", "75.1\t1\t15.6\t0.2\t"))
    readings = result.case["readings"]
    assert [sorted(set(reading) & {"colours", "spectrum"}) for reading in readings] == [["spectrum"], ["colours"]]
    assert losses(result)["incomplete"] == 1
    assert sum(item["count"] for item in result.loss["items"] if item.get("code") == "incomplete") == 3
