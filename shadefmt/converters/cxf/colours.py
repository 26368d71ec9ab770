"""Colours of CxF3 in the coordinates of the format: CIELAB and XYZ as they are, LCh and xyY restated.

CIELAB from L*C*h: a* = C* cos h, b* = C* sin h (ISO/CIE 11664-4). XYZ from xyY: X = x Y / y,
Z = (1 - x - y) Y / y (CIE 15).
"""

from collections.abc import Callable
from math import cos, radians, sin
from typing import NamedTuple

from shadefmt.converters.cxf.parts import ColourMember
from shadefmt.limits import MAX_DECIMALS

Triple = tuple[float, float, float]
Converter = Callable[[list[float], list[int]], tuple[Triple, int]]


class ColourKind(NamedTuple):
    """One element of `ColorValues`: its children in order, the member it fills, and how it is restated.

    `in_range` says whether values keep to the bounds of the XML Schema of CxF3.
    """

    coordinates: tuple[str, str, str]
    member: ColourMember
    in_range: Callable[[list[float]], bool]
    convert: Converter | None
    reason: str = ""


def lab_from_lch(values: list[float], decimals: list[int]) -> tuple[Triple, int]:
    """Return L*, a*, b* and their decimals.

    The decimals are those of the source: rounding C* and h moves a* and b* by about a unit of the last one.
    """
    lightness, chroma, hue = values
    places = max(decimals)
    a, b = chroma * cos(radians(hue)), chroma * sin(radians(hue))
    return (lightness, round(a, places), round(b, places)), places


def xyz_from_xyy(values: list[float], decimals: list[int]) -> tuple[Triple, int]:
    """Return X, Y, Z and their decimals.

    Chromaticities with n decimals carry XYZ on a scale of 100 to about n - 2, and Y to those it is written with.
    Black (Y = 0) has no chromaticity; y = 0 with light is not a colour, see `is_colour`.
    """
    x, y, luminance = values
    places = max(0, min(max(decimals[:2]) - 2, decimals[2], MAX_DECIMALS))
    scale = luminance / y if y else 0.0
    numbers = round(x * scale, places), round(luminance, places), round((1 - x - y) * scale, places)
    return numbers, places


def is_colour(values: list[float]) -> bool:
    """Return whether x, y, Y can be restated."""
    return values[1] > 0 or values[2] == 0


def _light(values: list[float]) -> bool:
    return values[0] >= 0


def _cylinder(values: list[float]) -> bool:
    return values[0] >= 0 and values[1] >= 0 and 0 <= values[2] <= 360


def _not_negative(values: list[float]) -> bool:
    return min(values) >= 0


KINDS = {
    "ColorCIELab": ColourKind(("L", "A", "B"), "lab", _light, None),
    "ColorCIELCh": ColourKind(("L", "C", "H"), "lab", _cylinder, lab_from_lch, "a* and b* from C* and h"),
    "ColorCIEXYZ": ColourKind(("X", "Y", "Z"), "xyz", _not_negative, None),
    "ColorCIExyY": ColourKind(("x", "y", "Y"), "xyz", _not_negative, xyz_from_xyy, "X and Z from chromaticity"),
}
"""Kinds of colour that the format has members for, best first."""
