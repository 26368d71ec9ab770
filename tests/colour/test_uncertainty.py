from math import hypot, inf, nan, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour import uncertainty as u
from shadefmt.colour.covariances import Covariance, from_standard, product
from shadefmt.colour.formula import Formula, even_covariance
from shadefmt.errors import WrongUse

CIELAB = Formula("CIELAB")
NOISE = from_standard(0.30, 0.12, 0.25)  # invented
STANDARD = (74.0, 1.5, 17.0)
colours = st.tuples(st.floats(20, 90), st.floats(-30, 30), st.floats(-30, 30))


def test_components_combine_as_root_sum_of_squares():
    """JCGM 100:2008, 5.1.2."""
    assert u.combined([3, 4]) == 5
    assert u.combined([]) == 0
    assert u.combined([0.03, 0.25]) * 2 == pytest.approx(0.5036, abs=5e-5)
    for bad in (-0.1, nan, inf):
        with pytest.raises(WrongUse, match="zero or more"):
            u.combined([0.1, bad])


def test_the_jacobian_in_cielab_is_the_unit_vector():
    first, second = u.jacobian((50, 1, 2), (51, 3, 4), CIELAB)
    assert second == pytest.approx((1 / 3, 2 / 3, 2 / 3), abs=1e-8)
    assert first == pytest.approx((-1 / 3, -2 / 3, -2 / 3), abs=1e-8)


@given(colours, colours)
def test_linear_uncertainty_in_cielab_is_that_along_the_difference(one, two):
    size = CIELAB(one, two)
    if size > 0.1:
        along = [(y - x) / size for x, y in zip(one, two, strict=True)]
        covariance = Covariance(0.09, 0.02, 0.05, 0.01, -0.02, 0.005)
        expected = sqrt(product(along, covariance, along) + product(along, NOISE, along))
        got = u.linear_uncertainty(one, two, covariance, NOISE, by=CIELAB)
        assert got == pytest.approx(expected, rel=1e-5)
        shared = u.linear_uncertainty(one, two, covariance, NOISE, from_standard(3, 3, 3), CIELAB)
        assert shared == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(
    ("trial", "size", "standard"),
    [
        ((74.7, 1.3, 16.2), 0.716, 0.262),
        ((73, 2, 18), 1.065, 0.257),
        ((72.6, 1.9, 18.6), 1.417, 0.265),
        ((72, 2.5, 19.5), 2.246, 0.251),
    ],
)
def test_linear_uncertainty_of_tooth_pairs(trial, size, standard):
    """Computed with an independent implementation, no published source."""
    got = u.difference_uncertainty(STANDARD, trial, NOISE, NOISE)
    assert got.difference == pytest.approx(size, abs=5.1e-4)
    assert got.standard == pytest.approx(standard, abs=5.1e-4)
    assert got.method == "linear"
    assert got.expanded == pytest.approx(2 * got.standard)
    assert (got.lower, got.upper) == pytest.approx((size - 2 * standard, size + 2 * standard), abs=2e-3)


def test_near_zero_there_is_an_upper_bound_only():
    """True noise of 0.28 about 0.09: the linear method would still say 0.09 with 0.28."""
    got = u.difference_uncertainty(STANDARD, (74.1, 1.5, 17.1), NOISE, NOISE)
    assert got.method == "upper-bound"
    assert got.standard is None
    assert got.lower == 0
    assert 0.6 < got.upper < 0.9
    assert got.significance > 0.9
    same = u.difference_uncertainty(STANDARD, STANDARD, NOISE, NOISE)
    assert (same.difference, same.lower, same.method, same.significance) == (0, 0, "upper-bound", 1)


def test_exact_colours_have_no_uncertainty():
    got = u.difference_uncertainty(STANDARD, (75, 1, 17), u.NONE, u.NONE)
    assert (got.method, got.standard, got.lower) == ("linear", 0, got.difference)
    same = u.difference_uncertainty(STANDARD, STANDARD, u.NONE, u.NONE)
    assert (same.lower, same.upper) == (0, 0)


def observed(rng, truth, covariance, count):
    """Pairs of readings about STANDARD and `truth`, each with this covariance."""
    scale = np.sqrt(np.array(covariance[:3]))
    for _ in range(count):
        yield tuple((np.array(lab) + rng.standard_normal(3) * scale).tolist() for lab in (STANDARD, truth))


@pytest.mark.parametrize(
    "truth",
    [STANDARD, (74.1, 1.5, 17.1), (74.4, 1.5, 17.3), (73.2, 1.6, 17.3), (73, 1.7, 18), (72, 2.5, 19.5)],
)
@pytest.mark.parametrize("noise", [NOISE, from_standard(0.6, 0.02, 0.05), from_standard(0.05, 0.2, 0.05)])
def test_the_interval_covers_a_known_truth_from_zero_upwards(truth, noise):
    """Simulation, seeded, 600 pairs a case; 95 % less three standard errors of the simulation."""
    rng = np.random.default_rng(31)
    size = Formula()(STANDARD, truth)
    covered = []
    for pair in observed(rng, truth, noise, 600):
        got = u.difference_uncertainty(*pair, noise, noise)
        covered.append(got.lower <= size + 1e-9 and size <= got.upper)
        assert (got.lower == 0) or not u.zero_in_region(*pair, noise.plus(noise))[0]
    assert np.mean(covered) > 0.95 - 3 * sqrt(0.95 * 0.05 / 600)


def test_a_covariance_from_few_readings_still_covers_zero():
    """Simulation, seeded: covariance pooled with 8 degrees of freedom; chi-square would exclude zero too often."""
    rng = np.random.default_rng(32)
    plain, widened = [], []
    for one, two in observed(rng, STANDARD, NOISE, 600):
        readings = rng.standard_normal((9, 3)) * np.sqrt(NOISE[:3])
        (LL, La, Lb), (_, aa, ab), (_, _, bb) = np.cov(readings, rowvar=False).tolist()
        estimate = Covariance(LL, aa, bb, La, Lb, ab).times(2)
        plain.append(u.zero_in_region(one, two, estimate)[0])
        widened.append(u.zero_in_region(one, two, estimate, 8)[0])
    assert np.mean(widened) == pytest.approx(0.95, abs=0.025)
    assert np.mean(plain) < 0.85


@pytest.mark.parametrize("scales", [(1, 1, 1), (1, 0.001, 0.001), (1, 1, 0.001), (1, 0.5, 0.2), (1, 0.7, 0.01)])
def test_the_noise_bound_is_exceeded_by_one_in_twenty(scales):
    """Simulation, seeded, in CIELAB, where it is exact for one or for equal variances."""
    rng = np.random.default_rng(33)
    bound = u.noise_bound((50, 0, 0), from_standard(*scales), CIELAB)
    sizes = np.linalg.norm(rng.standard_normal((200_000, 3)) * scales, axis=1)
    assert np.mean(sizes > bound) == pytest.approx(0.05, abs=0.004)


def test_the_noise_bound_of_an_estimated_covariance_is_wider_and_holds():
    """Simulation, seeded: covariances of eight degrees of freedom, in CIELAB."""
    rng = np.random.default_rng(34)
    exceeded = []
    for _ in range(800):
        readings = rng.standard_normal((9, 3))
        (LL, La, Lb), (_, aa, ab), (_, _, bb) = np.cov(readings, rowvar=False).tolist()
        estimate = Covariance(LL, aa, bb, La, Lb, ab)
        bound = u.noise_bound((50, 0, 0), estimate, CIELAB, 8)
        assert bound > u.noise_bound((50, 0, 0), estimate, CIELAB)
        exceeded.append(np.linalg.norm(rng.standard_normal(3)) > bound)
    assert np.mean(exceeded) < 0.06


def test_zero_in_region_is_chi_square_with_three_degrees_of_freedom():
    """7.815: NIST/SEMATECH e-Handbook, 1.3.6.7.4."""
    unit = from_standard(1, 1, 1)
    assert u.zero_in_region((0, 0, 0), (sqrt(7.814), 0, 0), unit)[0]
    inside, chance = u.zero_in_region((0, 0, 0), (0, sqrt(7.816), 0), unit)
    assert not inside
    assert chance == pytest.approx(0.05, abs=1e-4)


def test_hotelling_is_f_with_three_and_two_fewer_degrees_of_freedom():
    """3 * 9 / 7 * F(3, 7) with 4.347 of the NIST tables."""
    unit = from_standard(1, 1, 1)
    limit = 3 * 9 / 7 * 4.347
    assert u.zero_in_region((0, 0, 0), (sqrt(limit * 0.999), 0, 0), unit, 9)[0]
    assert not u.zero_in_region((0, 0, 0), (sqrt(limit * 1.001), 0, 0), unit, 9)[0]
    for few in (2, 1, 0):
        with pytest.raises(WrongUse, match="pool it"):
            u.zero_in_region((0, 0, 0), (1, 0, 0), unit, few)
        with pytest.raises(WrongUse, match="pool it"):
            u.noise_bound((50, 0, 0), unit, degrees_of_freedom=few)


def test_a_covariance_of_three_readings_proves_nothing_by_its_flat_direction():
    flat = Covariance(1, 1, 1, 1, 0, 0)
    with pytest.raises(WrongUse, match="no variance in some direction"):
        u.zero_in_region((0, 0, 0), (1, 0, 0), flat)


def test_one_number_for_the_uncertainty():
    got = u.scalar_uncertainty(1.55, 0.25)
    assert got[:2] == (1.55, "linear")
    assert (got.expanded, got.lower, got.upper) == pytest.approx((0.5, 1.05, 2.05))
    near = u.scalar_uncertainty(0.69, 0.25)
    assert (near.method, near.lower) == ("upper-bound", 0)
    assert near.upper == pytest.approx(0.69 + 0.25 * sqrt(7.815), abs=1e-4)
    assert u.scalar_uncertainty(0, 0)[:3] == (0, "upper-bound", 1)
    assert u.scalar_uncertainty(1, 0)[1:3] == ("linear", 0)
    for bad in ((-1, 0.2), (1, -0.2), (nan, 0.2), (1, inf)):
        with pytest.raises(WrongUse):
            u.scalar_uncertainty(*bad)


@given(st.floats(0.01, 1), st.floats(0.05, 3))
def test_a_scalar_is_a_round_covariance(standard, size):
    """In CIELAB, along L*: both say the same."""
    covariance = even_covariance(STANDARD, standard, CIELAB)
    full = u.difference_uncertainty(STANDARD, (74 + size, 1.5, 17), covariance, u.NONE, by=CIELAB)
    alone = u.scalar_uncertainty(size, standard)
    assert full.method == alone.method or full.method == "noise-bound"
    if full.method == "linear":
        assert full.expanded == pytest.approx(alone.expanded, rel=1e-5)
    assert full.significance == pytest.approx(alone.significance, abs=1e-9)


def test_where_curvature_matters_the_bound_of_noise_is_given():
    wide = from_standard(0.6, 0.02, 0.05)
    got = u.difference_uncertainty(STANDARD, (74, 1.5, 17.6), wide, wide)
    assert got.method == "noise-bound"
    assert got.standard is None
    assert got.lower == pytest.approx(max(got.difference - got.expanded, 0))
    assert got.upper == pytest.approx(got.difference + got.expanded)
    assert hypot(got.expanded) > 1
