"""The 3 x 3 covariance of a colour in L*, a*, b*: sums, eigenvalues, distance, drawn axes; without numpy."""

from collections.abc import Sequence
from math import hypot, isfinite, sqrt
from typing import Final, NamedTuple

from shadefmt.errors import WrongUse

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]

SWEEPS: Final = 12
# Below this share of the greatest variance an eigenvalue is rounding: three readings span only a plane.
FLAT: Final = 1e-12


class Covariance(NamedTuple):
    """Variances and covariances of L*, a*, b*, in squared CIELAB units; symmetric by construction."""

    var_L: float
    var_a: float
    var_b: float
    cov_La: float = 0.0
    cov_Lb: float = 0.0
    cov_ab: float = 0.0

    def matrix(self) -> Matrix:
        """Rows in the order L*, a*, b*."""
        var_L, var_a, var_b, La, Lb, ab = self
        return ((var_L, La, Lb), (La, var_a, ab), (Lb, ab, var_b))

    def plus(self, other: "Covariance", share: float = 1.0) -> "Covariance":
        """Sum with `share` of another: of independent contributions, of two colours that are subtracted."""
        return Covariance(*(mine + share * its for mine, its in zip(self, other, strict=True)))

    def times(self, factor: float) -> "Covariance":
        """All entries times `factor`: 1 / n turns that of one reading into that of a mean of n."""
        return Covariance(*(entry * factor for entry in self))


def from_standard(u_L: float, u_a: float, u_b: float) -> Covariance:
    """Covariance of uncorrelated coordinates with these standard uncertainties."""
    if not all(isfinite(u) and u >= 0 for u in (u_L, u_a, u_b)):
        raise WrongUse("standard uncertainties must be numbers of zero or more")
    return Covariance(u_L * u_L, u_a * u_a, u_b * u_b)


def product(row: Sequence[float], covariance: Covariance, column: Sequence[float]) -> float:
    """Row times covariance times column; with row == column the variance of that linear form."""
    L1, a1, b1 = row
    L2, a2, b2 = column
    var_L, var_a, var_b, La, Lb, ab = covariance
    straight = var_L * L1 * L2 + var_a * a1 * a2 + var_b * b1 * b2
    return straight + La * (L1 * a2 + a1 * L2) + Lb * (L1 * b2 + b1 * L2) + ab * (a1 * b2 + b1 * a2)


def axes(covariance: Covariance) -> tuple[Vector, Matrix]:
    """Eigenvalues in rising order and their unit vectors as rows, by Jacobi's rotations.

    A value is negative where the numbers are no covariance at all. Raises WrongUse for entries that are
    not finite.
    """
    if not all(map(isfinite, covariance)):
        raise WrongUse("a covariance entry is not a finite number")
    matrix = [list(row) for row in covariance.matrix()]
    vectors = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
    for _ in range(SWEEPS):
        for p, q in ((0, 1), (0, 2), (1, 2)):
            if matrix[p][q]:
                _rotate(matrix, vectors, p, q)
    pairs = sorted((matrix[i][i], (row[0], row[1], row[2])) for i, row in enumerate(vectors))
    return (pairs[0][0], pairs[1][0], pairs[2][0]), (pairs[0][1], pairs[1][1], pairs[2][1])


def distance_squared(vector: Sequence[float], covariance: Covariance) -> float:
    """Squared Mahalanobis distance of `vector` from zero; infinite along a direction without variance."""
    values, vectors = axes(covariance)
    flat = FLAT * max(values[2], 0.0)
    length = hypot(*vector)
    total = 0.0
    for value, axis in zip(values, vectors, strict=True):
        along = sum(x * y for x, y in zip(vector, axis, strict=True))
        if value > flat:
            total += along * along / value
        elif abs(along) > 1e-9 * length:
            return float("inf")
    return total


def _rotate(matrix: list[list[float]], vectors: list[list[float]], p: int, q: int) -> None:
    """Make entry (p, q) zero by a rotation; the rows of `vectors` turn along."""
    half = (matrix[q][q] - matrix[p][p]) / (2 * matrix[p][q])
    t = (1 if half >= 0 else -1) / (abs(half) + hypot(half, 1))
    c = 1 / sqrt(t * t + 1)
    s = t * c
    for row in matrix:
        row[p], row[q] = c * row[p] - s * row[q], s * row[p] + c * row[q]
    for rows in (matrix, vectors):
        rows[p], rows[q] = (
            [c * x - s * y for x, y in zip(rows[p], rows[q], strict=True)],
            [s * x + c * y for x, y in zip(rows[p], rows[q], strict=True)],
        )
    matrix[p][q] = matrix[q][p] = 0.0
