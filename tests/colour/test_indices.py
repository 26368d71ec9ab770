from math import inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour import indices, indices_arrays
from shadefmt.colour.difference_single import ciede2000, cielab_difference
from shadefmt.colour.single import lab_to_xyz
from shadefmt.errors import WrongUse

DENTAL = ("D65", "2-degree")
WIDE = ("D65", "10-degree")
D65 = (95.047, 100.0, 108.883)  # ASTM E308, table 5: D65 and the 2-degree observer
triples = st.tuples(st.floats(1, 110), st.floats(1, 110), st.floats(1, 110))


def from_xyY(x, y, Y):
    return x * Y / y, Y, (1 - x - y) * Y / y


@pytest.mark.parametrize(
    ("lab", "expected"),
    [((100, 0, 0), 51.1), ((80, 0, 15), 24.38), ((74, 1.5, 17), 15.628), ((65, 3.5, 25), -2.419)],
)
def test_dental_whiteness(lab, expected):
    """The formula of Perez et al. 2016 by hand, no published worked example."""
    assert indices.dental_whiteness(lab, *DENTAL) == pytest.approx(expected, abs=1e-9)
    assert indices_arrays.dental_whiteness(lab, *DENTAL) == pytest.approx(expected, abs=1e-9)


def test_a_change_in_dental_whiteness_keeps_its_sign_and_meets_the_published_thresholds():
    """0.72 and 2.62 WI_D: Perez et al. 2019."""
    assert indices.dental_whiteness_change((74, 1.5, 17), (75, 1.2, 16), *DENTAL) == pytest.approx(2.3082)
    assert indices.dental_whiteness_change((75, 1.2, 16), (74, 1.5, 17), *DENTAL) == pytest.approx(-2.3082)
    grades = [indices.dental_whiteness_grade(change) for change in (0, -0.72, 0.73, -2.62, 2.63)]
    assert grades == [
        "up-to-perceptible",
        "up-to-perceptible",
        "up-to-acceptable",
        "up-to-acceptable",
        "beyond-acceptable",
    ]


def test_cie_whiteness_is_that_of_colour_science(colour_science):
    """Also the value in its tests: xy (0.3500, 0.3334), Y 100 against (0.3139, 0.3311): W 67.21, T -34.605."""
    got = indices.cie_whiteness(from_xyY(0.35, 0.3334, 100), from_xyY(0.3139, 0.3311, 100), *DENTAL)
    assert got[:2] == pytest.approx((67.21, -34.605))
    rng = np.random.default_rng(3)
    xyz, xy_white = rng.uniform(60, 100, (50, 3)), np.array(D65[:2]) / sum(D65)
    xy = xyz[:, :2] / xyz.sum(axis=1, keepdims=True)
    for basis, observer in (
        (DENTAL, "CIE 1931 2 Degree Standard Observer"),
        (WIDE, "CIE 1964 10 Degree Standard Observer"),
    ):
        theirs = colour_science.colorimetry.whiteness_CIE2004(xy, xyz[:, 1], xy_white, observer)
        got = indices_arrays.cie_whiteness(xyz, D65, *basis)
        np.testing.assert_allclose(np.stack(got[:2], axis=-1), theirs, rtol=0, atol=1e-9)
        single = [indices.cie_whiteness(tuple(row), D65, *basis) for row in xyz]
        np.testing.assert_allclose([each[:2] for each in single], theirs, rtol=0, atol=1e-9)
        assert [not each.flags for each in single] == got.valid.tolist()


def test_cie_whiteness_flags_a_tooth_and_accepts_a_near_white():
    """CIE 15: W > 40, W < 5 Y - 280, -4 < T < 2. The figures are computed, no published source."""
    tooth = indices.cie_whiteness(lab_to_xyz((74, 1.5, 17), D65), D65, *DENTAL)
    assert tooth[:2] == pytest.approx((-48.163, -15.243), abs=6e-4)
    assert tooth.flags == ("whiteness-not-above-40", "tint-outside-range")
    paper = indices.cie_whiteness(lab_to_xyz((90, -1, 3), D65), D65, *DENTAL)
    assert paper == pytest.approx((61.957, 0.133), abs=6e-4) or paper[:2] == pytest.approx((61.957, 0.133), abs=6e-4)
    assert paper.flags == ()
    bluish = indices.cie_whiteness(lab_to_xyz((60, 3, -20), D65), D65, *DENTAL)
    assert "whiteness-not-below-5Y-280" in bluish.flags


@pytest.mark.parametrize("Y", [1, 45, 100])
def test_a_neutral_colour_is_as_white_as_its_reflectance(Y):
    neutral = tuple(Y / 100 * value for value in D65)
    assert indices.cie_whiteness(neutral, D65, *DENTAL)[:2] == pytest.approx((Y, 0), abs=1e-9)
    assert indices.optimised_whiteness(neutral, D65, *DENTAL) == pytest.approx(Y)


def test_optimised_whiteness():
    """Formula of Luo et al. 2009; figures computed, no published worked example."""
    for lab, expected in (((80, 0, 15), 19.235), ((74, 1.5, 17), -1.123), ((90, -1, 3), 70.95)):
        got = indices.optimised_whiteness(lab_to_xyz(lab, D65), D65, *DENTAL)
        assert got == pytest.approx(expected, abs=6e-4)
        assert indices_arrays.optimised_whiteness(lab_to_xyz(lab, D65), D65, *DENTAL) == pytest.approx(got)


def test_yellowness_is_that_of_colour_science(colour_science):
    rng = np.random.default_rng(8)
    xyz = rng.uniform(5, 100, (40, 3))
    tables = colour_science.colorimetry.YELLOWNESS_COEFFICIENTS_ASTME313
    for observer, name in (("2-degree", "cie_2_1931"), ("10-degree", "cie_10_1964")):
        for illuminant in ("C", "D65"):
            theirs = colour_science.colorimetry.yellowness_ASTME313(xyz, C_XZ=tables[name][illuminant])
            np.testing.assert_allclose(indices_arrays.yellowness(xyz, illuminant, observer), theirs, atol=1e-9)
            single = [indices.yellowness(tuple(row), illuminant, observer) for row in xyz]
            np.testing.assert_allclose(single, theirs, rtol=0, atol=1e-9)


def test_yellowness_of_a_tooth():
    """Computed, no published source; ASTM E313 constants."""
    assert indices.yellowness(lab_to_xyz((74, 1.5, 17), D65), *DENTAL) == pytest.approx(37.719, abs=6e-4)
    assert indices.yellowness(lab_to_xyz((80, 0, 15), D65), *DENTAL) == pytest.approx(30.605, abs=6e-4)


def test_translucency_over_two_backings():
    """Computed, no published source: white 78.2/-0.9/10.6, black 68.4/-2.1/3.2."""
    white, black = (78.2, -0.9, 10.6), (68.4, -2.1, 3.2)
    assert indices.translucency(white, black, "CIELAB") == indices.Index(cielab_difference(white, black))
    assert indices.translucency(white, black, "CIELAB").value == pytest.approx(12.3386, abs=5.1e-5)
    assert indices.translucency(white, black).value == pytest.approx(9.5036, abs=5.1e-5)
    assert indices_arrays.translucency([white, white], black) == pytest.approx([9.5036] * 2, abs=5.1e-5)
    halved = indices.translucency(white, black, "CIEDE2000", 2)
    assert halved.value == pytest.approx(ciede2000(white, black, 2), abs=1e-12)
    assert indices_arrays.translucency(white, black, "CIEDE2000", 2) == pytest.approx(halved.value, abs=1e-9)
    assert halved.value < 9
    ratio = indices.contrast_ratio(lab_to_xyz(white, D65)[1], lab_to_xyz(black, D65)[1])
    assert ratio.value == pytest.approx(0.7192, abs=5.1e-5)
    assert not ratio.flags
    assert indices.translucency(black, white).flags == ("lighter-over-black",)
    assert indices.contrast_ratio(40, 50) == indices.Index(1.25, ("lighter-over-black",))
    assert indices.contrast_ratio(40, 0) == indices.Index(0)
    assert indices_arrays.contrast_ratio([40, 0, 40], [50, 3, -1]) == pytest.approx([1.25, nan, nan], nan_ok=True)


@pytest.mark.parametrize("basis", [("D50", "2-degree"), ("D65", "10-degree"), ("unknown", "unknown"), ("A", "2")])
def test_another_basis_is_refused(basis):
    for module in (indices, indices_arrays):
        with pytest.raises(WrongUse, match="WI_D is defined for D65/2-degree"):
            module.dental_whiteness((74, 1, 17), *basis)
        if basis != WIDE:
            for function in (module.cie_whiteness, module.optimised_whiteness):
                with pytest.raises(WrongUse, match="D65/10-degree"):
                    function((40, 40, 40), D65, *basis)
            with pytest.raises(WrongUse, match="YI E313 is defined for C/2-degree"):
                module.yellowness((40, 40, 40), *basis)


def test_what_has_no_index_is_refused():
    for bad in ((nan, 0, 0), (50, inf, 0)):
        with pytest.raises(WrongUse, match="finite"):
            indices.dental_whiteness(bad, *DENTAL)
    for black in ((0, 0, 0), (-1, 0.5, 0)):
        for function in (indices.cie_whiteness, indices.optimised_whiteness):
            with pytest.raises(WrongUse, match="black has none"):
                function(black, D65, *DENTAL)
    with pytest.raises(WrongUse, match="above zero"):
        indices.yellowness((1, 0, 1), *DENTAL)
    for pair in ((0, 0), (-1, 1), (50, -1), (nan, 1), (inf, 1), (50, nan)):
        with pytest.raises(WrongUse, match="contrast ratio"):
            indices.contrast_ratio(*pair)
    with pytest.raises(WrongUse, match="shape"):
        indices_arrays.yellowness([1, 2], *DENTAL)
    with pytest.raises(WrongUse, match="finite"):
        indices.dental_whiteness_grade(nan)


def test_arrays_give_nan_where_one_colour_is_refused():
    assert np.isnan(indices_arrays.yellowness([[1, 0, 1], [0, -1, 0]], *DENTAL)).all()
    got = indices_arrays.cie_whiteness([[0, 0, 0], D65], D65, *DENTAL)
    assert np.isnan(got.whiteness[0])
    assert not got.valid[0]
    assert got.whiteness[1] == pytest.approx(100)


@given(triples)
def test_arrays_say_what_single_colours_say(xyz):
    assert indices_arrays.yellowness(xyz, *DENTAL) == pytest.approx(indices.yellowness(xyz, *DENTAL))
    assert indices_arrays.optimised_whiteness(xyz, D65, *DENTAL) == pytest.approx(
        indices.optimised_whiteness(xyz, D65, *DENTAL), abs=1e-9
    )
