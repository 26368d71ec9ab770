from math import inf, nan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from shadefmt.colour import cielab, single
from shadefmt.colour.rows import BLOCK_ROWS
from shadefmt.errors import WrongUse

D65 = (95.047, 100.0, 108.883)

shapes = arrays.array_shapes(min_dims=0, max_dims=3, min_side=0, max_side=5).map(lambda shape: (*shape, 3))


def all_hues():
    """CIELAB on a dense grid: every 3 degrees, chroma 0.5 to 120, L* 1 to 100."""
    lightness, chroma, hue = np.meshgrid(
        [1, 7.9, 8.1, 30, 60, 90, 100], [0.5, 5, 20, 60, 120], np.arange(0, 360, 3), indexing="ij"
    )
    angle = np.radians(hue)
    return np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle)], axis=-1)


@pytest.mark.usefixtures("quiet")
def test_cielab_is_that_of_colour_science_over_all_hues(colour_science):
    chromaticity = np.array(D65[:2]) / sum(D65)
    lab = all_hues()
    theirs = colour_science.Lab_to_XYZ(lab, chromaticity) * 100
    np.testing.assert_allclose(cielab.lab_to_xyz(lab, D65), theirs, rtol=0, atol=1e-10)
    np.testing.assert_allclose(
        cielab.xyz_to_lab(theirs, D65),
        colour_science.XYZ_to_Lab(theirs / 100, chromaticity),
        rtol=0,
        atol=1e-10,
    )
    np.testing.assert_allclose(cielab.lab_to_lch(lab), colour_science.models.Jab_to_JCh(lab), rtol=0, atol=1e-10)
    np.testing.assert_allclose(
        cielab.xyz_to_xyy(theirs)[..., :2],
        colour_science.XYZ_to_xyY(theirs / 100)[..., :2],
        rtol=1e-12,
        atol=1e-12,
    )


def test_cielab_is_that_of_coloraide_over_all_hues():
    coloraide = pytest.importorskip("coloraide")
    space = coloraide.Color("lab-d65", [50, 0, 0])
    white = [100 * part for part in space.convert("xyz-d65").new("lab-d65", [100, 0, 0]).convert("xyz-d65").coords()]
    lab = all_hues()[::2, ::2, ::4].reshape(-1, 3)
    ours = cielab.lab_to_xyz(lab, white)
    theirs = [coloraide.Color("lab-d65", list(row)).convert("xyz-d65").coords() for row in lab]
    np.testing.assert_allclose(ours, 100 * np.array(theirs), rtol=0, atol=1e-9)
    back = [coloraide.Color("xyz-d65", list(row / 100)).convert("lab-d65").coords() for row in ours]
    np.testing.assert_allclose(cielab.xyz_to_lab(ours, white), back, rtol=0, atol=1e-9)


def test_cielab_is_that_of_scikit_image_over_all_hues():
    colour = pytest.importorskip("skimage.color")
    xyz = np.maximum(cielab.lab_to_xyz(all_hues(), D65), 0)
    theirs = colour.xyz2lab(xyz / 100, illuminant="D65", observer="2")
    # Its edge between the branches is 0.008856, the standard's 216/24389 = 0.0088565.
    np.testing.assert_allclose(cielab.xyz_to_lab(xyz, D65), theirs, rtol=0, atol=2e-3)


@pytest.mark.parametrize(
    ("array_function", "single_function", "with_white"),
    [
        (cielab.xyz_to_lab, single.xyz_to_lab, True),
        (cielab.lab_to_xyz, single.lab_to_xyz, True),
        (cielab.lab_to_lch, single.lab_to_lch, False),
        (cielab.xyz_to_xyy, single.xyz_to_xyy, False),
    ],
)
@given(arrays.arrays(float, shapes, elements=st.floats(0.01, 120)))
def test_arrays_of_any_shape_equal_single_values(array_function, single_function, with_white, values):
    white = (D65,) if with_white else ()
    result = array_function(values, *white)
    assert result.shape == values.shape
    for ours, row in zip(result.reshape(-1, 3), values.reshape(-1, 3), strict=True):
        assert tuple(ours) == pytest.approx(single_function(tuple(row), *white), rel=1e-13, abs=1e-12)


@given(arrays.arrays(float, shapes, elements=st.floats(0, 120)))
def test_lch_and_xyy_come_back(values):
    lab = values - [0, 60, 60]
    np.testing.assert_allclose(cielab.lch_to_lab(cielab.lab_to_lch(lab)), lab, rtol=0, atol=1e-12)
    xyz = values + 0.01
    np.testing.assert_allclose(cielab.xyy_to_xyz(cielab.xyz_to_xyy(xyz)), xyz, rtol=1e-10)


def test_what_has_no_hue_or_chromaticity_is_nan_and_comes_back():
    lch = cielab.lab_to_lch([[50, 0, 0], [50, 1, -1e-20], [50, 0, -2]])
    np.testing.assert_array_equal(lch, [[50, 0, nan], [50, 1, 0], [50, 2, 270]])
    np.testing.assert_allclose(cielab.lch_to_lab(lch)[0], [50, 0, 0])
    xyy = cielab.xyz_to_xyy([[0, 0, 0], [1, 1, 2]])
    np.testing.assert_array_equal(xyy, [[nan, nan, 0], [0.25, 0.25, 1]])
    np.testing.assert_array_equal(cielab.xyy_to_xyz(xyy), [[0, 0, 0], [1, 1, 2]])


@pytest.mark.parametrize("size", [1, BLOCK_ROWS - 1, BLOCK_ROWS, BLOCK_ROWS + 1, 2 * BLOCK_ROWS + 3])
def test_blocks_leave_no_seam(size):
    xyz = np.random.default_rng(size).random((size, 3)) * 100
    ratio = xyz / D65
    root = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    expected = np.stack(
        [116 * root[:, 1] - 16, 500 * (root[:, 0] - root[:, 1]), 200 * (root[:, 1] - root[:, 2])], axis=-1
    )
    lab = cielab.xyz_to_lab(xyz, D65)
    np.testing.assert_allclose(lab, expected, rtol=0, atol=1e-12)
    np.testing.assert_allclose(cielab.lab_to_xyz(lab, D65), xyz, rtol=0, atol=1e-11)


@pytest.mark.parametrize("fault", [nan, inf, -inf])
@pytest.mark.parametrize(
    "function",
    [
        lambda values: cielab.xyz_to_lab(values, D65),
        lambda values: cielab.lab_to_xyz(values, D65),
        cielab.lab_to_lch,
        cielab.xyz_to_xyy,
        cielab.xyy_to_xyz,
        cielab.lch_to_lab,
    ],
)
def test_values_that_are_not_finite_are_refused_with_their_index(function, fault):
    values = np.full((2, BLOCK_ROWS + 5, 3), 0.3)
    values[1, 4, 1] = fault
    values[1, 6, 0] = fault
    with pytest.raises(WrongUse, match=r"index \[1, 4, 1\]"):
        function(values)
    with pytest.raises(WrongUse, match=r"index \[1\]"):
        function([0.3, fault, 0.3])


def test_a_hue_that_is_missing_where_there_is_chroma_is_refused():
    with pytest.raises(WrongUse, match=r"LCh: the value at index \[1, 2\]"):
        cielab.lch_to_lab([[50, 0, nan], [50, 1, nan]])


def test_a_chromaticity_that_cannot_carry_light_is_refused():
    with pytest.raises(WrongUse, match=r"y is 0 but Y is not at index \(1,\)"):
        cielab.xyy_to_xyz([[0.3, 0.3, 5], [0.3, 0, 5]])
    with pytest.raises(WrongUse, match=r"y is 0 but Y is not at index \(\)"):
        cielab.xyy_to_xyz([0.3, 0, 5])


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ([1, 2], "last dimension must be 3"),
        ([[1, 2, 3, 4]], "last dimension must be 3"),
        (5, "single number"),
        ([[1, 2, 3], [1, 2]], "different lengths"),
        (["1", "2", "3"], "real numbers"),
        ([1j, 2, 3], "real numbers"),
        ([None, 2, 3], "real numbers"),
        ([True, False, True], "real numbers"),
        (np.ma.masked_array([1.0, 2, 3], mask=[0, 1, 0]), "masked"),
    ],
)
def test_other_shapes_and_kinds_are_refused(values, message):
    with pytest.raises(WrongUse, match=message):
        cielab.xyz_to_lab(values, D65)


@pytest.mark.parametrize(
    "white", [(95, 100), (95, 0, 108), (95, -100, 108), (95, nan, 108), (95, 100, inf), 100, "D65"]
)
def test_whites_that_are_none_are_refused(white):
    with pytest.raises(WrongUse, match=r"three values above zero|^white: "):
        cielab.xyz_to_lab([10, 10, 10], white)


@settings(max_examples=30)
@given(arrays.arrays(np.float32, (7, 3), elements=st.floats(0, 100, width=32)))
def test_single_precision_is_computed_in_double(values):
    np.testing.assert_array_equal(
        cielab.xyz_to_lab(values, D65), cielab.xyz_to_lab(values.astype(float), D65), strict=True
    )


def test_integers_and_views_are_taken_and_left_alone():
    values = np.arange(18).reshape(3, 6)
    view = values[:, ::2]
    before = values.copy()
    np.testing.assert_array_equal(cielab.xyz_to_lab(view, D65), cielab.xyz_to_lab(view.astype(float), D65))
    np.testing.assert_array_equal(values, before)
    values.setflags(write=False)
    cielab.lab_to_lch(values[:, :3])


def test_no_rows_give_no_rows():
    for shape in ((0, 3), (4, 0, 3)):
        assert cielab.xyz_to_lab(np.empty(shape), D65).shape == shape
        assert cielab.lab_to_lch(np.empty(shape)).shape == shape
