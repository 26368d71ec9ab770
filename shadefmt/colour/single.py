"""One colour at a time in plain Python: spectrum to XYZ, XYZ to CIELAB, LCh and xyY, and back.

Reflectance is a factor (0-1), XYZ lies on 0-100 with Y = 100 for the perfect reflector, hue is in degrees
from 0 to below 360. The array twins are in `spectra` and `cielab`.
"""

from collections.abc import Sequence
from math import atan2, cbrt, cos, degrees, hypot, inf, isfinite, radians, sin
from operator import mul

from shadefmt.colour.weights import Triple, Weights
from shadefmt.errors import WrongUse

EDGE = 216 / 24389
"""Ratio to the white at which the cube root of CIELAB gives way to a straight line: (6/29) cubed."""

SLOPE = 24389 / 27
"""Slope of that line in L* per ratio: (29/3) cubed, ISO/CIE 11664-4."""

EDGE_ROOT = 6 / 29
"""Cube root of EDGE."""


def spectrum_to_xyz(values: Sequence[float], weights: Weights) -> Triple:
    """XYZ (0-100) of reflectance factors (0-1), one per wavelength of `weights` (ASTM E308).

    Raises WrongUse when the counts differ or a value is infinite or not a number. Factors outside 0-1 are
    taken as they stand: gloss and fluorescence can exceed 1.
    """
    if len(values) != len(weights.x):
        raise WrongUse(f"{len(values)} values, but the weights are for {len(weights.x)} wavelengths")
    x = sum(map(mul, values, weights.x))
    y = sum(map(mul, values, weights.y))
    z = sum(map(mul, values, weights.z))
    if not isfinite(x + y + z):
        index = next((at for at, value in enumerate(values) if not isfinite(value)), -1)
        raise WrongUse(f"the value at index {index} is not a finite number" if index >= 0 else "values overflow")
    return x, y, z


def xyz_to_lab(xyz: Sequence[float], white: Sequence[float]) -> Triple:
    """CIELAB (L*, a*, b*) of XYZ relative to the XYZ of `white`, on the same scale (ISO/CIE 11664-4).

    Raises WrongUse when a value of the white is not above zero.
    """
    _demand_white(white)
    x, y, z = map(_root, (xyz[0] / white[0], xyz[1] / white[1], xyz[2] / white[2]))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def lab_to_xyz(lab: Sequence[float], white: Sequence[float]) -> Triple:
    """XYZ of CIELAB relative to `white`, on the scale of the white; the inverse of `xyz_to_lab`."""
    _demand_white(white)
    y = (lab[0] + 16) / 116
    return (
        white[0] * _cube(y + lab[1] / 500),
        white[1] * _cube(y),
        white[2] * _cube(y - lab[2] / 200),
    )


def lab_to_lch(lab: Sequence[float]) -> tuple[float, float, float | None]:
    """L*, chroma C*ab and hue angle h_ab in degrees [0, 360); the hue is None where the chroma is 0."""
    lightness, a, b = lab
    chroma = hypot(a, b)
    if chroma == 0:
        return lightness, 0.0, None
    hue = degrees(atan2(b, a)) % 360
    return lightness, chroma, 0.0 if hue == 360 else hue  # a hue of -1e-20 rounds up to 360


def lch_to_lab(lch: tuple[float, float, float | None]) -> Triple:
    """CIELAB of L*, C*ab and h_ab in degrees; without a hue (None) the chroma must be 0."""
    lightness, chroma, hue = lch
    if hue is None:
        if chroma:
            raise WrongUse(f"a chroma of {chroma:g} needs a hue")
        return lightness, 0.0, 0.0
    return lightness, chroma * cos(radians(hue)), chroma * sin(radians(hue))


def xyz_to_xyy(xyz: Sequence[float]) -> tuple[float | None, float | None, float]:
    """Chromaticity x, y and Y (CIE 15); x and y are None where X + Y + Z is 0, which has no chromaticity."""
    total = sum(xyz)
    if total == 0:
        return None, None, xyz[1]
    return xyz[0] / total, xyz[1] / total, xyz[1]


def xyy_to_xyz(xyy: tuple[float | None, float | None, float]) -> Triple:
    """XYZ of chromaticity x, y and Y; black (Y = 0) is 0, 0, 0 whatever its chromaticity."""
    x, y, luminance = xyy
    if luminance == 0:
        return 0.0, 0.0, 0.0
    if x is None or not y:
        raise WrongUse(f"Y is {luminance:g}, but no chromaticity goes with it (x {x}, y {y})")
    return x * luminance / y, luminance, (1 - x - y) * luminance / y


def _demand_white(white: Sequence[float]) -> None:
    if not (0 < white[0] < inf and 0 < white[1] < inf and 0 < white[2] < inf):
        raise WrongUse(f"a white is three values above zero (X, Y, Z), not {tuple(white)}")


def _root(ratio: float) -> float:
    return cbrt(ratio) if ratio > EDGE else (SLOPE * ratio + 16) / 116


def _cube(root: float) -> float:
    return root**3 if root > EDGE_ROOT else (116 * root - 16) / SLOPE
