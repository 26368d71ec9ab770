from math import inf, nan, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour import differences, repeats
from shadefmt.colour.difference_single import ciede2000, cielab_difference
from shadefmt.errors import WrongUse

readings = st.lists(st.tuples(st.floats(60, 90), st.floats(-3, 6), st.floats(5, 30)), min_size=2, max_size=30)
# An instrument's scatter, invented: standard deviations of L*, a*, b*, about an invented tooth.
NOISE, CENTRE = np.array([0.30, 0.12, 0.25]), np.array([74.0, 1.5, 17.0])
FIVE = [(74.1, 1.4, 17.2), (73.8, 1.6, 16.9), (74.4, 1.3, 17.5), (73.9, 1.5, 17.1), (74.2, 1.4, 17.0)]


def test_five_readings():
    """Computed with an independent implementation, no published source."""
    assert repeats.mean(FIVE) == pytest.approx((74.08, 1.44, 17.14))
    assert repeats.mcdm(FIVE) == pytest.approx(0.2048, abs=5.1e-5)
    assert repeats.mcdm(FIVE, "CIELAB") == pytest.approx(0.2722, abs=5.1e-5)
    spread = repeats.covariance(FIVE)
    assert [sqrt(variance) for variance in spread[:3]] == pytest.approx([0.2387, 0.1140, 0.2302], abs=5.1e-5)
    assert spread.cov_Lb == pytest.approx(0.0435)
    assert spread.cov_ab == pytest.approx(-0.022)


@pytest.mark.parametrize("n", [2, 3, 7, 200])
def test_any_number_of_readings(n):
    labs = (CENTRE + np.random.default_rng(n).standard_normal((n, 3)) * NOISE).tolist()
    assert repeats.mean(labs) == pytest.approx(np.mean(labs, axis=0).tolist(), abs=1e-12)
    expected = np.mean([cielab_difference(np.mean(labs, axis=0), lab) for lab in labs])
    assert repeats.mcdm(labs, "CIELAB") == pytest.approx(expected, abs=1e-12)
    search = repeats.propose_slips(labs, 0.28)
    assert len(search.distances) == n


@given(readings)
def test_covariance_is_that_of_numpy(labs):
    expected = np.cov(np.array(labs), rowvar=False)
    np.testing.assert_allclose(repeats.covariance(labs).matrix(), expected, atol=1e-9)
    np.testing.assert_allclose(repeats.covariance(labs, "mean").matrix(), expected / len(labs), atol=1e-9)


@given(readings)
def test_the_order_of_readings_does_not_matter(labs):
    assert repeats.mean(labs[::-1]) == repeats.mean(labs)
    assert repeats.mcdm(labs[::-1]) == repeats.mcdm(labs)
    assert repeats.covariance(labs[::-1]) == repeats.covariance(labs)


def test_one_reading_is_its_mean_and_has_no_spread():
    assert repeats.mean([(74, 1.5, 17)]) == (74, 1.5, 17)
    for function in (repeats.mcdm, repeats.covariance):
        with pytest.raises(WrongUse):
            function([(74, 1.5, 17)])
    assert repeats.propose_slips([(74, 1.5, 17)], 0.3).proposed == ()
    assert repeats.propose_slips([], 0.3) == ((), 1.2, ())


def test_identical_readings_have_a_spread_of_zero():
    same = [(74, 1.5, 17)] * 4
    assert repeats.mcdm(same) == 0
    assert repeats.covariance(same) == (0, 0, 0, 0, 0, 0)


def test_the_correction_makes_the_spread_independent_of_n():
    """Simulation, seeded: the corrected MCDM of 2, 3 and 10 readings meets that about the true colour."""
    rng = np.random.default_rng(11)
    about_truth = differences.ciede2000(CENTRE + rng.standard_normal((200_000, 3)) * NOISE, CENTRE).mean()
    for n in (2, 3, 10):
        drawn = CENTRE + rng.standard_normal((120_000 // n, n, 3)) * NOISE
        plain = differences.ciede2000(drawn, drawn.mean(axis=1, keepdims=True)).mean()
        assert repeats.mcdm_corrected(plain, n) == pytest.approx(about_truth, rel=0.01)
        assert plain < 0.96 * about_truth


def test_pooling_meets_the_instrument_behind_the_sessions():
    """Simulation, seeded: 400 sessions of 2 to 5 readings on different teeth."""
    rng = np.random.default_rng(12)
    sets = [
        (CENTRE + rng.normal(0, 4, 3) + rng.standard_normal((int(rng.integers(2, 6)), 3)) * NOISE).tolist()
        for _ in range(400)
    ]
    got = repeats.pooled([*sets, [(60, 1, 9)]], "CIELAB")
    assert got.sets == 400
    assert got.degrees_of_freedom == sum(len(labs) - 1 for labs in sets)
    assert np.sqrt(got.covariance[:3]) == pytest.approx(NOISE, rel=0.06)
    assert np.array(got.covariance[3:]) == pytest.approx(0, abs=0.005)
    truth = np.linalg.norm(rng.standard_normal((200_000, 3)) * NOISE, axis=1).mean()
    assert got.mcdm == pytest.approx(truth, rel=0.05)


def test_pooling_one_set_is_that_set():
    got = repeats.pooled([FIVE])
    assert got.covariance == pytest.approx(repeats.covariance(FIVE))
    assert got.mcdm == pytest.approx(repeats.mcdm(FIVE) * sqrt(5 / 4))
    with pytest.raises(WrongUse, match="two readings or more"):
        repeats.pooled([[(74, 1, 17)], []])


def test_a_slip_is_proposed_and_nothing_is_removed():
    slipped = [*FIVE, (77, 1.2, 15.5)]
    search = repeats.propose_slips(slipped, 0.2)
    assert search.proposed == (5,)
    assert len(search.distances) == 6
    assert search.distances[5] == pytest.approx(ciede2000(repeats.mean(FIVE), slipped[5]))
    assert repeats.propose_slips(FIVE, 0.2).proposed == ()
    two = repeats.propose_slips([*slipped, (70, 2, 19)], 0.2)
    assert sorted(two.proposed) == [5, 6]


def test_of_two_readings_nobody_can_say_which_slipped():
    search = repeats.propose_slips([(74, 1, 17), (80, 1, 17)], 0.2)
    assert search.distances[0] > search.limit
    assert search.proposed == ()


def test_the_limit_is_the_greater_of_floor_and_factor():
    assert repeats.propose_slips(FIVE, 0.2).limit == 1.2
    assert repeats.propose_slips(FIVE, 0.5).limit == 2
    assert repeats.propose_slips(FIVE, 0.0, floor=0.3).proposed != ()


@pytest.mark.parametrize(
    ("scale", "n", "sets", "most"), [(1, 3, 300_000, 1e-4), (1.5, 3, 200_000, 5e-4), (1, 5, 100_000, 1e-4)]
)
def test_false_alarms_are_as_rare_as_documented(scale, n, sets, most):
    """Simulation, seeded: sets without any slip in which something would be proposed.

    The first and last have the floor of 1.2 at work (pooled MCDM 0.27), the second the factor of 4.
    """
    rng = np.random.default_rng(20)
    drawn = CENTRE + rng.standard_normal((sets, n, 3)) * NOISE * scale
    pooled = differences.ciede2000(drawn[:, 0], CENTRE).mean()
    distance = differences.ciede2000((drawn.sum(axis=1, keepdims=True) - drawn) / (n - 1), drawn)
    alarms = (distance > max(1.2, 4 * pooled)).any(axis=1)
    assert alarms.mean() < most
    for labs in [*drawn[alarms][:5], *drawn[:40]]:
        search = repeats.propose_slips(labs.tolist(), pooled)
        expected = differences.ciede2000((labs.sum(axis=0) - labs) / (n - 1), labs)
        assert search.distances == pytest.approx(expected.tolist())
        assert bool(search.proposed) == bool((expected > search.limit).any())


def test_a_slip_of_three_in_lightness_is_found():
    """Simulation, seeded, at n = 3."""
    rng = np.random.default_rng(21)
    drawn = CENTRE + rng.standard_normal((300, 3, 3)) * NOISE
    drawn[:, 1, 0] += 3
    found = [repeats.propose_slips(labs, 0.27).proposed == (1,) for labs in drawn.tolist()]
    assert np.mean(found) > 0.98


def test_wrong_use():
    with pytest.raises(WrongUse, match="one reading or more"):
        repeats.mean([])
    for bad in ([(nan, 1, 2), (3, 4, 5)], [(inf, 1, 2), (-inf, 4, 5)], [(1e308, 1, 2), (1e308, 4, 5)]):
        for function in (repeats.mean, repeats.mcdm, repeats.covariance):
            with pytest.raises(WrongUse, match="not a finite number"):
                function(bad)
    with pytest.raises(WrongUse, match="of a reading or of a mean"):
        repeats.covariance(FIVE, "session")
    with pytest.raises(WrongUse):
        repeats.mcdm_corrected(0.2, 1)
    for arguments in ((-0.1,), (nan,), (0.1, "CIEDE2000", -1), (0.1, "CIEDE2000", 1, 0)):
        with pytest.raises(WrongUse, match="zero or more"):
            repeats.propose_slips(FIVE, *arguments)
