"""Weighting factors that turn a reflectance spectrum into XYZ, by ASTM E2022 and E308; pure Python."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor, fsum, isfinite

from shadefmt.colour.grids import (
    FIRST_NM,
    LAST_NM,
    MOST_WAVELENGTHS,
    continued,
    demand_ascending,
    demand_grid,
    interpolation,
    linear,
)
from shadefmt.colour.tables import illuminant_table, observer_table
from shadefmt.errors import WrongUse

Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Weights:
    """Weighting factors of one illuminant and observer on one grid of wavelengths.

    `x`, `y` and `z` hold one factor per wavelength of the grid: X is the sum of reflectance factor (0-1)
    times x, and so on. `white` is XYZ of the perfect reflector (Y = 100): the column sums, the same on every
    grid.

    What lies outside the grid is stated: `folded_below_nm` and `folded_above_nm` are the widths in nm over
    which the table of the illuminant goes on (there the first or last value stands in for what was not
    measured), and `folded_share` is the part (0-1) of X, Y and Z of the white that comes from there.
    """

    illuminant: str
    observer: str
    wavelengths: tuple[float, ...]
    x: tuple[float, ...]
    y: tuple[float, ...]
    z: tuple[float, ...]
    white: Triple
    folded_below_nm: float
    folded_above_nm: float
    folded_share: Triple


@dataclass(frozen=True, slots=True)
class _Products:
    """Illuminant times colour matching functions at 1 nm, scaled so that the y column sums to 100."""

    first_nm: int
    x: tuple[float, ...]
    y: tuple[float, ...]
    z: tuple[float, ...]
    white: Triple

    @property
    def last_nm(self) -> int:
        return self.first_nm + len(self.y) - 1


@lru_cache(maxsize=128)
def weights(illuminant: str, observer: str, start_nm: float, step_nm: float, count: int) -> Weights:
    """Weighting factors for `count` wavelengths from `start_nm` on, `step_nm` apart (at most 20), any start.

    Method: ASTM E2022 (the 1 nm products of illuminant and colour matching function are spread over the grid
    by Lagrange coefficients, cubic inside and quadratic in the first and last interval) and ASTM E308
    (weights of wavelengths that were not measured go to the first and last that were). The data are taken as
    rectified for bandpass. Raises WrongUse for unknown names, fewer than two wavelengths, steps below 0.1 or
    above 20 nm, and wavelengths outside 360-830 nm.
    """
    if not 2 <= count <= MOST_WAVELENGTHS:
        raise WrongUse(f"a spectrum has between 2 and {MOST_WAVELENGTHS} wavelengths, not {count}")
    return weights_at(illuminant, observer, tuple(start_nm + index * step_nm for index in range(count)))


def weights_at(illuminant: str, observer: str, wavelengths: Sequence[float]) -> Weights:
    """Weighting factors for a grid of any spacing: `wavelengths` in nm, ascending, at most 20 nm apart.

    The method of `weights`, and equal to it on an even grid: the Lagrange coefficients are those of the given
    wavelengths, and beyond both ends the outermost spacing is thought to go on. Raises WrongUse as `weights`
    does, and where neighbouring distances differ more than twentyfold.
    """
    return _weights_at(illuminant, observer, tuple(map(float, wavelengths)))


def weights_of_spd(
    spd_wavelengths: Sequence[float], powers: Sequence[float], observer: str, grid: Sequence[float]
) -> Weights:
    """Weighting factors for a light of the user's own, for measurements on `grid` (nm).

    `powers` are relative spectral powers (any unit, none negative) at `spd_wavelengths` (nm, ascending),
    linear in between; the sum runs over what they cover of 360-830 nm, at least 400-700 nm.
    `Weights.illuminant` is "own". Raises WrongUse for anything else, and as `weights_at` does.
    """
    return _weights_of_spd(
        tuple(map(float, spd_wavelengths)), tuple(map(float, powers)), observer, tuple(map(float, grid))
    )


def white_point(illuminant: str, observer: str) -> Triple:
    """XYZ of the perfect reflector, Y = 100: the column sums of the weights, as ASTM E308 has it."""
    return _products(illuminant, observer).white


@lru_cache(maxsize=128)
def _weights_at(illuminant: str, observer: str, grid: tuple[float, ...]) -> Weights:
    return _on_grid(_products(illuminant, observer), illuminant, observer, grid)


@lru_cache(maxsize=32)
def _weights_of_spd(
    nm: tuple[float, ...], powers: tuple[float, ...], observer: str, grid: tuple[float, ...]
) -> Weights:
    if len(nm) != len(powers):
        raise WrongUse(f"{len(nm)} wavelengths but {len(powers)} powers: give one power per wavelength")
    demand_ascending(nm, "wavelengths of the light")
    if not all(isfinite(power) and power >= 0 for power in powers) or not any(powers):
        raise WrongUse("a power of the light is negative, infinite or not a number, or all are zero")
    if nm[0] > 400 or nm[-1] < 700:
        raise WrongUse(f"the light is given for {nm[0]:g}-{nm[-1]:g} nm; it must be known from 400 to 700 nm")
    first, last = max(FIRST_NM, ceil(nm[0])), min(LAST_NM, floor(nm[-1]))
    strongest = max(powers)
    fine = linear(nm, [power / strongest for power in powers], first, last)
    return _on_grid(_scaled(first, fine, observer), "own", observer, grid)


@lru_cache(maxsize=32)
def _products(illuminant: str, observer: str) -> _Products:
    table = illuminant_table(illuminant)
    return _scaled(table.first_nm, table.power, observer)


def _scaled(first_nm: int, power: Sequence[float], observer: str) -> _Products:
    matching = observer_table(observer)
    begin = first_nm - matching.first_nm
    columns = [
        [watt * value for watt, value in zip(power, column[begin:], strict=False)]
        for column in (matching.x, matching.y, matching.z)
    ]
    luminance = fsum(columns[1])
    if not all(fsum(column) > 0 for column in columns):
        raise WrongUse("the light has no power in a part of the spectrum that X, Y or Z needs")
    x, y, z = (tuple(100 * value / luminance for value in column) for column in columns)
    return _Products(first_nm, x, y, z, white=(fsum(x), 100.0, fsum(z)))


def _on_grid(products: _Products, illuminant: str, observer: str, grid: tuple[float, ...]) -> Weights:
    demand_grid(grid)
    below, nodes = continued(grid, products.first_nm, products.last_nm)
    x, y, z = (
        _settled(_folded(column, below, below + len(grid)), total)
        for column, total in zip(_spread(nodes, products), products.white, strict=True)
    )
    return Weights(
        illuminant=illuminant,
        observer=observer,
        wavelengths=grid,
        x=x,
        y=y,
        z=z,
        white=(sum(x), sum(y), sum(z)),
        folded_below_nm=max(0.0, grid[0] - products.first_nm),
        folded_above_nm=max(0.0, products.last_nm - grid[-1]),
        folded_share=_share_outside(products, grid[0], grid[-1]),
    )


def _spread(nodes: tuple[float, ...], products: _Products) -> tuple[list[float], list[float], list[float]]:
    x, y, z = ([0.0] * len(nodes) for _ in range(3))
    places = interpolation(nodes, products.first_nm, products.last_nm)
    for (first, shares), of_x, of_y, of_z in zip(places, products.x, products.y, products.z, strict=True):
        for node, share in enumerate(shares, first):
            x[node] += share * of_x
            y[node] += share * of_y
            z[node] += share * of_z
    return x, y, z


def _folded(column: list[float], begin: int, end: int) -> list[float]:
    kept = column[begin:end]
    kept[0] += fsum(column[:begin])
    kept[-1] += fsum(column[end:])
    return kept


def _settled(column: list[float], total: float) -> tuple[float, ...]:
    """The column with its rounding moved into the last weight that is not zero: it sums to `total`.

    So the white is the same to the last bit on every grid of practical width, and the perfect reflector is
    L* = 100, a* = b* = 0 without a remainder.
    """
    last = max(index for index, weight in enumerate(column) if weight)
    column[last] = total - sum(column[:last])
    return tuple(column)


def _share_outside(products: _Products, first_nm: float, last_nm: float) -> Triple:
    nm = range(products.first_nm, products.last_nm + 1)
    outside = [index for index, at in enumerate(nm) if not first_nm <= at <= last_nm]
    x, y, z = (
        fsum(map(column.__getitem__, outside)) / total
        for column, total in zip((products.x, products.y, products.z), products.white, strict=True)
    )
    return x, y, z
