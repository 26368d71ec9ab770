"""Uncertainty of a difference by drawing (JCGM 101:2008); a generator is passed in, so a seed repeats it."""

from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shadefmt.colour.covariances import Covariance, axes
from shadefmt.colour.difference_single import Lab
from shadefmt.colour.differences import difference
from shadefmt.colour.formula import CIEDE2000, Formula
from shadefmt.colour.uncertainty import NONE, REGION, zero_in_region
from shadefmt.errors import WrongUse

Array = NDArray[np.float64]

ROUNDING = 1e-9


class Drawn(NamedTuple):
    """Drawn differences of two colours and what they say.

    `mean` and `standard` describe the draws; the mean lies above the difference of the readings, because
    noise only lengthens a distance. Where zero lies in the 95 % region (`near_zero`), `lower` is 0 and
    `upper` the 95 % point: an interval of draws would leave out a true zero. Else they are the 2.5 % and
    97.5 % points.
    """

    difference: float
    mean: float
    standard: float
    lower: float
    upper: float
    near_zero: bool
    draws: Array

    def probability(self, limit: float) -> float:
        """Share of draws at or below the limit: the probability of conformity (JCGM 106:2012, 7.1)."""
        return float(np.mean(self.draws <= limit))


def seeded(seed: int) -> np.random.Generator:
    """Return a generator that gives the same draws for the same seed."""
    return np.random.default_rng(seed)


def draw_colours(rng: np.random.Generator, lab: Lab, covariance: Covariance, draws: int) -> Array:
    """Normal colours of shape (draws, 3) about `lab`; covariances of rank 1 or 2 are welcome.

    Raises WrongUse where the numbers are no covariance (an eigenvalue clearly below zero).
    """
    values, vectors = axes(covariance)
    if values[0] < -ROUNDING * max(values[2], 1.0):
        raise WrongUse("not a covariance: it gives some direction a negative variance")
    if draws < 1:
        raise WrongUse("at least one draw is meant")
    scales = np.sqrt(np.maximum(values, 0.0))
    drawn: Array = rng.standard_normal((draws, 3)) * scales @ np.array(vectors) + np.asarray(lab, np.float64)
    return drawn


def monte_carlo(
    rng: np.random.Generator,
    lab1: Lab,
    lab2: Lab,
    covariance1: Covariance,
    covariance2: Covariance,
    shared: Covariance = NONE,
    by: Formula = CIEDE2000,
    draws: int = 200_000,
    degrees_of_freedom: float = inf,
) -> Drawn:
    """The distribution of the true difference, given two readings and their normal covariances.

    `shared` is the covariance of an error common to both, drawn once for each pair; the rest as in
    `uncertainty.difference_uncertainty`.
    """
    first, second = (
        draw_colours(rng, lab, covariance, draws) for lab, covariance in ((lab1, covariance1), (lab2, covariance2))
    )
    both = draw_colours(rng, (0, 0, 0), shared, draws)
    values = difference(by.name, first + both, second + both, by.k_L, by.k_C, by.k_H)
    near, _ = zero_in_region(lab1, lab2, covariance1.plus(covariance2), degrees_of_freedom)
    points = (0.0, REGION) if near else ((1 - REGION) / 2, (1 + REGION) / 2)
    lower, upper = np.quantile(values, points)
    return Drawn(
        by(lab1, lab2),
        float(values.mean()),
        float(values.std(ddof=1)) if draws > 1 else 0.0,
        0.0 if near else float(lower),
        float(upper),
        near,
        values,
    )
