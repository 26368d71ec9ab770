from math import inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from shadefmt.colour.covariances import Covariance, axes, distance_squared, from_standard, product
from shadefmt.errors import WrongUse

roots = arrays.arrays(np.float64, (3, 3), elements=st.floats(-3, 3).map(lambda x: round(x, 3)))


def of(matrix):
    (LL, La, Lb), (_, aa, ab), (_, _, bb) = np.asarray(matrix).tolist()
    return Covariance(LL, aa, bb, La, Lb, ab)


@given(roots)
def test_axes_are_the_eigenvectors_of_numpy(root):
    matrix = root @ root.T
    values, vectors = axes(of(matrix))
    np.testing.assert_allclose(values, np.linalg.eigvalsh(matrix), atol=1e-12)
    np.testing.assert_allclose(np.array(vectors) @ np.array(vectors).T, np.eye(3), atol=1e-12)
    np.testing.assert_allclose(np.array(vectors).T * values @ vectors, matrix, atol=1e-12)


@given(roots, st.tuples(*[st.floats(-5, 5)] * 3), st.tuples(*[st.floats(-5, 5)] * 3))
def test_products_and_sums_are_those_of_numpy(root, row, column):
    matrix = root @ root.T
    covariance = of(matrix)
    np.testing.assert_allclose(covariance.matrix(), matrix)
    assert product(row, covariance, column) == pytest.approx(row @ matrix @ np.array(column), abs=1e-9)
    both = covariance.plus(from_standard(1, 2, 3), 0.5).times(2)
    np.testing.assert_allclose(both.matrix(), 2 * matrix + np.diag([1, 4, 9]))


@given(roots, st.tuples(*[st.floats(-5, 5)] * 3))
def test_distance_is_that_of_the_inverse(root, vector):
    matrix = root @ root.T + 0.05 * np.eye(3)
    expected = np.array(vector) @ np.linalg.solve(matrix, vector)
    assert distance_squared(vector, of(matrix)) == pytest.approx(expected, rel=1e-7, abs=1e-12)


def test_a_direction_without_variance_is_infinitely_far():
    flat = from_standard(1, 2, 0)
    assert distance_squared((1, 2, 0), flat) == pytest.approx(2)
    assert distance_squared((1, 2, 0.001), flat) == inf
    assert distance_squared((0, 0, 0), Covariance(0, 0, 0)) == 0
    assert distance_squared((0, 0, 1e-3), Covariance(0, 0, 0)) == inf


def test_numbers_that_are_no_covariance_show_a_negative_axis():
    assert axes(Covariance(1, 1, 1, 2))[0][0] == pytest.approx(-1)


def test_wrong_use():
    for bad in (-1, nan, inf):
        with pytest.raises(WrongUse, match="zero or more"):
            from_standard(0.1, bad, 0.1)
    with pytest.raises(WrongUse, match="not a finite number"):
        axes(Covariance(1, nan, 1))
