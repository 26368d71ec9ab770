"""The nearest member of a reference set by CIEDE2000, for many colours at once.

Exact: a pair is left out only where the bound proved in `nearest_single` says that it cannot be nearer. For each
colour the reference of least bound is measured first; what it gives rules most others out.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from shadefmt.colour import difference_kernel as kernel
from shadefmt.colour.covariances import Covariance
from shadefmt.colour.difference_single import TWENTY_FIVE_7, Lab
from shadefmt.colour.monte_carlo import draw_colours
from shadefmt.colour.nearest_single import SINE_60, UPRIGHT
from shadefmt.errors import WrongUse

Array = NDArray[np.float64]
Indices = NDArray[np.int64]
Factors = tuple[float, float, float]

PAIRS: Final = 1 << 18
# Room for rounding, and for 1 - UPRIGHT, which pairs of upright hues would cost a step to take off.
SLACK: Final = 1 + 1e-6


class NearestArrays(NamedTuple):
    """As `nearest_single.Nearest` over the leading shape of the colours.

    A colour that is not finite, or far outside any, has reference -1 and NaN; with one reference the runner-up
    is -1 and its difference infinite.
    """

    reference: Indices
    difference: Array
    runner_up: Indices
    runner_up_difference: Array
    margin: Array


def nearest(labs: ArrayLike, references: ArrayLike, k_L: float = 1, k_C: float = 1, k_H: float = 1) -> NearestArrays:
    """Nearest reference and runner-up of colours (..., 3) among references (n, 3), n >= 1.

    Of equally near references the one of lower index comes first. Raises WrongUse for an empty set, for
    references that are not finite and for factors that are not positive.
    """
    index, size = _ranked(labs, references, (k_L, k_C, k_H), 2)
    with np.errstate(invalid="ignore"):
        margin = size[1] - size[0]
    return NearestArrays(index[0], size[0], index[1], size[1], margin)


def nearest_index(
    labs: ArrayLike, references: ArrayLike, k_L: float = 1, k_C: float = 1, k_H: float = 1
) -> tuple[Indices, Array]:
    """Index and difference of the nearest reference alone, faster than `nearest`."""
    index, size = _ranked(labs, references, (k_L, k_C, k_H), 1)
    return index[0], size[0]


def coverage_error(labs: ArrayLike, references: ArrayLike, k_L: float = 1, k_C: float = 1, k_H: float = 1) -> float:
    """Mean CIEDE2000 from colours (..., 3) to the nearest reference of a set.

    O'Brien, Boenke and Groh, Int. J. Prosthodont. 1991, 4, 45-50, where CIELAB was used. Raises WrongUse
    without colours and where one is not finite.
    """
    _, size = nearest_index(labs, references, k_L, k_C, k_H)
    if size.size == 0 or np.isnan(size).any():
        raise WrongUse("a coverage error needs colours, all of them finite")
    return float(size.mean())


def drawn_change_rate(
    rng: np.random.Generator,
    lab: Lab,
    covariance: Covariance,
    references: ArrayLike,
    draws: int = 10_000,
    k_L: float = 1,
    k_C: float = 1,
    k_H: float = 1,
) -> float:
    """How often a repeat would name another reference than `lab` does, by drawing; any number of references.

    `covariance` is that by which a repeat differs from this reading: twice that of a reading where both are
    equally uncertain, once where `lab` is taken for the truth.
    """
    named, _ = nearest_index(lab, references, k_L, k_C, k_H)
    drawn, _ = nearest_index(draw_colours(rng, lab, covariance, draws), references, k_L, k_C, k_H)
    return float(np.mean(drawn != named))


def _ranked(labs: ArrayLike, references: ArrayLike, k: Factors, count: int) -> tuple[Indices, Array]:
    """Indices and differences of the `count` nearest, of shape (count, leading shape)."""
    colours, members = _triples(labs), _triples(references)
    if members.ndim != 2 or len(members) == 0 or not np.isfinite(members).all():
        raise WrongUse("references must be finite colours in an array of shape (n, 3), n at least 1")
    if not all(0 < factor < np.inf for factor in k):
        raise WrongUse(f"parametric factors must be positive numbers, not {k}")
    flat = colours.reshape(-1, 3)
    index = np.full((count, len(flat)), -1, dtype=np.int64)
    size = np.full((count, len(flat)), np.nan)
    columns = np.ascontiguousarray(members.T)
    step = max(PAIRS // len(members), 1)
    room = np.empty(len(members) * min(step, max(len(flat), 1)))
    with np.errstate(over="ignore", invalid="ignore"):
        for start in range(0, len(flat), step):
            rows = start + np.flatnonzero(np.isfinite(flat[start : start + step]).all(axis=1))
            index[:, rows], size[:, rows] = _block(np.ascontiguousarray(flat[rows].T), columns, k, count, room)
    shape = (count, *colours.shape[:-1])
    return index.reshape(shape), size.reshape(shape)


def _block(labs: Array, members: Array, k: Factors, count: int, room: Array) -> tuple[Indices, Array]:
    """As `_ranked` for columns (3, m) and (3, n); `room` holds the n m bounds."""
    n, m = members.shape[1], labs.shape[1]
    bounds = _squared_bounds(labs, members, k, room[: n * m])
    here = np.arange(m)
    measured: list[tuple[Indices, Indices, Array]] = []
    for _ in range(min(count, n)):
        guess = bounds.argmin(axis=0)
        bounds[guess, here] = np.inf
        measured.append((here, guess, _differences(labs, members[:, guess], k)))
    ceiling = np.max([sizes for _, _, sizes in measured], axis=0)
    which, column = np.divmod(np.flatnonzero(bounds <= ceiling * ceiling * SLACK), m)
    measured.append((column, which, _differences(labs[:, column], members[:, which], k)))
    columns, references, sizes = (np.concatenate(parts) for parts in zip(*measured, strict=True))
    index, size = np.empty((count, m), dtype=np.int64), np.empty((count, m))
    for rank in range(count):
        index[rank], size[rank] = _first(m, n, columns, references, sizes)
        sizes[references == index[rank, columns]] = np.inf
    index[index == n] = -1
    size[0, index[0] < 0] = np.nan
    return index, size


def _first(m: int, n: int, columns: Indices, references: Indices, sizes: Array) -> tuple[Indices, Array]:
    """Of measured pairs the least size of each column and the lowest reference that has it; n and inf for none."""
    size, index = np.full(m, np.inf), np.full(m, n)
    np.fmin.at(size, columns, sizes)
    least = np.flatnonzero((sizes == size[columns]) & (sizes < np.inf))
    np.minimum.at(index, columns[least], references[least])
    return index, size


def _squared_bounds(labs: Array, members: Array, k: Factors, room: Array) -> Array:
    """Squares of the bound of `nearest_single`, before its slack, of shape (n, m), laid out in `room`.

    Goes along the shorter side and keeps a row of the longer one in the cache.
    """
    n, m = members.shape[1], labs.shape[1]
    if m < n:
        return _squared_bounds(members, labs, k, room).T
    bounds = room.reshape(n, m)
    (L, a, b), k_across = labs, max(k[1:])
    plain, weight, form = _weights(labs, k[0], k_across)
    own_plain, own_weight, own_form = _weights(members, k[0], k_across)
    upright, own_upright = b >= 0, members[2] >= 0
    level = upright.all()
    across, part = np.empty(m), np.empty(m)
    for i in range(n):
        row = bounds[i]
        np.subtract(L, members[0, i], out=row)
        np.add(plain, own_plain[i], out=part)
        row /= part
        row *= row
        np.subtract(a, members[1, i], out=across)
        across *= across
        np.subtract(b, members[2, i], out=part)
        part *= part
        across += part
        np.add(weight, own_weight[i], out=part)
        part *= part
        across /= part
        if not (level and own_upright[i]):
            np.minimum(form, own_form[i], out=part)
            if own_upright[i]:
                part[upright] = UPRIGHT
            across *= part
        row += across
    return bounds


def _weights(labs: Array, k_L: float, k_across: float) -> tuple[Array, Array, Array]:
    """Each colour's part of the bounds of S_L and of S_C, and its form factor for any hue."""
    L, a, b = labs
    plain = k_L * (0.5 + 0.0075 * np.abs(L - 50))
    most = np.sqrt(2.25 * a * a + b * b)
    C7 = np.minimum(most, 1e6) ** 7
    return plain, k_across * (0.5 + 0.0225 * most), 1 - SINE_60 * np.sqrt(C7 / (C7 + TWENTY_FIVE_7))


def _differences(labs: Array, members: Array, k: Factors) -> Array:
    if labs.shape[1] == 0:
        return np.empty(0)
    (L1, a1, b1), (L2, a2, b2) = labs, members
    return kernel.ciede2000_total(L1, a1, b1, L2, a2, b2, *k)[0]


def _triples(values: ArrayLike) -> Array:
    array = np.asarray(values, dtype=np.float64)
    if array.ndim == 0 or array.shape[-1] != 3:
        raise WrongUse(f"colours must be an array of shape (..., 3), not {array.shape}")
    return array
