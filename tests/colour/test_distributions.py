from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.colour import distributions
from shadefmt.errors import WrongUse


@pytest.mark.parametrize(
    ("degrees", "at_95", "at_9545", "at_9973"),
    [
        (1, 12.71, 13.97, 235.80),
        (2, 4.30, 4.53, 19.21),
        (3, 3.18, 3.31, 9.22),
        (5, 2.57, 2.65, 5.51),
        (10, 2.23, 2.28, 3.96),
        (20, 2.09, 2.13, 3.42),
        (50, 2.01, 2.05, 3.16),
    ],
)
def test_student_factors_are_those_of_the_guide(degrees, at_95, at_9545, at_9973):
    """JCGM 100:2008, table G.2 (typed from memory, and confirmed by the test against scipy below)."""
    for probability, printed in ((0.95, at_95), (0.9545, at_9545), (0.9973, at_9973)):
        tolerance = 0.0051 if printed < 100 else 0.06
        assert distributions.student_factor(probability, degrees) == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("degrees", "at_95", "at_99"),
    [(1, 3.841, 6.635), (2, 5.991, 9.210), (3, 7.815, 11.345), (5, 11.070, 15.086), (10, 18.307, 23.209)],
)
def test_chi_square_points_are_those_of_the_tables(degrees, at_95, at_99):
    """Upper critical values of NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4."""
    assert distributions.chi_square_quantile(0.95, degrees) == pytest.approx(at_95, abs=5.1e-4)
    assert distributions.chi_square_quantile(0.99, degrees) == pytest.approx(at_99, abs=5.1e-4)


@pytest.mark.parametrize(("above", "below", "at_95"), [(3, 7, 4.347), (3, 10, 3.708), (3, 2, 19.164), (5, 5, 5.050)])
def test_f_points_are_those_of_the_tables(above, below, at_95):
    """Upper critical values of NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.3."""
    assert distributions.fisher_quantile(0.95, above, below) == pytest.approx(at_95, abs=5.1e-4)


def test_all_of_them_are_those_of_scipy():
    stats = pytest.importorskip("scipy.stats")  # comes with scikit-image
    points = (1e-9, 0.01, 0.7, 1, 3, 9, 40, 200, 1e6)
    for degrees in (0.3, 1, 2.5, 3, 17, 400):
        for x in points:
            assert distributions.chi_square_cdf(x, degrees) == pytest.approx(stats.chi2.cdf(x, degrees), abs=1e-11)
            for t in (x, -x) if x > 0.001 else ():  # scipy loses t near zero
                assert distributions.student_cdf(t, degrees) == pytest.approx(stats.t.cdf(t, degrees), abs=1e-11)
            for below in (1, 2.5, 50):
                got = distributions.fisher_cdf(x, degrees, below)
                assert got == pytest.approx(stats.f.cdf(x, degrees, below), abs=1e-10)
    for x in (-9, -1.3, 0, 0.4, 5):
        assert distributions.normal_cdf(x) == pytest.approx(stats.norm.cdf(x), rel=1e-12)


@given(st.floats(0.001, 0.999), st.floats(0.5, 200))
def test_a_quantile_leads_back_to_its_probability(probability, degrees):
    there = distributions.chi_square_quantile(probability, degrees)
    assert distributions.chi_square_cdf(there, degrees) == pytest.approx(probability, abs=1e-9)
    there = distributions.fisher_quantile(probability, 3, degrees)
    assert distributions.fisher_cdf(there, 3, degrees) == pytest.approx(probability, abs=1e-9)
    t = distributions.student_factor(probability, degrees)
    inside = distributions.student_cdf(t, degrees) - distributions.student_cdf(-t, degrees)
    assert inside == pytest.approx(probability, abs=1e-9)


def test_the_ends():
    assert distributions.chi_square_cdf(0, 3) == distributions.chi_square_cdf(-1, 3) == 0
    assert distributions.chi_square_cdf(inf, 3) == 1
    assert distributions.fisher_cdf(0, 3, 4) == 0
    assert distributions.fisher_cdf(inf, 3, 4) == 1
    assert distributions.student_cdf(0, 3) == 0.5
    assert distributions.student_cdf(inf, 3) == 1
    assert distributions.student_cdf(-inf, 3) == 0
    assert distributions.student_factor(0, 3) == pytest.approx(0, abs=1e-9)


def test_wrong_use():
    for bad in (0, -1, nan, inf):
        with pytest.raises(WrongUse, match="degrees of freedom"):
            distributions.chi_square_cdf(1, bad)
        with pytest.raises(WrongUse, match="degrees of freedom"):
            distributions.student_factor(0.9, bad)
        with pytest.raises(WrongUse, match="degrees of freedom"):
            distributions.fisher_quantile(0.9, 3, bad)
    for bad in (-0.1, 1, 1.5, nan):
        with pytest.raises(WrongUse, match="probability"):
            distributions.chi_square_quantile(bad, 3)
