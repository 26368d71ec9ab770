"""Numbers as a CxF3 file writes them, and colours restated in the coordinates of the format."""

import warnings
from decimal import Decimal

import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.converters.cxf import colours, conditions
from shadefmt.converters.cxf.numbers import number_of, numbers_of, plain, plain_factors
from shadefmt.errors import Refused
from shadefmt.limits import MAX_DECIMALS

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it misses a plotting library that nothing here needs
    from colour.models import xyY_to_XYZ

BLANKS = st.sampled_from([" ", "  ", "\n", "\t", "\r\n    "])
FIXED = st.builds(
    lambda digits, places: f"{Decimal(digits).scaleb(-places):f}", st.integers(-(10**7), 10**7), st.integers(1, 6)
)
UNIT = st.integers(0, 9999).map(lambda digits: f"0.{digits:04}")
OTHER = st.one_of(
    st.integers(-99999, 99999).map(str),
    st.floats(-1000, 1000).map(repr),
    st.floats(-1, 1).map(lambda value: f"{value:.6e}"),
    st.sampled_from(["+1.5", ".5", "5.", "-0", "1E2", "1e-3", "00.5", "-0.0"]),
)


def decimals_of(tokens: list[str]) -> int:
    """Decimals by Python's decimal arithmetic, which keeps what was written."""
    return max(max(0, -int(Decimal(token).as_tuple().exponent)) for token in tokens)


@given(st.one_of(st.lists(UNIT, min_size=1), st.lists(FIXED, min_size=1), st.lists(OTHER, min_size=1)), st.data())
def test_numbers_are_what_python_reads_with_the_decimals_written(tokens: list[str], data: st.DataObject) -> None:
    text = data.draw(BLANKS).join(tokens)
    numbers = numbers_of(data.draw(st.sampled_from(["", " ", "\n"])) + text)
    places = decimals_of(tokens)
    expected = [float(token) for token in tokens]
    if places > MAX_DECIMALS:
        assert numbers.decimals == MAX_DECIMALS
        assert numbers.values == [round(value, MAX_DECIMALS) for value in expected]
        changed = [place for place, value in enumerate(expected) if value != numbers.values[place]]
        assert numbers.cut == {place: tokens[place] for place in changed}
    else:
        assert (numbers.values, numbers.decimals, numbers.cut) == (expected, places, {})
    assert numbers.low <= min(expected)
    assert numbers.high >= max(expected)
    assert plain_factors(numbers) == plain(numbers.values) == numbers.values
    assert all(isinstance(each, int) == float(each).is_integer() for each in plain_factors(numbers))


@given(st.lists(FIXED, min_size=1, max_size=5), BLANKS)
def test_decimal_commas_are_points_written_otherwise(tokens: list[str], blank: str) -> None:
    text = blank.join(tokens)
    plainly = numbers_of(text)
    for written in (text.replace(".", ","), text):
        read = numbers_of(written, comma=True)
        assert (read.values, read.decimals, read.cut) == (plainly.values, plainly.decimals, plainly.cut)


@pytest.mark.parametrize("text", ["", " ", "\r\n\t"])
def test_nothing_is_no_number(text: str) -> None:
    assert numbers_of(text).values == []
    with pytest.raises(Refused, match="not one number"):
        number_of(text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0.5 nan", "'nan' is not a finite number"),
        ("0.5 INF", "'INF' is not a finite number"),
        ("-Infinity", "not a finite number"),
        ("0.5 1e999", "'1e999' is not a finite number"),
        ("0.5 -1e999", "not a finite number"),
        ("1000000.5 0.5", "larger than 1e[+]06"),
        ("0.5 2e6", "larger than"),
        ("0,5 0,6", "'0,5' is written with a decimal comma"),
        ("0.5;0.6", "is not a number"),
        ("1_000.5", "is not a number"),
        ("0.5 --1", "'--1' is not a number"),
        ("0.5 .", "'.' is not a number"),
        ("0x1F", "is not a number"),
        ("\u0661.5", "is not a number"),
        ("0.5\u00a00.6", "not a"),
        ("0.5 0.12341.1234", "is not a number"),
        ("0.5 " + "x" * 100, "'x{39}…' is not a number"),
        ("1" * 400 + ".5 0.5", "not a finite number"),
    ],
)
def test_what_is_no_number_is_refused_by_name(text: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        numbers_of(text)


@pytest.mark.parametrize("text", ["1.234,5", "1,234.5", "1,2,3", "0,5\u00a00,6", "1\u00a0234,5"])
def test_thousands_marks_are_never_guessed(text: str) -> None:
    with pytest.raises(Refused):
        numbers_of(text, comma=True)


def test_an_exponent_of_thousands_of_digits_is_only_small() -> None:
    assert numbers_of("1e-" + "9" * 5000).values == [0.0]
    assert numbers_of("1e-" + "0" * 5000 + "3").values == [0.001]


def test_only_one_number_is_one_number() -> None:
    assert number_of(" 400 ") == 400
    assert number_of("3,3", comma=True) == 3.3
    with pytest.raises(Refused, match="not one number"):
        number_of("400 410")


@given(st.integers(0, 10000), st.integers(0, 6000), st.integers(0, 35999))
def test_cielab_from_lch_is_that_of_an_independent_library(lightness: int, chroma: int, hue: int) -> None:
    values = [lightness / 100, chroma / 100, hue / 100]
    (L, a, b), decimals = colours.lab_from_lch(values, [2, 2, 2])
    _, theirs_a, theirs_b = Color("lch-d65", values).convert("lab-d65").coords()
    assert (L, decimals) == (values[0], 2)
    assert abs(a - theirs_a) <= 0.005 + 1e-9
    assert abs(b - theirs_b) <= 0.005 + 1e-9


@given(st.integers(1000, 6000), st.integers(1000, 6000), st.integers(0, 10000))
def test_tristimulus_values_from_chromaticity_are_those_of_an_independent_library(x: int, y: int, Y: int) -> None:
    values = [x / 10000, y / 10000, Y / 100]
    ours, decimals = colours.xyz_from_xyy(values, [4, 4, 2])
    assert decimals == 2
    for mine, theirs in zip(ours, xyY_to_XYZ(values), strict=True):
        assert abs(mine - theirs) <= 0.005 + 1e-9


def test_decimals_of_restated_values_are_no_more_than_the_source_carries() -> None:
    assert colours.xyz_from_xyy([0.35, 0.36, 45.0], [2, 2, 2])[1] == 0
    assert colours.xyz_from_xyy([0.35, 0.36, 45.0], [6, 6, 1])[1] == 1
    assert colours.lab_from_lch([70.0, 20.0, 60.0], [1, 2, 0])[1] == 2


def test_black_has_no_chromaticity() -> None:
    assert colours.is_colour([0.0, 0.0, 0.0])
    assert colours.xyz_from_xyy([0.0, 0.0, 0.0], [4, 4, 2])[0] == (0.0, 0.0, 0.0)
    assert not colours.is_colour([0.3, 0.0, 20.0])


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("4 mm", 4),
        ("4.5mm", 4.5),
        ("4,5 mm", 4.5),
        ("Ø 6 mm", 6),
        ("3 millimetres", 3),
        ("diameter 8 mm", 8),
        ("4", None),
        ("4x7 mm", None),
        ("0 mm", None),
        ("MAV", None),
        ("", None),
    ],
)
def test_an_aperture_is_read_where_it_is_plainly_one(text: str, millimetres: float | None) -> None:
    assert conditions.aperture_of(text) == millimetres


@pytest.mark.parametrize(
    ("text", "backing"),
    [
        ("black", "black"),
        ("White Backing", "white"),
        ("gray", "grey"),
        ("none", "none"),
        ("black tile nr 3", None),
        ("", None),
    ],
)
def test_a_backing_is_read_where_it_is_plainly_one(text: str, backing: str | None) -> None:
    assert conditions.backing_of(text) == backing


@pytest.mark.parametrize(
    ("angles", "geometry"),
    [
        (("45", "0"), "45:0"),
        (("0.0", "45.0"), "0:45"),
        (("45", "10"), "other"),
        (("45", "x"), "unknown"),
    ],
)
def test_angles_give_the_geometry(angles: tuple[str, str], geometry: str) -> None:
    assert conditions.geometry_of(*angles) == geometry


def test_illuminants_and_observers_of_the_schema() -> None:
    named = {"A": "A", "C": "C", "D50": "D50", "D65": "D65", "F2": "FL2", "F7": "FL7", "F11": "FL11", "d65 ": "D65"}
    assert {text: conditions.illuminant_of(text) for text in named} == named
    assert [conditions.illuminant_of(text) for text in ("B", "D60", "E", "F12", "9300", "Custom")] == [None] * 6
    assert conditions.observer_of("2_Degree") == conditions.observer_of("2 degree") == "2-degree"
    assert conditions.observer_of("10_Degree") == "10-degree"
    assert conditions.observer_of("Custom_CMF") is None


@pytest.mark.parametrize(
    ("types", "kind"),
    [
        (["Spectrum_Reflectance"], "spectrophotometer"),
        (["Colorimetric_Reflectance", "Spectrum_Custom"], "spectrophotometer"),
        (["Colorimetric_Reflectance"], "colorimeter"),
        (["Colorimetric_Reflectance", ""], "other"),
        ([], "other"),
    ],
)
def test_the_kind_of_instrument_is_the_most_general_one(types: list[str], kind: str) -> None:
    assert conditions.kind_of(types) == kind
