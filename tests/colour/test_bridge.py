from math import nan, sqrt

import numpy as np
import pytest

from shadefmt.colour.bridge import offset
from shadefmt.colour.formula import Formula
from shadefmt.errors import WrongUse

PATCHES = [(80.0, 1.0, 15.0), (70.0, 2.0, 18.0), (60.0, 3.0, 20.0), (75.0, 1.5, 16.0)]


def shifted(by, noise=0.0, seed=1):
    rng = np.random.default_rng(seed)
    return [tuple(np.add(lab, by) + rng.standard_normal(3) * noise) for lab in PATCHES]


def test_a_constant_offset_is_found_without_a_rest():
    got = offset(PATCHES, shifted((-1.5, 0.2, -0.8)))
    assert got.offset == pytest.approx((-1.5, 0.2, -0.8))
    assert got.half_width == pytest.approx((0, 0, 0), abs=1e-12)
    assert got.residual == pytest.approx(0, abs=1e-9)
    assert got.constant
    assert got.slope == pytest.approx((0, 0, 0), abs=1e-9)


def test_the_interval_is_students():
    """t for three degrees of freedom at 95 %: 3.182 (JCGM 100:2008, table G.2)."""
    second = [(79.0, 1.1, 14.0), (68.7, 2.0, 17.0), (59.2, 3.1, 18.8), (74.0, 1.6, 15.3)]
    steps = np.array(second) - PATCHES
    got = offset(PATCHES, second)
    assert got.offset == pytest.approx(steps.mean(axis=0).tolist())
    expected = 3.18245 * steps.std(axis=0, ddof=1) / sqrt(4)
    assert got.half_width == pytest.approx(expected.tolist(), rel=1e-4)
    assert got.covariance.matrix()[0] == pytest.approx(np.cov(steps, rowvar=False)[0] / 4)
    assert got.pairs == 4


def test_an_offset_that_grows_towards_dark_is_not_constant():
    second = [(L - 0.1 * (90 - L), a, b - 0.05 * (90 - L)) for L, a, b in PATCHES]
    got = offset(PATCHES, second)
    assert not got.constant
    assert got.slope == pytest.approx((0.1, 0, 0.05), abs=1e-9)
    assert got.residual > 0.3


def test_slopes_are_those_of_numpy_with_students_interval():
    """t for two degrees of freedom at 95 %: 4.303."""
    second = shifted((0.5, 0, 0), 0.2)
    got = offset(PATCHES, second)
    lightness, steps = np.array(PATCHES)[:, 0], np.array(second) - PATCHES
    for i in range(3):
        (slope, _), covariance = np.polyfit(lightness, steps[:, i], 1, cov=True)
        assert got.slope[i] == pytest.approx(slope)
        assert got.slope_half_width[i] == pytest.approx(4.30265 * sqrt(covariance[0, 0]), rel=1e-4)


def test_the_interval_covers_a_known_offset():
    """Simulation, seeded: 95 % of 700 sets of five pairs."""
    rng = np.random.default_rng(61)
    covered, constant = [], []
    for _ in range(700):
        first = rng.uniform([55, 0, 10], [85, 4, 25], (5, 3))
        second = first + (0.7, -0.2, 0.4) + rng.standard_normal((5, 3)) * (0.3, 0.1, 0.2)
        got = offset(first.tolist(), second.tolist())
        covered.append(abs(got.offset[0] - 0.7) <= got.half_width[0])
        constant.append(got.constant)
    assert np.mean(covered) == pytest.approx(0.95, abs=0.025)
    assert np.mean(constant) > 0.80


def test_few_pairs():
    got = offset(PATCHES[:2], shifted((1, 0, 0))[:2])
    assert got.slope is None
    assert got.constant
    level = offset([(70, 1, 2), (70, 3, 4), (70, 5, 6)], [(71, 1, 2), (71, 3, 4), (71.2, 5, 6)], by=Formula("CIELAB"))
    assert level.slope is None
    assert level.residual == pytest.approx((0.2 / 3 * 2 + 0.4 / 3) / 3)


def test_wrong_use():
    with pytest.raises(WrongUse, match="two pairs"):
        offset(PATCHES[:1], PATCHES[:1])
    with pytest.raises(WrongUse, match="in pairs"):
        offset(PATCHES, PATCHES[:2])
    with pytest.raises(WrongUse, match="finite"):
        offset(PATCHES, [(nan, 1, 2), *PATCHES[1:]])
