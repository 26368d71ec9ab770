"""Arrays of any leading shape seen as rows, in blocks that fit the processor's cache."""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from shadefmt.errors import WrongUse

Floats = npt.NDArray[np.float64]

BLOCK_ROWS = 4096
"""Rows worked on at a time: enough that numpy's overhead vanishes, few enough that peak memory stays flat."""


def as_array(values: npt.ArrayLike, what: str) -> npt.NDArray[Any]:
    """`values` as an array of one dimension or more.

    Numbers keep their type, so that single precision is widened block by block and not as a whole. Raises
    WrongUse for masked arrays and for anything that is not real numbers.
    """
    if isinstance(values, np.ma.MaskedArray):
        raise WrongUse(f"{what}: a masked array; leave the masked values out, or fill them")
    try:
        array = np.asarray(values)
    except ValueError as error:
        raise WrongUse(f"{what}: rows of different lengths") from error
    if array.dtype.kind not in "fiu":
        raise WrongUse(f"{what}: real numbers are needed, not {array.dtype}")
    if array.ndim == 0:
        raise WrongUse(f"{what}: a single number has no last dimension")
    return array


def as_rows(values: npt.ArrayLike, width: int, what: str) -> tuple[npt.NDArray[Any], tuple[int, ...]]:
    """`values` of shape (..., width) as rows of shape (n, width), and the leading shape.

    Raises WrongUse for another last dimension, and as `as_array` does.
    """
    array = as_array(values, what)
    if array.shape[-1] != width:
        raise WrongUse(f"{what}: the last dimension must be {width}, the shape is {array.shape}")
    leading = array.shape[:-1]
    return array.reshape(math.prod(leading), width), leading


def blocks(count: int) -> Iterator[slice]:
    """Slices of at most BLOCK_ROWS that cover `count` rows."""
    for first in range(0, count, BLOCK_ROWS):
        yield slice(first, min(first + BLOCK_ROWS, count))


def demand_finite(rows: npt.NDArray[Any], shape: tuple[int, ...], what: str, first_row: int = 0) -> None:
    """Raise WrongUse naming the first index of `rows` (row `first_row` of `shape` on) that is not finite."""
    with np.errstate(invalid="ignore", over="ignore"):
        if np.isfinite(rows.sum(dtype=np.float64)):  # one bad value spoils the sum, and a sum is cheap
            return
    faults = np.argwhere(~np.isfinite(rows))
    if len(faults):
        row, column = map(int, faults[0])
        leading = [int(part) for part in np.unravel_index(first_row + row, shape)] if shape else []
        index = ", ".join(map(str, [*leading, column]))
        raise WrongUse(f"{what}: the value at index [{index}] is not a finite number")
