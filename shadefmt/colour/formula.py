"""A difference formula with its factors, and its shape for very small differences; without numpy."""

from math import hypot, sqrt
from typing import Final, NamedTuple

from shadefmt.colour.covariances import Covariance, Matrix, Vector, axes, product
from shadefmt.colour.difference_single import Lab, ciede2000_terms, difference


class Formula(NamedTuple):
    """Name (one of difference_single.FORMULAS) and parametric factors of a difference formula."""

    name: str = "CIEDE2000"
    k_L: float = 1
    k_C: float = 1
    k_H: float = 1

    def __call__(self, lab1: Lab, lab2: Lab) -> float:
        """Difference of two colours; lab1 is the standard."""
        return difference(self.name, lab1, lab2, self.k_L, self.k_C, self.k_H)


CIEDE2000: Final = Formula()


def local_form(lab: Lab, by: Formula = CIEDE2000) -> Matrix:
    """Matrix B with difference(lab, lab + v) = |B v| for small v: the formula's ellipsoid at that colour.

    Its rows carry lightness, chroma with half the rotation, and what remains of hue (ISO/CIE 11664-6 at two
    equal colours; CIE 116 with lab as the standard). Raises WrongUse as the formula does.
    """
    by(lab, lab)
    _, a, b = lab
    if by.name == "CIELAB":
        return ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    S_L, S_C, S_H, R_T, stretch = 1.0, 1 + 0.045 * hypot(a, b), 1 + 0.015 * hypot(a, b), 0.0, 1.0
    if by.name == "CIEDE2000":
        terms = ciede2000_terms(lab, lab)
        S_L, S_C, S_H, R_T, stretch = terms.S_L, terms.S_C, terms.S_H, terms.R_T, 1 + terms.G
    C = hypot(stretch * a, b)
    c, s = (stretch * a / C, b / C) if C else (1.0, 0.0)
    chroma = (stretch * c / (by.k_C * S_C), s / (by.k_C * S_C))
    hue = (-stretch * s / (by.k_H * S_H), c / (by.k_H * S_H))
    half, rest = R_T / 2, sqrt(1 - R_T * R_T / 4)
    return (
        (1 / (by.k_L * S_L), 0.0, 0.0),
        (0.0, chroma[0] + half * hue[0], chroma[1] + half * hue[1]),
        (0.0, rest * hue[0], rest * hue[1]),
    )


def noise_variances(lab: Lab, covariance: Covariance, by: Formula = CIEDE2000) -> Vector:
    """Variances along the principal axes of B v when v has this covariance; their sum is the mean square."""
    rows = local_form(lab, by)
    pairs = ((0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2))
    values, _ = axes(Covariance(*(product(rows[i], covariance, rows[j]) for i, j in pairs)))
    return (max(values[0], 0.0), max(values[1], 0.0), max(values[2], 0.0))


def even_covariance(lab: Lab, standard: float, by: Formula = CIEDE2000) -> Covariance:
    """The covariance that makes a small difference at `lab` uncertain by `standard` in every direction.

    Turns a component that is known only as a colour difference into coordinates: standard^2 (B^T B)^-1.
    """
    rows = local_form(lab, by)
    (_, c1, h1), (_, c2, h2) = rows[1], rows[2]
    det = c1 * h2 - h1 * c2
    inverse = ((1 / rows[0][0], 0.0, 0.0), (0.0, h2 / det, -h1 / det), (0.0, -c2 / det, c1 / det))
    pairs = ((0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2))
    even = Covariance(standard * standard, standard * standard, standard * standard)
    return Covariance(*(product(inverse[i], even, inverse[j]) for i, j in pairs))
