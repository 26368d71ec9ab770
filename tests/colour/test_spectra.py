import tracemalloc
from math import inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from shadefmt.colour.rows import BLOCK_ROWS
from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.spectra import spectra_to_lab, spectra_to_xyz, weighted_lab, weighted_xyz
from shadefmt.colour.tables import ILLUMINANTS, OBSERVERS
from shadefmt.colour.weights import weights, weights_at, weights_of_spd
from shadefmt.errors import WrongUse

shapes = arrays.array_shapes(min_dims=0, max_dims=3, min_side=0, max_side=4).map(lambda shape: (*shape, 16))


@given(
    arrays.arrays(float, shapes, elements=st.floats(0, 1.3)),
    st.sampled_from(ILLUMINANTS),
    st.sampled_from(OBSERVERS),
)
def test_arrays_of_any_shape_equal_single_spectra(values, illuminant, observer):
    factors = weights(illuminant, observer, 400, 20, 16)
    xyz = spectra_to_xyz(values, illuminant, observer, 400, 20)
    lab = spectra_to_lab(values, illuminant, observer, 400, 20)
    assert xyz.shape == lab.shape == (*values.shape[:-1], 3)
    rows = zip(values.reshape(-1, 16), xyz.reshape(-1, 3), lab.reshape(-1, 3), strict=True)
    for row, our_xyz, our_lab in rows:
        single = spectrum_to_xyz(row.tolist(), factors)
        assert tuple(our_xyz) == pytest.approx(single, rel=1e-12, abs=1e-12)
        assert tuple(our_lab) == pytest.approx(xyz_to_lab(single, factors.white), rel=1e-11, abs=1e-11)


@pytest.mark.parametrize("illuminant", ILLUMINANTS)
@pytest.mark.parametrize("observer", OBSERVERS)
def test_perfect_reflector(illuminant, observer):
    for start, step, count in ((400, 10, 31), (380, 5, 81), (393, 3.3333, 100), (360, 1, 471), (360, 20, 24)):
        lab = spectra_to_lab(np.ones((3, count)), illuminant, observer, start, step)
        np.testing.assert_allclose(lab, [[100, 0, 0]] * 3, rtol=0, atol=1e-11)


@pytest.mark.parametrize("size", [1, BLOCK_ROWS, BLOCK_ROWS + 1, 3 * BLOCK_ROWS - 1])
def test_blocks_leave_no_seam(size):
    values = np.random.default_rng(size).random((size, 31))
    factors = weights("D65", "10-degree", 400, 10, 31)
    expected = values @ np.array([factors.x, factors.y, factors.z]).T
    np.testing.assert_allclose(spectra_to_xyz(values, "D65", "10-degree", 400, 10), expected, rtol=0, atol=1e-12)


@pytest.mark.usefixtures("quiet")
@pytest.mark.parametrize("name", ["A", "C", "D50", "D65", "FL2", "FL11", "LED-B3"])
def test_published_samples_as_colour_science_has_them(colour_science, name):
    # ISO 17321-1:2012 patches and CIE 13.3-1995 test colours at 5 nm. They bring samples and lights to 1 nm by
    # Sprague and sum over 380-780 nm, relative to the white; we spread by Lagrange. Narrow peaks of a light see
    # the difference between the two interpolations.
    within = 0.03 if name in ("A", "C", "D50", "D65") else 0.15
    shape = colour_science.SpectralShape(380, 780, 1)
    functions = np.array(colour_science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"][shape.wavelengths])
    light = np.array(colour_science.SDS_ILLUMINANTS[name].copy().align(shape).values)
    white = light @ functions
    for group in (
        colour_science.SDS_COLOURCHECKERS["ISO 17321-1"],
        colour_science.quality.SDS_TCS["CIE 1995"],
    ):
        for sample in group.values():
            nm, values = np.array(sample.wavelengths), np.array(sample.values)
            fine = colour_science.SpragueInterpolator(nm, values)(shape.wavelengths)
            ratios = (light * fine) @ functions / white
            theirs = colour_science.XYZ_to_Lab(ratios * white / white[1], white[:2] / white.sum())
            inside = (nm >= 380) & (nm <= 780)
            ours = spectra_to_lab(values[inside], name, "2-degree", 380, 5)
            np.testing.assert_allclose(ours, theirs, rtol=0, atol=within)


def test_uneven_grids_and_own_lights():
    grid = [400, 405, 410, 420, 440, 450, *range(465, 706, 15)]
    values = np.linspace(0.2, 0.8, len(grid)) ** np.array([[1.0], [2.0]])
    for factors in (
        weights_at("FL7", "2-degree", grid),
        weights_of_spd([380, 500, 780], [1, 3, 2], "10-degree", grid),
    ):
        xyz, lab = weighted_xyz(values, factors), weighted_lab(values, factors)
        for row, our_xyz, our_lab in zip(values.tolist(), xyz, lab, strict=True):
            single = spectrum_to_xyz(row, factors)
            assert tuple(our_xyz) == pytest.approx(single, rel=1e-12)
            assert tuple(our_lab) == pytest.approx(xyz_to_lab(single, factors.white), abs=1e-11)


@pytest.mark.parametrize("fault", [nan, inf, -inf])
@pytest.mark.parametrize("function", [spectra_to_xyz, spectra_to_lab])
def test_values_that_are_not_finite_are_refused_with_their_index(function, fault):
    values = np.full((3, BLOCK_ROWS, 31), 0.5)
    values[2, 7, 30] = fault
    values[2, 8, 0] = fault
    with pytest.raises(WrongUse, match=r"spectra: the value at index \[2, 7, 30\]"):
        function(values, "D65", "2-degree", 400, 10)
    with pytest.raises(WrongUse, match=r"index \[30\]"):
        function(values[2, 7], "D65", "2-degree", 400, 10)


@pytest.mark.parametrize(
    ("values", "message"),
    [
        (0.5, "single number"),
        ([0.5], "between 2 and"),
        (np.empty((5, 0)), "between 2 and"),
        ([[0.5] * 31, [0.5] * 30], "different lengths"),
        (["0.5"] * 31, "real numbers"),
        ([0.5] * 60, "leave out the values beyond"),
    ],
)
def test_other_shapes_and_kinds_are_refused(values, message):
    with pytest.raises(WrongUse, match=message):
        spectra_to_lab(values, "D65", "2-degree", 400, 10)


def test_another_number_of_bands_than_the_weights_is_refused():
    with pytest.raises(WrongUse, match="last dimension must be 31"):
        weighted_lab(np.ones((4, 30)), weights("D65", "2-degree", 400, 10, 31))


def test_single_precision_and_fortran_order_are_taken_as_they_are():
    values = np.random.default_rng(1).random((BLOCK_ROWS + 9, 31)).astype(np.float32)
    expected = spectra_to_lab(values.astype(float), "A", "2-degree", 400, 10)
    np.testing.assert_allclose(spectra_to_lab(values, "A", "2-degree", 400, 10), expected, rtol=0, atol=1e-10)
    np.testing.assert_allclose(
        spectra_to_lab(np.asfortranarray(values), "A", "2-degree", 400, 10), expected, rtol=0, atol=1e-10
    )


def test_no_rows_give_no_rows():
    assert spectra_to_lab(np.empty((0, 31)), "D65", "2-degree", 400, 10).shape == (0, 3)


def _peak_beside_the_result(rows: int) -> int:
    values = np.full((rows, 31), 0.5)
    tracemalloc.start()
    lab = spectra_to_lab(values, "D65", "10-degree", 400, 10)
    peak = tracemalloc.get_traced_memory()[1] - lab.nbytes
    tracemalloc.stop()
    return peak


def test_memory_beside_the_result_does_not_grow():
    _peak_beside_the_result(10)
    assert _peak_beside_the_result(200_000) < 1.1 * _peak_beside_the_result(20_000)
