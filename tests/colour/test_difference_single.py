from itertools import product
from math import degrees, hypot, inf, nan, sqrt

import pytest
from coloraide import Color
from difference_pairs import LATTICE, all_hues, literal, opposite, published_pairs
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour import difference_single as single
from shadefmt.errors import WrongUse

coordinate = st.floats(-150, 150)
colours = st.tuples(st.floats(0, 100), coordinate, coordinate)
factors = st.floats(0.2, 5)


@pytest.mark.parametrize("row", published_pairs())
def test_ciede2000_and_its_intermediate_values_are_those_published(row):
    """Sharma, Wu and Dalal 2005, table 1: the printed figures of the 34 pairs, in both orders.

    The pairs with a difference of 1.0000 were searched for by their authors; the printed coordinates are
    rounded, which moves a hue by the half digit over the chroma.
    """
    loose = 5.1e-5 + (degrees(7.1e-5 / row["C'_2"]) if row["difference"] == 1 else 0)
    first = row["L_1"], row["a_1"], row["b_1"]
    second = row["L_2"], row["a_2"], row["b_2"]
    for pair in ((first, second), (second, first)):
        terms = single.ciede2000_terms(*pair)
        for name, value in (("G", terms.G), ("T", terms.T), ("R_T", terms.R_T)):
            assert value == pytest.approx(row[name], abs=5.1e-5), name
        assert terms.mean_hue == pytest.approx(row["mean_h"], abs=loose)
        for name in ("S_L", "S_C", "S_H"):
            assert getattr(terms, name) == pytest.approx(row[name], abs=5.1e-5), name
        assert single.ciede2000(*pair) == pytest.approx(row["difference"], abs=5.1e-5)
    chroma = row["C'_2"] - row["C'_1"]
    assert single.ciede2000_terms(first, second).delta_C == pytest.approx(chroma, abs=1.1e-4 + loose)


def test_opposite_hues_follow_the_published_convention_and_not_the_rounding_of_angles():
    """Every pair of a decimal lattice about grey, against the paper's equations with exact arithmetic."""
    count = 0
    for first, second in product(LATTICE, LATTICE):
        assert single.ciede2000(first, second) == pytest.approx(literal(first, second), abs=1e-12)
        if opposite(first, second):
            count += 1
            assert single.ciede2000(first, second) == single.ciede2000(second, first)
    assert count > 150


def test_the_convention_matters():
    """One pair from each side of the jump (Sharma et al., pairs 10 and 11) and the arc not taken."""
    first, second = (50, 2.49, -0.001), (50, -2.49, 0.001)
    assert single.ciede2000(first, second) == pytest.approx(7.1792, abs=5e-5)
    assert literal(first, second, other_arc=True) == pytest.approx(7.2195, abs=5e-5)


def test_ciede2000_is_that_of_coloraide_over_all_hues():
    first, second = (grid.reshape(-1, 3)[::37].tolist() for grid in all_hues())
    for one, two in zip(first, second, strict=True):
        theirs = Color("lab-d65", one).delta_e(Color("lab-d65", two), method="2000")
        assert single.ciede2000(one, two) == pytest.approx(theirs, abs=1e-11)


def test_cie94_is_that_of_colour_science(colour_science):
    first, second = (grid.reshape(-1, 3)[::11] for grid in all_hues())
    for textiles, chosen in ((False, {}), (True, {"k_L": 2, "K1": 0.048, "K2": 0.014})):
        theirs = colour_science.difference.delta_E_CIE1994(first, second, textiles=textiles)
        mine = [single.cie94(*pair, **chosen) for pair in zip(first.tolist(), second.tolist(), strict=True)]
        assert mine == pytest.approx(theirs.tolist(), abs=1e-11)


def test_figures_of_tooth_colours():
    """Computed with a checked implementation, no published source: differences in CIELAB, 1:1:1 and 2:1:1."""
    for first, second, cielab, even, lightness_halved in (
        ((74, 1.5, 17), (75, 1.2, 16), 1.4457, 0.9812, 0.7471),
        ((74, 1.5, 17), (72, 2.5, 19.5), 3.3541, 2.2462, 1.8361),
        ((74, 1.5, 17), (70, 2, 20), 5.0249, 3.4590, 2.2611),
        ((78, 0, 14), (80, 0, 14), 2, 1.3987, 0.6993),
        ((84.01, 0.17, 24.07), (82.33, 0.31, 25.99), 2.5551, 1.4476, 1.0705),
    ):
        assert single.difference("CIELAB", first, second) == pytest.approx(cielab, abs=5.1e-5)
        assert single.difference("CIEDE2000", first, second) == pytest.approx(even, abs=5.1e-5)
        assert single.difference("CIEDE2000", first, second, 2) == pytest.approx(lightness_halved, abs=5.1e-5)


@given(colours, colours, factors, factors, factors)
def test_a_difference_is_symmetric_and_zero_only_for_equal_colours(one, two, k_L, k_C, k_H):
    assert single.ciede2000(one, two, k_L, k_C, k_H) == single.ciede2000(two, one, k_L, k_C, k_H)
    assert single.cielab_difference(one, two) == single.cielab_difference(two, one)
    for formula in single.FORMULAS:
        assert single.difference(formula, one, one) == 0
        assert single.difference(formula, one, two) >= 0
    if single.cielab_difference(one, two) > 1e-6:
        assert single.ciede2000(one, two) > 0


@given(colours, colours, factors, factors, factors)
def test_parts_make_up_the_difference(one, two, k_L, k_C, k_H):
    for formula in single.FORMULAS:
        chosen = (1, 1, 1) if formula == "CIELAB" else (k_L, k_C, k_H)
        lightness, chroma, hue, rotation = single.difference_parts(formula, one, two, *chosen)
        total = lightness**2 + chroma**2 + hue**2 + rotation * chroma * hue
        assert sqrt(total) == pytest.approx(single.difference(formula, one, two, *chosen), abs=1e-9)
        assert abs(rotation) < 2
        if hypot(*one[1:]) > 1 and hypot(*two[1:]) > 1 and abs(hue) > 1e-9 and not opposite(one, two):
            assert (hue > 0) == (one[1] * two[2] > one[2] * two[1])


@given(st.tuples(st.floats(0, 100), st.just(0.0), st.just(0.0)), colours)
def test_a_colour_without_chroma_has_no_hue_part(grey, other):
    for formula in single.FORMULAS:
        assert single.difference_parts(formula, grey, other).hue == 0
    assert single.ciede2000(grey, other) == pytest.approx(literal(grey, other), abs=1e-11)


@given(st.floats(-1e-150, 1e-150), st.floats(-1e-150, 1e-150), st.floats(-1e-150, 1e-150))
def test_the_smallest_numbers_are_colours_too(a, b, c):
    assert single.ciede2000((50, a, b), (50, c, a)) == pytest.approx(0, abs=1e-149)


@pytest.mark.parametrize("bad", [(nan, 0, 0), (50, inf, 0), (50, -inf, inf), (50, 3, nan)])
def test_what_is_no_colour_is_refused(bad):
    for formula in single.FORMULAS:
        for pair in ((bad, (50, 1, 2)), ((50, 1, 2), bad), (bad, bad)):
            with pytest.raises(WrongUse, match="not a finite number"):
                single.difference(formula, *pair)


def test_numbers_that_overflow_the_formula_are_refused():
    for huge in ((50, 1e200, 1e200), (1e308, 0, -1e308), (50, 1e60, 0)):
        with pytest.raises(WrongUse, match="far outside any colour"):
            single.ciede2000(huge, (50, 1, 2))


def test_factors_and_names_that_mean_nothing_are_refused():
    for bad in (0, -1, nan, inf):
        for function in (single.ciede2000, single.cie94, single.ciede2000_parts, single.cie94_parts):
            with pytest.raises(WrongUse, match="positive"):
                function((50, 1, 2), (51, 1, 2), 1, bad, 1)
    with pytest.raises(WrongUse, match="no factors"):
        single.difference("CIELAB", (50, 1, 2), (51, 1, 2), 2)
    for function in (single.difference, single.difference_parts):
        with pytest.raises(WrongUse, match="CIE94"):
            function("CIEDE76", (50, 1, 2), (51, 1, 2))
