from math import inf, nan, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shadefmt.colour import difference_single, differences, nearest, nearest_single
from shadefmt.colour.covariances import Covariance, from_standard
from shadefmt.colour.formula import Formula
from shadefmt.errors import WrongUse

lattice = st.sampled_from([0.0, 0.1, -0.1, 0.2, -0.2, 20.0, -20.0, 50.0])
values = st.one_of(lattice, st.floats(-120, 120))
triples = st.tuples(st.one_of(lattice, st.floats(0, 110)), values, values)
factors = st.tuples(*[st.sampled_from([0.5, 1.0, 2.0])] * 3)
NOISE = from_standard(0.30, 0.12, 0.25)  # invented


def sets():
    """Colours and references: tooth-like, all hues, near grey, blue, one reference, more references than colours."""
    rng = np.random.default_rng(51)
    tooth, spread = np.array([74, 1.5, 17]), np.array([5, 1.5, 4])
    wide = rng.uniform([0, -100, -100], [100, 100, 100], (400, 3))
    blue = rng.normal([40, 10, -60], [10, 8, 10], (400, 3))
    return {
        "teeth": (rng.normal(tooth, spread, (900, 3)), rng.normal(tooth, spread, (30, 3))),
        "all hues": (wide, rng.uniform([0, -100, -100], [100, 100, 100], (30, 3))),
        "near grey": (wide * (1, 0.02, 0.02), rng.uniform([0, -2, -2], [100, 2, 2], (40, 3))),
        "blue": (blue, rng.normal([40, 10, -60], [10, 8, 10], (25, 3))),
        "whitened": (rng.normal((85, 0, 2), (3, 0.5, 3), (900, 3)), rng.normal((85, 0, 2), (3, 0.5, 3), (30, 3))),
        "one": (wide, [[50, 2, 3]]),
        "many references": (wide[:40], rng.normal(tooth, spread * 5, (700, 3))),
    }


@pytest.mark.parametrize("name", sets())
@pytest.mark.parametrize("k", [(1, 1, 1), (2, 1, 1), (1, 0.5, 3)])
def test_nearest_is_that_of_measuring_every_pair(name, k):
    colours, references = sets()[name]
    every = differences.ciede2000(colours[:, np.newaxis], references, *k)
    order = np.argsort(every, axis=1, kind="stable")
    got = nearest.nearest(colours, references, *k)
    assert np.array_equal(got.reference, order[:, 0])
    np.testing.assert_allclose(got.difference, every.min(axis=1), rtol=0, atol=1e-12)
    if len(references) > 1:
        assert np.array_equal(got.runner_up, order[:, 1])
        np.testing.assert_allclose(got.margin, got.runner_up_difference - got.difference)
    index, size = nearest.nearest_index(colours, references, *k)
    assert np.array_equal(index, got.reference)
    assert np.array_equal(size, got.difference)
    for colour, *row in list(zip(colours.tolist(), *got, strict=True))[:25]:
        single = nearest_single.nearest(colour, np.asarray(references).tolist(), Formula("CIEDE2000", *k))
        assert (single.reference, -1 if single.runner_up is None else single.runner_up) == (row[0], row[2])
        assert single[1:5:2] == pytest.approx((row[1], row[3]), abs=1e-12)


@pytest.mark.usefixtures("quiet")
def test_nearest_is_that_of_colour_science(colour_science):
    colours, references = sets()["teeth"]
    theirs = colour_science.difference.delta_E_CIE2000(colours[:, np.newaxis], references)
    assert np.array_equal(nearest.nearest(colours, references).reference, theirs.argmin(axis=1))
    error = theirs.min(axis=1).mean()
    assert nearest.coverage_error(colours, references) == pytest.approx(error, abs=1e-12)


@given(triples, triples, factors)
def test_the_bound_is_never_above_the_difference(one, two, k):
    by = Formula("CIEDE2000", *k)
    assert nearest_single.lower_bound(one, two, by) <= by(one, two)
    assert nearest_single.lower_bound(two, one, by) == pytest.approx(nearest_single.lower_bound(one, two, by))


@pytest.mark.parametrize("name", sets())
def test_many_bounds_are_those_of_one(name):
    colours, references = (np.asarray(lab, dtype=float)[:40] for lab in sets()[name])
    for k in ((1, 1, 1), (2, 0.5, 3)):
        for first, second in ((colours, references), (references, colours)):
            room = np.empty(len(first) * len(second))
            got = nearest._squared_bounds(first.T.copy(), second.T.copy(), k, room)
            by = Formula("CIEDE2000", *k)
            expected = [[nearest_single.lower_bound(one, two, by) for one in first] for two in second]
            np.testing.assert_allclose(np.sqrt(got), expected, rtol=1e-6)


def test_the_bound_holds_on_a_dense_draw_and_is_worth_having():
    rng = np.random.default_rng(52)
    close = rng.normal([74, 1.5, 17], [5, 1.5, 4], (2, 3000, 3))
    wide = rng.uniform([0, -128, -128], [100, 128, 128], (2, 3000, 3))
    blue = rng.normal([40, 10, -60], [8, 6, 6], (2, 3000, 3))
    for name, (first, second) in (("close", close), ("wide", wide), ("blue", blue)):
        size = differences.ciede2000(first, second)
        bound = [nearest_single.lower_bound(*pair) for pair in zip(first, second, strict=True)]
        assert (bound <= size).all()
        if name == "close":
            assert np.mean(bound / size) > 0.85


def test_the_steps_of_the_proof_hold_where_they_are_tightest():
    """S_H <= S_C, S_L <= p + p', S_C <= s + s' and the rotation, on a grid of pairs with the terms themselves."""
    rng = np.random.default_rng(53)
    pairs = rng.uniform([0, -128, -128], [110, 128, 128], (2000, 2, 3))
    pairs[:500, :, 2] = abs(pairs[:500, :, 2])
    pairs[500:800] *= (1, 0.05, 0.05)
    for one, two in pairs.tolist():
        terms = difference_single.ciede2000_terms(one, two)
        assert terms.S_H <= terms.S_C + 1e-12
        assert terms.T <= 1.93
        assert 0 <= terms.G <= 0.5
        plain = 1 + 0.0075 * (abs(one[0] - 50) + abs(two[0] - 50))
        assert plain - terms.S_L >= -1e-12
        chroma = sum(sqrt(2.25 * lab[1] ** 2 + lab[2] ** 2) for lab in (one, two))
        assert 1 + 0.0225 * chroma - terms.S_C >= -1e-12
        chroma = max(sqrt(2.25 * lab[1] ** 2 + lab[2] ** 2) for lab in (one, two))
        assert abs(terms.R_T) / 2 <= sin(pi / 3) * sqrt(chroma**7 / (chroma**7 + 25**7)) + 1e-12
        if one[2] >= 0 and two[2] >= 0:
            assert abs(terms.R_T) / 2 < 6e-7
        across = (1 + terms.G) ** 2 * (two[1] - one[1]) ** 2 + (two[2] - one[2]) ** 2
        assert terms.delta_C**2 + terms.delta_H**2 == pytest.approx(across, rel=1e-9)


@settings(max_examples=50)
@given(st.lists(triples, min_size=1, max_size=12), st.lists(triples, min_size=1, max_size=8))
def test_one_colour_and_many_say_the_same(colours, references):
    got = nearest.nearest(colours, references)
    for colour, *row in zip(colours, *got, strict=True):
        single = nearest_single.nearest(colour, references)
        sizes = [difference_single.ciede2000(reference, colour) for reference in references]
        assert single.difference == min(sizes)
        assert single.reference == sizes.index(min(sizes))
        assert row[1] == pytest.approx(single.difference, abs=1e-12)
        assert sizes[row[0]] == pytest.approx(min(sizes), abs=1e-12)


def test_of_equally_near_references_the_first_is_named():
    references = [(70, 1, 20), (70, 1, 14), (70, 1, 14), (70, 1, 14)]
    single = nearest_single.nearest((70, 1, 15), references)
    many = nearest.nearest((70, 1, 15), references)
    for got in (single, many):
        assert (got.reference, got.runner_up, got.margin) == (1, 2, 0)


def test_a_set_that_holds_every_member_twice_names_the_first_of_each():
    colours, references = sets()["teeth"]
    got = nearest.nearest(colours, np.concatenate([references, references]))
    assert (got.reference < len(references)).all()
    assert np.array_equal(got.runner_up, got.reference + len(references))
    assert (got.margin == 0).all()


def test_a_single_reference_has_no_runner_up():
    single = nearest_single.nearest((70, 1, 15), [(70, 1, 14)])
    assert single[2:] == (None, inf, inf)
    many = nearest.nearest((70, 1, 15), [(70, 1, 14)])
    assert (many.reference, many.runner_up, many.runner_up_difference, many.margin) == (0, -1, inf, inf)


def test_other_formulas_for_one_colour():
    references = [(74.0, 3.1, 17.0), (74.3, 1.5, 19.8)]
    assert nearest_single.nearest((74, 1.5, 17), references, Formula("CIELAB")).reference == 0
    assert nearest_single.nearest((74, 1.5, 17), references).reference == 1
    cie94 = nearest_single.nearest((74, 1.5, 17), references, Formula("CIE94"))
    assert cie94.difference == min(difference_single.cie94((74, 1.5, 17), each) for each in references)


def test_the_margin_of_an_unsymmetric_formula_has_the_colour_as_standard_throughout():
    """Simulation, seeded: CIE94 weighs by the chroma of the standard, so exchanging the two changes the margin."""
    rng = np.random.default_rng(56)
    lab, first, second = (70.0, 0.0, 30.0), (70.0, 0.0, 12.0), (70.0, 0.0, 48.0)
    drawn = np.array(lab) + rng.standard_normal((4000, 3)) * 0.05
    by = Formula("CIE94")
    margins = [by(each, second) - by(each, first) for each in drawn.tolist()]
    got = nearest_single.margin_uncertainty(lab, first, second, from_standard(0.05, 0.05, 0.05), by)
    assert got == pytest.approx(np.std(margins), rel=0.04)
    exchanged = [by(second, each) - by(first, each) for each in drawn.tolist()]
    assert got != pytest.approx(np.std(exchanged), rel=0.1)


def test_shapes_and_colours_that_are_none():
    references = [[70, 1, 14], [60, 1, 14]]
    got = nearest.nearest([[[nan, 1, 2], [70, 1, 15]], [[50, inf, 2], [50, 1e300, 0]]], references)
    assert got.reference.tolist() == [[-1, 0], [-1, -1]]
    assert np.isnan(got.difference).tolist() == [[True, False], [True, True]]
    assert got.runner_up.tolist() == [[-1, 1], [-1, -1]]
    assert nearest.nearest(np.zeros((0, 3)), references).reference.shape == (0,)
    assert nearest.nearest(np.zeros((4, 0, 3)), references).margin.shape == (4, 0)


def test_coverage_error_is_zero_for_the_members_themselves():
    references = sets()["teeth"][1]
    assert nearest.coverage_error(references, references) == 0


def test_a_margin_between_two_references():
    """Computed, no published source: 0.13 with 0.42 for a mean of three; 27 % and 36 % on one more mean or reading."""
    lab, first, second = (75.0, 1.3, 16.6), (73.9, 1.6, 17.8), (76.1, 0.9, 15.2)
    margin = nearest_single.nearest(lab, [first, second]).margin
    assert margin == pytest.approx(0.126, abs=5e-4)
    of_mean, of_reading = (
        nearest_single.margin_uncertainty(lab, first, second, NOISE.times(share)) for share in (1 / 3, 1)
    )
    assert 2 * of_mean == pytest.approx(0.42, abs=0.005)
    assert nearest_single.undecided(margin, of_mean)
    assert nearest_single.change_rate(margin, of_mean, 0) == pytest.approx(0.27, abs=0.006)
    assert nearest_single.change_rate(margin, of_reading, 0) == pytest.approx(0.36, abs=0.006)
    got = nearest_single.between(lab, first, second)
    assert got.position == pytest.approx(0.4756, abs=1e-4)
    assert got.residual < 0.1


def test_the_closed_change_rate_is_that_of_drawing():
    """Simulation, seeded."""
    rng = np.random.default_rng(54)
    lab, references = (75.0, 1.3, 16.6), [(73.9, 1.6, 17.8), (76.1, 0.9, 15.2)]
    margin = nearest_single.nearest(lab, references).margin
    standard = nearest_single.margin_uncertainty(lab, *references, NOISE)
    once = nearest.drawn_change_rate(rng, lab, NOISE, references, 40_000)
    assert nearest_single.change_rate(margin, standard, 0) == pytest.approx(once, abs=0.01)
    twice = nearest.drawn_change_rate(rng, lab, NOISE.times(2), references, 40_000)
    assert nearest_single.change_rate(margin, standard) == pytest.approx(twice, abs=0.01)


def test_labels_change_on_repeating_as_often_as_predicted():
    """Simulation, seeded, with known truths spread evenly across the boundary of two references."""
    rng = np.random.default_rng(55)
    first, second = np.array([73.9, 1.6, 17.8]), np.array([76.1, 0.9, 15.2])
    truths = first + rng.uniform(0, 1, (1500, 1)) * (second - first)
    one, two = truths + rng.standard_normal((2, 1500, 3)) * np.sqrt(NOISE[:3])
    labels = [nearest.nearest(colours, [first, second]) for colours in (one, two)]
    predicted = [
        nearest_single.change_rate(margin, nearest_single.margin_uncertainty(lab, first, second, NOISE))
        for lab, margin in zip(one, labels[0].margin, strict=True)
    ]
    assert np.mean(predicted) == pytest.approx(np.mean(labels[0].reference != labels[1].reference), abs=0.02)


def test_margin_uncertainty_on_a_reference_and_with_uncertain_references():
    """On a reference the margin is the distance of both; half of it moves the boundary past."""
    by = Formula("CIELAB")
    got = nearest_single.margin_uncertainty((50, 0, 0), (50, 0, 0), (54, 0, 0), from_standard(1, 1, 1), by)
    assert got == pytest.approx(2, abs=1e-6)
    middle = nearest_single.margin_uncertainty((52, 0, 0), (50, 0, 0), (54, 0, 0), from_standard(1, 1, 1), by)
    assert middle == pytest.approx(2, abs=1e-6)
    exact = Covariance(0, 0, 0)
    noisy = nearest_single.margin_uncertainty((52, 0, 0), (50, 0, 0), (54, 0, 0), exact, by, from_standard(0.3, 9, 9))
    assert noisy == pytest.approx(0.3 * sqrt(2), abs=1e-6)
    assert nearest_single.margin_uncertainty((50, 0, 0), (50, 0, 0), (50, 0, 0), from_standard(1, 1, 1)) == 0


def test_undecided_means_a_margin_below_its_uncertainty():
    assert nearest_single.undecided(0.41, 0.21)
    assert not nearest_single.undecided(0.42, 0.21)
    assert nearest_single.undecided(0, 0)
    assert not nearest_single.undecided(0.1, 0)
    assert nearest_single.change_rate(0, 0) == 0.5
    assert nearest_single.change_rate(0.1, 0) == 0


@given(triples, triples, triples)
def test_a_position_between_two_references_is_the_nearest_point_of_their_segment(lab, first, second):
    got = nearest_single.between(lab, first, second)
    assert 0 <= got.position <= 1
    size = np.linalg.norm(np.array(lab) - got.point)
    for share in (0, 0.25, 0.5, 1, min(got.position + 0.01, 1), max(got.position - 0.01, 0)):
        other = np.array(first) + share * (np.array(second) - first)
        assert size <= np.linalg.norm(lab - other) + 1e-9
    assert got.residual == difference_single.ciede2000(lab, got.point)


def test_a_segment_without_length():
    got = nearest_single.between((70, 1, 15), (71, 1, 15), (71, 1, 15))
    assert got.position == 0
    assert got.point == (71, 1, 15)


def test_wrong_use():
    with pytest.raises(WrongUse, match="one member"):
        nearest_single.nearest((70, 1, 15), [])
    for references in (np.zeros((0, 3)), [70, 1, 15], [[70, nan, 15]]):
        with pytest.raises(WrongUse, match="references must be finite"):
            nearest.nearest((70, 1, 15), references)
    for lab, reference in (((nan, 1, 2), (50, 1, 2)), ((50, 1, 2), (50, inf, 2))):
        with pytest.raises(WrongUse, match="not a finite number"):
            nearest_single.nearest(lab, [reference])
    with pytest.raises(WrongUse, match="positive"):
        nearest.nearest((70, 1, 15), [[70, 1, 15]], 0)
    with pytest.raises(WrongUse, match="shape"):
        nearest.nearest([1, 2], [[70, 1, 15]])
    for colours in (np.zeros((0, 3)), [[nan, 1, 2]]):
        with pytest.raises(WrongUse, match="coverage error"):
            nearest.coverage_error(colours, [[70, 1, 15]])
    for bad in ((-0.1, 0.2), (nan, 0.2), (0.1, inf)):
        with pytest.raises(WrongUse, match="zero or more"):
            nearest_single.change_rate(*bad)
