"""Whiteness, yellowness, translucency and contrast of one colour or pair of colours; without numpy.

Every index is defined for a basis (illuminant and observer, named as in `tables`) and refuses another one with
WrongUse; what merely lies outside the range it was made for is flagged in its result. XYZ run from 0 to 100 with
`white` the XYZ of the perfect diffuser on the same basis. `indices_arrays` holds the same over arrays.
"""

from math import isfinite
from typing import Final, NamedTuple

from shadefmt.colour.difference_single import Lab, difference
from shadefmt.errors import WrongUse

WI_D_FACTORS: Final = (0.511, -2.324, -1.100)
# 50:50 % thresholds of a change in WI_D (Perez et al., Dent. Mater. 2019, 35, 292-297). Another paper quotes
# 2.60 for the second; 2.62 happens to be the TP00 acceptability threshold too, which is something else.
WI_D_PERCEPTIBLE: Final = 0.72
WI_D_ACCEPTABLE: Final = 2.62
# 50:50 % thresholds of a change in translucency (Salas et al., Dent. Mater. 2018, 34, 1168-1174).
TRANSLUCENCY_THRESHOLDS: Final = {"CIEDE2000": (0.62, 2.62), "CIELAB": (1.33, 4.43)}

DEFINED_WI_D: Final = (("D65", "2-degree"),)
DEFINED_D65: Final = (("D65", "2-degree"), ("D65", "10-degree"))
TINT_FACTOR: Final = {"2-degree": 1000.0, "10-degree": 900.0}
# C_X and C_Z of ASTM E313, table 1.
E313_FACTORS: Final = {
    ("C", "2-degree"): (1.2769, 1.0592),
    ("D65", "2-degree"): (1.2985, 1.1335),
    ("C", "10-degree"): (1.2871, 1.0781),
    ("D65", "10-degree"): (1.3013, 1.1498),
}


class Index(NamedTuple):
    """An index with what puts it outside its definition; `flags` empty means inside."""

    value: float
    flags: tuple[str, ...] = ()


class Whiteness(NamedTuple):
    """CIE whiteness and tint; `flags` say which of the limits of the definition are not met."""

    whiteness: float
    tint: float
    flags: tuple[str, ...]


def dental_whiteness(lab: Lab, illuminant: str, observer: str) -> float:
    """WI_D = 0.511 L* - 2.324 a* - 1.100 b*; higher is whiter (Perez et al., Dent. Mater. 2016, 32, 461-467).

    Defined for D65 and the 2-degree observer: another basis raises WrongUse. 0.3 of a* move it by 0.70, the
    whole perceptibility threshold.
    """
    _defined("WI_D", illuminant, observer, DEFINED_WI_D)
    return _finite(sum(factor * value for factor, value in zip(WI_D_FACTORS, lab, strict=True)))


def dental_whiteness_change(before: Lab, after: Lab, illuminant: str, observer: str) -> float:
    """WI_D after minus before, with its sign: positive is whiter."""
    return dental_whiteness(after, illuminant, observer) - dental_whiteness(before, illuminant, observer)


def dental_whiteness_grade(change: float) -> str:
    """Where a change lies among the published thresholds: up-to-perceptible, up-to-acceptable, beyond.

    Equality belongs to the smaller class; the direction is told by the sign of the change.
    """
    size = _finite(abs(change))
    if size <= WI_D_PERCEPTIBLE:
        return "up-to-perceptible"
    return "up-to-acceptable" if size <= WI_D_ACCEPTABLE else "beyond-acceptable"


def cie_whiteness(xyz: Lab, white: Lab, illuminant: str, observer: str) -> Whiteness:
    """CIE whiteness W and tint T of a near-white (CIE 15; ISO 11475 for D65 and the 10-degree observer).

    W = Y + 800 (xn - x) + 1700 (yn - y); T = 1000 (xn - x) - 650 (yn - y), with 900 for 10 degrees. Valid for
    W > 40, W < 5 Y - 280, -4 < T < 2; nearly all teeth lie outside, and are flagged. Illuminants other than
    D65 raise WrongUse.
    """
    _defined("CIE whiteness", illuminant, observer, DEFINED_D65)
    red, green, Y = _shifts(xyz, white)
    whiteness = Y + 800 * red + 1700 * green
    tint = TINT_FACTOR[observer] * red - 650 * green
    checks = (
        (whiteness > 40, "whiteness-not-above-40"),
        (whiteness < 5 * Y - 280, "whiteness-not-below-5Y-280"),
        (-4 < tint < 2, "tint-outside-range"),
    )
    return Whiteness(whiteness, tint, tuple(flag for met, flag in checks if not met))


def optimised_whiteness(xyz: Lab, white: Lab, illuminant: str, observer: str) -> float:
    """WIO = Y + 1075.012 (xn - x) + 145.516 (yn - y), the CIE form fitted to tooth whiteness.

    Luo, Westland, Ellwood, Pretty and Cheung, J. Dent. 2009, 37 Suppl. 1, e21-e26; the formula was read in
    secondary sources. D65 with either observer; other illuminants raise WrongUse.
    """
    _defined("WIO", illuminant, observer, DEFINED_D65)
    red, green, Y = _shifts(xyz, white)
    return Y + 1075.012 * red + 145.516 * green


def yellowness(xyz: Lab, illuminant: str, observer: str) -> float:
    """Yellowness index YI of ASTM E313: 100 (C_X X - C_Z Z) / Y, for C or D65 with either observer."""
    _defined("YI E313", illuminant, observer, tuple(E313_FACTORS))
    C_X, C_Z = E313_FACTORS[illuminant, observer]
    X, Y, Z = xyz
    if not Y > 0:
        raise WrongUse("yellowness divides by Y, which must be above zero")
    return _finite(100 * (C_X * X - C_Z * Z) / Y)


def translucency(
    over_white: Lab, over_black: Lab, formula: str = "CIEDE2000", k_L: float = 1, k_C: float = 1, k_H: float = 1
) -> Index:
    """Translucency parameter: the difference of one specimen over a white and over a black backing.

    TP with "CIELAB" (Johnston, Ma and Kienle, Int. J. Prosthodont. 1995, 8, 79-86), TP00 with "CIEDE2000"; the
    factors are those of the formula. It holds for the thickness and the backings it was read with. Flagged where
    the reading over black is the lighter one.
    """
    flags = ("lighter-over-black",) if over_black[0] > over_white[0] else ()
    return Index(difference(formula, over_white, over_black, k_L, k_C, k_H), flags)


def contrast_ratio(Y_over_white: float, Y_over_black: float) -> Index:
    """CR = Y over black / Y over white, 0 for clear and 1 for opaque; above 1 it is flagged.

    Raises WrongUse for a Y over white that is not above zero, and for a negative Y over black.
    """
    if not (0 < Y_over_white < float("inf") and 0 <= Y_over_black < float("inf")):
        raise WrongUse("contrast ratio needs Y above zero over white, and zero or more over black")
    ratio = Y_over_black / Y_over_white
    return Index(ratio, ("lighter-over-black",) if ratio > 1 else ())


def _defined(index: str, illuminant: str, observer: str, bases: tuple[tuple[str, str], ...]) -> None:
    if (illuminant, observer) not in bases:
        known = " or ".join(f"{one}/{other}" for one, other in bases)
        raise WrongUse(f"{index} is defined for {known}, not for {illuminant}/{observer}")


def _shifts(xyz: Lab, white: Lab) -> tuple[float, float, float]:
    """Shifts of chromaticity from the white, xn - x and yn - y, and Y."""
    total, total_white = sum(xyz), sum(white)
    if not (total > 0 and total_white > 0):
        raise WrongUse("chromaticity needs X + Y + Z above zero; black has none")
    red = white[0] / total_white - xyz[0] / total
    green = white[1] / total_white - xyz[1] / total
    _finite(red + green)
    return red, green, xyz[1]


def _finite(value: float) -> float:
    if not isfinite(value):
        raise WrongUse("a colour coordinate is not a finite number")
    return value
