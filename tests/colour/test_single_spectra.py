from math import inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour.single import (
    EDGE,
    EDGE_ROOT,
    SLOPE,
    lab_to_lch,
    lab_to_xyz,
    lch_to_lab,
    spectrum_to_xyz,
    xyy_to_xyz,
    xyz_to_lab,
    xyz_to_xyy,
)
from shadefmt.colour.weights import weights, white_point
from shadefmt.errors import WrongUse

D65 = (95.047, 100.0, 108.883)
D50 = (96.422, 100.0, 82.521)

labs = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120))
factors_31 = st.lists(st.floats(0, 1.2), min_size=31, max_size=31)


# Lindbloom's colour calculator, as collected in the gold values of colorspacious (MIT).
@pytest.mark.parametrize(
    ("white", "xyz", "lab", "within"),
    [
        (D65, (10, 20, 30), (51.8372, -56.3591, -13.1812), 6e-5),
        (D65, (80, 90, 10), (95.9968, -10.6593, 102.8625), 6e-5),
        (D65, (0.5, 0.6, 0.4), (5.4198, -2.8790, 3.6230), 6e-5),
        (
            D50,
            (2.61219, 1.52732, 10.96471),
            (12.7806, 26.1147, -52.4348),
            8e-4,
        ),  # entered with more digits than are given
        (D50, (2.39318, 2.01643, 1.64315), (15.5732, 9.7574, 0.2281), 6e-5),
        (D50, (0.5, 0.6, 0.4), (5.4198, -3.1711, 1.7953), 6e-5),
    ],
)
def test_cielab_of_lindbloom(white, xyz, lab, within):
    assert xyz_to_lab(xyz, white) == pytest.approx(lab, abs=within)
    assert lab_to_xyz(lab, white) == pytest.approx(xyz, abs=2e-4)


# The same source.
@pytest.mark.parametrize(
    ("white", "xyz", "lch"),
    [
        (D65, (10, 20, 30), (51.8372, 57.8800, 193.1636)),
        (D65, (80, 90, 10), (95.9968, 103.4134, 95.9163)),
        (D50, (10, 20, 30), (51.8372, 63.0026, 204.1543)),
        (D50, (80, 90, 10), (95.9968, 95.0085, 97.8122)),
    ],
)
def test_lch_of_lindbloom(white, xyz, lch):
    assert lab_to_lch(xyz_to_lab(xyz, white)) == pytest.approx(lch, abs=6e-5)


def test_the_two_branches_of_cielab_meet():
    # ISO/CIE 11664-4: cube root above (24/116) cubed, a straight line of (841/108) t + 16/116 below.
    assert pytest.approx((24 / 116) ** 3, rel=1e-15) == EDGE
    assert pytest.approx(24 / 116, rel=1e-15) == EDGE_ROOT
    assert pytest.approx(841 / 108, rel=1e-15) == SLOPE / 116
    assert xyz_to_lab([EDGE * part for part in D65], D65)[0] == pytest.approx(8, abs=1e-13)
    below, above = (xyz_to_lab([EDGE * part * by for part in D65], D65)[0] for by in (1 - 1e-12, 1 + 1e-12))
    assert above - below == pytest.approx(0, abs=1e-10)


@given(labs, st.sampled_from(["A", "D65", "FL11"]))
def test_lab_and_xyz_invert_each_other(lab, name):
    white = white_point(name, "10-degree")
    assert xyz_to_lab(lab_to_xyz(lab, white), white) == pytest.approx(lab, abs=1e-9)


@given(labs)
def test_lab_and_lch_invert_each_other(lab):
    lch = lab_to_lch(lab)
    assert lch_to_lab(lch) == pytest.approx(lab, abs=1e-12)
    assert lch[2] is None or 0 <= lch[2] < 360


@pytest.mark.parametrize(
    ("lab", "lch"),
    [
        ((50, 0, 0), (50, 0, None)),
        ((50, -0.0, 0.0), (50, 0, None)),
        ((50, 3, 4), (50, 5, 53.13010235415598)),
        ((50, 1, 0), (50, 1, 0)),
        ((50, 1, -1e-20), (50, 1, 0)),
        ((50, 0, -2), (50, 2, 270)),
        ((50, -2, -0.0), (50, 2, 180)),
    ],
)
def test_hues_by_geometry(lab, lch):
    assert lab_to_lch(lab) == pytest.approx(lch, abs=1e-12)


def test_lch_without_hue():
    assert lch_to_lab((40, 0, None)) == (40, 0, 0)
    with pytest.raises(WrongUse, match="needs a hue"):
        lch_to_lab((40, 2, None))


def test_xyy():
    # D65, 2 degree observer: chromaticity 0.31272, 0.32903 (CIE 15:2018).
    assert xyz_to_xyy(D65) == pytest.approx((0.31272, 0.32903, 100), abs=2e-5)
    assert xyz_to_xyy((0, 0, 0)) == (None, None, 0)
    assert xyy_to_xyz((None, None, 0)) == (0, 0, 0)
    assert xyy_to_xyz((0.3, 0.4, 0)) == (0, 0, 0)
    for faulty in ((None, None, 5), (0.3, 0, 5), (None, 0.3, 5)):
        with pytest.raises(WrongUse, match="no chromaticity"):
            xyy_to_xyz(faulty)


@given(st.tuples(*[st.floats(0.01, 120)] * 3))
def test_xyy_and_xyz_invert_each_other(xyz):
    assert xyy_to_xyz(xyz_to_xyy(xyz)) == pytest.approx(xyz, rel=1e-9)


@given(factors_31, factors_31, st.floats(0, 1))
def test_xyz_is_linear_in_the_spectrum(one, other, share):
    factors = weights("D65", "10-degree", 400, 10, 31)
    mixed = [share * a + (1 - share) * b for a, b in zip(one, other, strict=True)]
    expected = (
        share * a + (1 - share) * b
        for a, b in zip(spectrum_to_xyz(one, factors), spectrum_to_xyz(other, factors), strict=True)
    )
    assert spectrum_to_xyz(mixed, factors) == pytest.approx(tuple(expected), abs=1e-10)


@given(st.floats(0, 1.5))
def test_greys_have_no_chroma(level):
    factors = weights("FL11", "2-degree", 380, 10, 36)
    lab = xyz_to_lab(spectrum_to_xyz([level] * 36, factors), factors.white)
    assert lab[1:] == pytest.approx((0, 0), abs=1e-10)


def test_lightness_of_18_percent_grey():
    # 116 * cube root of 0.18 - 16, by ISO/CIE 11664-4.
    factors = weights("D65", "2-degree", 400, 10, 31)
    lab = xyz_to_lab(spectrum_to_xyz([0.18] * 31, factors), factors.white)
    assert lab[0] == pytest.approx(116 * 0.18 ** (1 / 3) - 16, abs=1e-12)


@pytest.mark.parametrize("fault", [nan, inf, -inf])
@pytest.mark.parametrize("place", [0, 17, 30])
def test_values_that_are_not_finite_are_refused_with_their_index(fault, place):
    values = [0.5] * 31
    values[place] = fault
    with pytest.raises(WrongUse, match=f"index {place} "):
        spectrum_to_xyz(values, weights("D65", "2-degree", 400, 10, 31))


def test_values_that_overflow_are_refused():
    with pytest.raises(WrongUse, match="overflow"):
        spectrum_to_xyz([1e308] * 31, weights("D65", "2-degree", 400, 10, 31))


@pytest.mark.parametrize("count", [0, 1, 30, 32])
def test_other_counts_are_refused(count):
    with pytest.raises(WrongUse, match=f"{count} values"):
        spectrum_to_xyz([0.5] * count, weights("D65", "2-degree", 400, 10, 31))


@pytest.mark.parametrize("white", [(0, 100, 100), (95, -100, 108), (95, 100, nan)])
def test_whites_that_are_none_are_refused(white):
    with pytest.raises(WrongUse, match="white"):
        xyz_to_lab((10, 10, 10), white)
    with pytest.raises(WrongUse, match="white"):
        lab_to_xyz((10, 10, 10), white)


def test_results_are_plain_tuples_of_float():
    factors = weights("D65", "2-degree", 400, 10, 31)
    xyz = spectrum_to_xyz([1] * 31, factors)
    for triple in (xyz, xyz_to_lab(xyz, factors.white), lab_to_xyz((50, 1, 2), factors.white)):
        assert isinstance(triple, tuple)
        assert {type(part) for part in triple} == {float}


@pytest.mark.usefixtures("quiet")
def test_spectra_as_colour_science_has_them(colour_science):
    # Its practice for 10 nm: E2022 weights on 360-780 nm, missing ends folded in. D65 is handed over at 1 nm.
    random = np.random.default_rng(4)
    shape = colour_science.SpectralShape(360, 780, 1)
    functions = colour_science.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"].copy().align(shape)
    light = colour_science.SDS_ILLUMINANTS["D65"].copy()
    light = colour_science.SpectralDistribution(np.interp(shape.wavelengths, light.wavelengths, light.values), shape)
    factors = weights("D65", "10-degree", 400, 10, 31)
    for _ in range(20):
        values = random.random(31)
        sample = colour_science.SpectralDistribution(values, colour_science.SpectralShape(400, 700, 10))
        theirs = colour_science.sd_to_XYZ(sample, functions, light, method="ASTM E308")
        # The tail above 780 nm, which they leave out, is 0.0003 of X.
        assert spectrum_to_xyz(values.tolist(), factors) == pytest.approx(tuple(theirs), abs=5e-4)
