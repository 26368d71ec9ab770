import warnings
from itertools import product
from math import inf, nan

import numpy as np
import pytest
from difference_pairs import LATTICE, all_hues, literal, opposite, published_pairs
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from shadefmt.colour import difference_kernel as kernel
from shadefmt.colour import difference_single as single
from shadefmt.colour import differences
from shadefmt.errors import WrongUse

values = st.one_of(st.sampled_from([0.0, 1e-300, 1e-160, 0.1, 0.2, 0.3, -0.1, -0.2, 50.0, 100.0]), st.floats(-150, 150))
triples = st.tuples(values, values, values)
lists = st.lists(st.tuples(triples, triples), min_size=1, max_size=20)
FORMULAS = ("CIELAB", "CIE94", "CIEDE2000")


def test_ciede2000_gives_the_published_34_values():
    """Sharma, Wu and Dalal 2005, table 1."""
    rows = published_pairs()
    first, second = ([[row[f"{name}_{i}"] for name in "Lab"] for row in rows] for i in (1, 2))
    published = [row["difference"] for row in rows]
    np.testing.assert_allclose(differences.ciede2000(first, second), published, rtol=0, atol=5.1e-5)
    np.testing.assert_allclose(differences.ciede2000(second, first), published, rtol=0, atol=5.1e-5)


@pytest.mark.usefixtures("quiet")
def test_ciede2000_is_that_of_colour_science_over_all_hues(colour_science):
    first, second = all_hues(2)
    theirs = colour_science.difference.delta_E_CIE2000(first, second)
    np.testing.assert_allclose(differences.ciede2000(first, second), theirs, rtol=0, atol=1e-12)
    halved = colour_science.difference.delta_E_CIE2000(first, second, textiles=True)
    np.testing.assert_allclose(differences.ciede2000(first, second, 2), halved, rtol=0, atol=1e-12)


def test_ciede2000_is_that_of_scikit_image_over_all_hues():
    from skimage.color import deltaE_ciede2000

    first, second = all_hues(3)
    theirs = deltaE_ciede2000(first, second, kL=2, kC=0.7, kH=1.3)
    np.testing.assert_allclose(differences.ciede2000(first, second, 2, 0.7, 1.3), theirs, rtol=0, atol=1e-11)


@pytest.mark.usefixtures("quiet")
def test_at_opposite_hues_colour_science_takes_one_of_both_arcs_and_we_the_published_one(colour_science):
    """A lattice about grey with hundreds of opposite pairs; the published arc by exact arithmetic."""
    pairs = list(product(LATTICE, LATTICE))
    first, second = np.array(pairs).transpose(1, 0, 2)
    mine = differences.ciede2000(first, second)
    theirs = colour_science.difference.delta_E_CIE2000(first, second)
    expected = np.array([literal(*pair) for pair in pairs])
    np.testing.assert_allclose(mine, expected, rtol=0, atol=1e-12)
    across = np.array([opposite(*pair) for pair in pairs])
    assert across.sum() > 150
    np.testing.assert_allclose(mine[~across], theirs[~across], rtol=0, atol=1e-12)
    other = np.array([literal(*pair, other_arc=True) for pair in np.array(pairs)[across].tolist()])
    assert (np.minimum(abs(theirs[across] - mine[across]), abs(theirs[across] - other)) < 1e-12).all()


@pytest.mark.usefixtures("quiet")
def test_cie94_and_cielab_are_those_of_colour_science(colour_science):
    first, second = all_hues()
    theirs = colour_science.difference.delta_E_CIE1994(first, second, textiles=False)
    np.testing.assert_allclose(differences.cie94(first, second), theirs, rtol=0, atol=1e-11)
    theirs = colour_science.difference.delta_E_CIE1976(first, second)
    np.testing.assert_allclose(differences.cielab_difference(first, second), theirs, rtol=0, atol=1e-12)


@settings(max_examples=60)
@given(lists, st.tuples(*[st.floats(0.3, 3)] * 3))
def test_arrays_say_what_single_pairs_say(pairs, factors):
    first, second = np.array(pairs).transpose(1, 0, 2)
    for formula in FORMULAS:
        chosen = (1, 1, 1) if formula == "CIELAB" else factors
        expected = [single.difference(formula, *pair, *chosen) for pair in pairs]
        got = differences.difference(formula, first, second, *chosen)
        np.testing.assert_allclose(got, expected, rtol=1e-12, atol=1e-12)
    for name in ("cielab_parts", "cie94_parts", "ciede2000_parts"):
        chosen = () if name == "cielab_parts" else factors
        expected = [getattr(single, name)(*pair, *chosen) for pair in pairs]
        got = np.stack(getattr(differences, name)(first, second, *chosen), axis=-1)
        np.testing.assert_allclose(got, expected, rtol=1e-11, atol=1e-11)


@pytest.mark.parametrize("hue", range(1, 360, 6))
def test_a_block_of_one_hue_is_treated_like_any_other(hue):
    """What decides whether a block needs the rotation term is right for every sector by itself."""
    angles = np.radians([hue, hue + 1.5])
    first, second = ([60, 50 * np.cos(angle), 50 * np.sin(angle)] for angle in angles)
    second[1], second[2] = 1.2 * second[1], 1.2 * second[2]
    expected = single.ciede2000(first, second)
    assert differences.ciede2000([first] * 3, [second] * 3) == pytest.approx([expected] * 3, abs=1e-12)


def test_blocks_do_not_show():
    """More pairs than a block, with greys, opposite hues and all rotations mixed into each."""
    rng = np.random.default_rng(4)
    first, second = rng.uniform([0, -60, -60], [100, 60, 60], (2, 2 * kernel.BLOCK + 7, 3))
    first[::5, 1:], second[::7, 1:] = 0, 0
    second[::11, 1:] = -first[::11, 1:]
    whole = differences.ciede2000(first, second)
    some = rng.integers(0, len(first), 300)
    expected = [single.ciede2000(one, two) for one, two in zip(first[some], second[some], strict=True)]
    np.testing.assert_allclose(whole[some], expected, rtol=0, atol=1e-12)
    np.testing.assert_allclose(whole, differences.ciede2000(second, first), rtol=0, atol=1e-12)


@given(st.data())
def test_leading_shapes_broadcast(data):
    shapes = data.draw(arrays.mutually_broadcastable_shapes(num_shapes=2, max_dims=3, max_side=4, min_side=0))
    rng = np.random.default_rng(1)
    first, second = (rng.uniform(0, 60, (*shape, 3)) for shape in shapes.input_shapes)
    whole = np.broadcast_shapes(*shapes.input_shapes)
    for formula in FORMULAS:
        got = differences.difference(formula, first, second)
        assert np.shape(got) == whole
        flat = (np.broadcast_to(lab, (*whole, 3)).reshape(-1, 3) for lab in (first, second))
        expected = [single.difference(formula, *pair) for pair in zip(*flat, strict=True)]
        np.testing.assert_allclose(np.ravel(got), expected, rtol=0, atol=1e-12)


def test_other_layouts_and_types_are_the_same_colours():
    first, second = (grid.reshape(-1, 3)[:60] for grid in all_hues())
    expected = differences.ciede2000(first, second)
    assert np.array_equal(differences.ciede2000(np.asfortranarray(first), second[::-1][::-1]), expected)
    assert np.array_equal(differences.ciede2000(first.tolist(), second), expected)
    whole = differences.ciede2000([[50, 2, 3]], np.array([51, 2, 3], dtype=np.int32))
    assert whole == pytest.approx([single.ciede2000((50, 2, 3), (51, 2, 3))])
    narrow = differences.ciede2000(first.astype(np.float32), second)
    assert narrow.dtype == np.float64
    np.testing.assert_allclose(narrow, expected, atol=1e-4)


def test_what_is_not_finite_gives_nan_and_spoils_nothing_else():
    first = np.array([[nan, 1, 2], [50, inf, 2], [50, 1e300, 2], [50, 0, 0], [50, 2.49, -0.001], [60, 2, 20]])
    second = np.array([[50, 1, 2], [50, 1, 2], [50, 1, 2], [50, -1, 2], [50, -2.49, 0.001], [60, 2, 21]])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        got = differences.ciede2000(first, second)
    assert np.isnan(got[:3]).all()
    expected = [single.ciede2000(one, two) for one, two in zip(first[3:], second[3:], strict=True)]
    np.testing.assert_allclose(got[3:], expected, rtol=0, atol=1e-12)
    for formula in ("CIELAB", "CIE94"):
        assert np.isnan(differences.difference(formula, [nan, 1, 2], [50, 1, 2]))


def test_what_is_no_array_of_colours_is_refused():
    for bad in ([1, 2], 3.0, [[1, 2, 3, 4]], "colour", [[1, 2, 3], [1, 2]], [[1, 2, "x"]]):
        with pytest.raises(WrongUse, match="colours must be"):
            differences.ciede2000(bad, [50, 1, 2])
    with pytest.raises(WrongUse, match="do not broadcast"):
        differences.cielab_difference(np.zeros((4, 3)), np.zeros((5, 3)))
    for bad in (0, -1, nan, inf):
        with pytest.raises(WrongUse, match="positive"):
            differences.ciede2000([50, 1, 2], [50, 1, 2], 1, 1, bad)
    with pytest.raises(WrongUse, match="no factors"):
        differences.difference("CIELAB", [50, 1, 2], [50, 1, 2], k_C=2)
    with pytest.raises(WrongUse, match="CIEDE2000"):
        differences.difference("DIN99", [50, 1, 2], [50, 1, 2])


def test_an_input_is_left_as_it_was():
    first, second = (grid.copy() for grid in all_hues(30))
    before = first.copy(), second.copy()
    differences.ciede2000(first, second)
    differences.cielab_parts(first, second)
    assert np.array_equal(first, before[0])
    assert np.array_equal(second, before[1])
