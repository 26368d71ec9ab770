"""XYZ, CIELAB, LCh and xyY over arrays of shape (..., 3); the twins for one colour are in `single`.

XYZ lies on the scale of its white (0-100 in this package), hue is in degrees from 0 to below 360. A value
that is infinite or not a number is refused with WrongUse that names its index, with two exceptions that stand
for "has none": the hue of a chroma of 0 and the chromaticity of black are NaN, in results and in arguments.
"""

import numpy as np
import numpy.typing as npt

from shadefmt.colour.rows import Floats, as_array, as_rows, blocks, demand_finite
from shadefmt.colour.single import EDGE, EDGE_ROOT, SLOPE
from shadefmt.errors import WrongUse


def xyz_to_lab(xyz: npt.ArrayLike, white: npt.ArrayLike) -> Floats:
    """CIELAB of XYZ (..., 3) relative to the white (3,) on the same scale (ISO/CIE 11664-4)."""
    rows, shape = as_rows(xyz, 3, "XYZ")
    reference = checked_white(white)
    lab = np.empty(rows.shape)
    for block in blocks(len(rows)):
        demand_finite(rows[block], shape, "XYZ", block.start)
        fill_lab(rows[block], reference, lab[block])
    return lab.reshape(*shape, 3)


def lab_to_xyz(lab: npt.ArrayLike, white: npt.ArrayLike) -> Floats:
    """XYZ of CIELAB (..., 3) relative to the white (3,), on the scale of the white."""
    rows, shape = as_rows(lab, 3, "CIELAB")
    reference = checked_white(white)
    xyz = np.empty(rows.shape)
    for block in blocks(len(rows)):
        demand_finite(rows[block], shape, "CIELAB", block.start)
        lightness, a, b = rows[block].T
        y = (lightness + 16) / 116
        root = np.stack([y + a / 500, y, y - b / 200], axis=-1)
        xyz[block] = np.where(root > EDGE_ROOT, root**3, (116 * root - 16) / SLOPE) * reference
    return xyz.reshape(*shape, 3)


def lab_to_lch(lab: npt.ArrayLike) -> Floats:
    """L*, chroma C*ab and hue angle h_ab in degrees of CIELAB (..., 3); the hue of a chroma of 0 is NaN."""
    rows, shape = as_rows(lab, 3, "CIELAB")
    demand_finite(rows, shape, "CIELAB")
    lightness, a, b = rows.T
    chroma = np.hypot(a, b)
    hue = np.degrees(np.arctan2(b, a)) % 360
    hue[hue == 360] = 0  # a hue of -1e-20 rounds up to 360
    hue[chroma == 0] = np.nan
    return np.stack([lightness, chroma, hue], axis=-1).reshape(*shape, 3)


def lch_to_lab(lch: npt.ArrayLike) -> Floats:
    """CIELAB of L*, C*ab and h_ab (..., 3); a hue may be NaN where the chroma is 0."""
    rows, shape = as_rows(lch, 3, "LCh")
    lightness, chroma, hue = rows.T
    hue = np.radians(np.where(chroma == 0, 0.0, hue))
    demand_finite(np.stack([lightness, chroma, hue], axis=-1), shape, "LCh")
    return np.stack([lightness, chroma * np.cos(hue), chroma * np.sin(hue)], axis=-1).reshape(*shape, 3)


def xyz_to_xyy(xyz: npt.ArrayLike) -> Floats:
    """Chromaticity x, y and Y of XYZ (..., 3); x and y are NaN where X + Y + Z is 0."""
    rows, shape = as_rows(xyz, 3, "XYZ")
    demand_finite(rows, shape, "XYZ")
    total = rows.sum(axis=-1, dtype=np.float64)
    total[total == 0] = np.nan
    return np.stack([rows[:, 0] / total, rows[:, 1] / total, rows[:, 1]], axis=-1).reshape(*shape, 3)


def xyy_to_xyz(xyy: npt.ArrayLike) -> Floats:
    """XYZ of chromaticity x, y and Y (..., 3); black (Y = 0) is 0, 0, 0 whatever its chromaticity."""
    rows, shape = as_rows(xyy, 3, "xyY")
    black = rows[:, 2] == 0
    lit = np.where(black[:, np.newaxis], (1.0, 1.0, 0.0), rows)
    demand_finite(lit, shape, "xyY")
    x, y, luminance = lit.T
    if not np.all(y):
        place = np.unravel_index(int(np.argmin(y != 0)), shape) if shape else ()
        raise WrongUse(f"xyY: y is 0 but Y is not at index {tuple(map(int, place))}")
    scale = luminance / y
    return np.stack([x * scale, luminance, (1 - x - y) * scale], axis=-1).reshape(*shape, 3)


def checked_white(white: npt.ArrayLike) -> Floats:
    """The white as an array (3,); WrongUse unless it is three finite values above zero."""
    reference = as_array(white, "white").astype(np.float64)
    if reference.shape != (3,) or not np.all(np.isfinite(reference)) or not np.all(reference > 0):
        raise WrongUse(f"a white is three values above zero (X, Y, Z), not {reference.tolist()}")
    return reference


def fill_lab(xyz: npt.NDArray[np.floating | np.integer], white: Floats, lab: Floats) -> None:
    """Write CIELAB of the rows `xyz` into `lab`; both of shape (n, 3)."""
    ratio = xyz / white
    root = np.cbrt(ratio)
    dark = ratio <= EDGE
    if dark.any():
        root[dark] = (SLOPE * ratio[dark] + 16) / 116
    x, y, z = root.T
    lab[:, 0] = 116 * y - 16
    lab[:, 1] = 500 * (x - y)
    lab[:, 2] = 200 * (y - z)
