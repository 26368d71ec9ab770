import numpy as np
import pytest

from shadefmt.colour.covariances import Covariance, from_standard
from shadefmt.colour.decisions import probability_of_conformity
from shadefmt.colour.formula import Formula
from shadefmt.colour.monte_carlo import draw_colours, monte_carlo
from shadefmt.colour.uncertainty import NONE, linear_uncertainty
from shadefmt.errors import WrongUse

NOISE = from_standard(0.30, 0.12, 0.25)  # invented
STANDARD = (74.0, 1.5, 17.0)


def rng(seed=41):
    return np.random.default_rng(seed)


@pytest.mark.parametrize(
    ("trial", "mean", "lower", "upper", "at_perceptible", "at_acceptable"),
    [
        ((74.7, 1.3, 16.2), 0.798, 0.35, 1.30, 0.522, 1.000),
        ((73, 2, 18), 1.119, 0.66, 1.62, 0.093, 0.995),
        ((72.6, 1.9, 18.6), 1.456, 0.96, 1.98, 0.004, 0.905),
        ((72, 2.5, 19.5), 2.271, 1.80, 2.77, 0.000, 0.026),
    ],
)
def test_draws_of_tooth_pairs(trial, mean, lower, upper, at_perceptible, at_acceptable):
    """Computed with an independent implementation at 60 000 draws, no published source."""
    got = monte_carlo(rng(), STANDARD, trial, NOISE, NOISE)
    assert not got.near_zero
    assert got.mean == pytest.approx(mean, abs=0.004)
    assert (got.lower, got.upper) == pytest.approx((lower, upper), abs=0.012)
    assert got.probability(0.8) == pytest.approx(at_perceptible, abs=0.006)
    assert got.probability(1.8) == pytest.approx(at_acceptable, abs=0.004)


def test_near_zero_no_draw_speaks_of_an_interval_above_zero():
    got = monte_carlo(rng(), STANDARD, (74.1, 1.5, 17.1), NOISE, NOISE)
    assert got.near_zero
    assert got.lower == 0
    assert got.mean == pytest.approx(0.394, abs=0.004)
    assert np.quantile(got.draws, 0.025) > 0.1
    assert got.upper == pytest.approx(np.quantile(got.draws, 0.95))


def test_the_same_seed_gives_the_same_answer():
    one, two, other = (monte_carlo(rng(s), STANDARD, (73, 2, 18), NOISE, NOISE, draws=500) for s in (1, 1, 2))
    assert one[:6] == two[:6]
    assert one[:6] != other[:6]


def test_far_from_zero_draws_and_closed_form_agree():
    trial = (70, 2, 20)
    got = monte_carlo(rng(), STANDARD, trial, NOISE, NOISE)
    standard = linear_uncertainty(STANDARD, trial, NOISE, NOISE)
    assert got.standard == pytest.approx(standard, rel=0.02)
    assert got.probability(3.6) == pytest.approx(probability_of_conformity(got.difference, 3.6, standard), abs=0.03)


def test_a_shared_error_cancels():
    shared = from_standard(2, 2, 2)
    got = monte_carlo(rng(), STANDARD, (74, 1.5, 20), NONE, NONE, shared, Formula("CIELAB"), draws=1000)
    assert got.standard == pytest.approx(0, abs=1e-9)
    assert got.mean == pytest.approx(3)


def test_draws_have_the_covariance_asked_for_also_of_rank_two():
    wanted = Covariance(0.09, 0.02, 0.05, 0.03, -0.01, 0.002)
    for covariance in (wanted, Covariance(1, 1, 1, 1, 0, 0), NONE):
        drawn = draw_colours(rng(), STANDARD, covariance, 100_000)
        np.testing.assert_allclose(drawn.mean(axis=0), STANDARD, atol=0.015)
        np.testing.assert_allclose(np.cov(drawn, rowvar=False), covariance.matrix(), atol=0.02)


def test_one_draw_has_no_standard_deviation():
    assert monte_carlo(rng(), STANDARD, (70, 2, 20), NOISE, NOISE, draws=1).standard == 0


def test_wrong_use():
    with pytest.raises(WrongUse, match="negative variance"):
        draw_colours(rng(), STANDARD, Covariance(1, 1, 1, 2), 10)
    with pytest.raises(WrongUse, match="one draw"):
        draw_colours(rng(), STANDARD, NOISE, 0)
