from math import nan, sqrt

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shadefmt.colour.covariances import from_standard
from shadefmt.colour.formula import Formula, even_covariance, local_form, noise_variances
from shadefmt.errors import WrongUse

colours = st.tuples(st.floats(5, 95), st.floats(-70, 70), st.floats(-70, 70))
formulas = st.sampled_from(
    [Formula("CIELAB"), Formula("CIE94", 2, 1, 0.7), Formula(), Formula("CIEDE2000", 2, 0.8, 1.5)]
)
directions = st.tuples(*[st.floats(-1, 1)] * 3)


@given(colours, formulas, directions)
def test_a_small_difference_is_the_length_of_the_local_form(lab, by, step):
    assume(np.hypot(lab[1], lab[2]) > 0.5 and np.linalg.norm(step) > 0.1)
    small = 1e-6 * np.array(step)
    there, back = (by(lab, (lab + sign * small).tolist()) for sign in (1, -1))
    expected = np.linalg.norm(np.array(local_form(lab, by)) @ small)
    assert (there + back) / 2 == pytest.approx(expected, rel=1e-4)


def test_at_grey_the_form_stretches_a_alone():
    """G of CIEDE2000 is 0.5 at no chroma (ISO/CIE 11664-6)."""
    np.testing.assert_allclose(np.abs(local_form((50, 0, 0))), np.diag([1, 1.5, 1]), atol=1e-12)


@given(colours, formulas, st.floats(0.01, 2))
def test_an_even_covariance_is_a_round_noise(lab, by, standard):
    noise = noise_variances(lab, even_covariance(lab, standard, by), by)
    assert noise == pytest.approx((standard**2,) * 3, rel=1e-6)


def test_noise_variances_add_up_to_the_mean_square():
    """Simulation, seeded."""
    rng = np.random.default_rng(2)
    lab, by = (74, 1.5, 17), Formula()
    noise = noise_variances(lab, from_standard(0.3, 0.12, 0.25), by)
    drawn = rng.standard_normal((20_000, 3)) * (0.3, 0.12, 0.25) * 0.01
    squares = [by(lab, (lab + row).tolist()) ** 2 for row in drawn]
    assert np.mean(squares) * 1e4 == pytest.approx(sum(noise), rel=0.03)


def test_a_formula_is_called_like_the_function_behind_it():
    assert Formula("CIELAB")((50, 0, 0), (50, 3, 4)) == 5
    assert Formula("CIEDE2000", 2)((50, 0, 0), (52, 0, 0)) == pytest.approx(Formula()((50, 0, 0), (52, 0, 0)) / 2)
    assert sqrt(sum(noise_variances((50, 0, 0), from_standard(3, 0, 4), Formula("CIELAB")))) == 5


def test_wrong_use():
    for by, lab in ((Formula("CIELAB", 2), (50, 0, 0)), (Formula("other"), (50, 0, 0)), (Formula(), (nan, 0, 0))):
        with pytest.raises(WrongUse):
            local_form(lab, by)
