"""Colour differences of one pair, with nothing but `math`: CIELAB, CIE94, CIEDE2000.

The checker judges one pair at a time and must start without numpy; `differences` holds the same formulas
over arrays, and a test proves both equal. Colours are (L*, a*, b*) under one illuminant and observer.

Opposite hues. CIEDE2000 takes the mean of two hue angles, each in [0, 360), over the shorter arc. At exactly
180 degrees both arcs are equal; Sharma, Wu and Dalal 2005 (Color Res. Appl. 30, 21-30) then take the plain
mean of the two angles. Whether two hues are opposite is read here from a1 b2 - a2 b1 and not from two
rounded angles: pairs that are opposite as written in decimals are opposite for the computation too, and the
result does not depend on which colour comes first. A colour without chroma has no hue part.
"""

from collections.abc import Sequence
from math import atan2, cos, degrees, exp, hypot, inf, pi, radians, sin, sqrt
from typing import Final, NamedTuple

from shadefmt.errors import WrongUse

Lab = Sequence[float]

FORMULAS: Final = ("CIELAB", "CIE94", "CIEDE2000")

# Two products that are equal in decimals differ by a few units in the last place once in binary.
OPPOSITE: Final = 8 * 2.0**-53
# Below this product of chromas there is no hue; far above where squares of coordinates lose their digits.
NO_HUE: Final = 1e-130
# The hue weighting jumps where the mean hue passes from 360 to 0; so much below 0 (in 25 degrees) is 0.
BELOW_ZERO: Final = 1e-14
TWENTY_FIVE_7: Final = 25.0**7
HUE_UNITS: Final = degrees(1) / 25
TURN: Final = 360 / 25
SIXTY: Final = pi / 3
COS_30, SIN_30 = cos(radians(30)), 0.5
COS_6, SIN_6 = cos(radians(6)), sin(radians(6))
COS_63, SIN_63 = cos(radians(63)), sin(radians(63))


class DifferenceParts(NamedTuple):
    """Weighted lightness, chroma and hue parts of a difference, trial minus standard.

    The difference is sqrt(lightness^2 + chroma^2 + hue^2 + rotation * chroma * hue); only CIEDE2000 has a
    rotation. In CIELAB the parts are delta L*, delta C*ab and delta H*ab. A positive hue part is a turn
    towards greater hue angles.
    """

    lightness: float
    chroma: float
    hue: float
    rotation: float = 0.0


class CIEDE2000Terms(NamedTuple):
    """What ISO/CIE 11664-6 computes on the way: differences, weights, rotation; `mean_hue` in degrees."""

    delta_L: float
    delta_C: float
    delta_H: float
    S_L: float
    S_C: float
    S_H: float
    R_T: float
    G: float
    T: float
    mean_hue: float


def cielab_difference(lab1: Lab, lab2: Lab) -> float:
    """Euclidean distance in CIELAB, delta E*ab (ISO/CIE 11664-4).

    Raises WrongUse where a coordinate is not a finite number.
    """
    L1, a1, b1 = lab1
    L2, a2, b2 = lab2
    return _finite(hypot(L2 - L1, a2 - a1, b2 - b1))


def cielab_parts(lab1: Lab, lab2: Lab) -> DifferenceParts:
    """Differences L*, C*ab and H*ab from lab1 to lab2 (ISO/CIE 11664-4); the hue part is signed."""
    L1, a1, b1 = lab1
    L2, a2, b2 = lab2
    C_1, C_2 = hypot(a1, b1), hypot(a2, b2)
    hue = _hue_part(a1, b1, C_1, a2, b2, C_2, a1 * b2, a2 * b1)[0] if C_1 * C_2 > NO_HUE else 0.0
    return DifferenceParts(L2 - L1, C_2 - C_1, hue)


def cie94_parts(
    standard: Lab,
    trial: Lab,
    k_L: float = 1,
    k_C: float = 1,
    k_H: float = 1,
    K1: float = 0.045,
    K2: float = 0.015,
) -> DifferenceParts:
    """Weighted parts of CIE94 (CIE 116-1995); the weights come from the chroma of the standard."""
    _positive(k_L, k_C, k_H)
    lightness, chroma, hue, _ = cielab_parts(standard, trial)
    C_1 = hypot(standard[1], standard[2])
    return DifferenceParts(lightness / k_L, chroma / (k_C * (1 + K1 * C_1)), hue / (k_H * (1 + K2 * C_1)))


def cie94(
    standard: Lab,
    trial: Lab,
    k_L: float = 1,
    k_C: float = 1,
    k_H: float = 1,
    K1: float = 0.045,
    K2: float = 0.015,
) -> float:
    """CIE94 (CIE 116-1995). Not symmetric: the standard sets the weights.

    The defaults are those for surface colours; for textiles k_L = 2, K1 = 0.048, K2 = 0.014.
    Raises WrongUse for factors that are not positive and for coordinates that are not finite.
    """
    lightness, chroma, hue, _ = cie94_parts(standard, trial, k_L, k_C, k_H, K1, K2)
    return _finite(hypot(lightness, chroma, hue))


def ciede2000(lab1: Lab, lab2: Lab, k_L: float = 1, k_C: float = 1, k_H: float = 1) -> float:
    """CIEDE2000 (ISO/CIE 11664-6), symmetric in its two colours; at opposite hues as this module states.

    The formula was made for differences up to about 5. Raises WrongUse for factors that are not positive
    and for coordinates that are not finite.
    """
    if not k_L == k_C == k_H == 1:
        _positive(k_L, k_C, k_H)
    dL, dC, dH, S_L, S_C, S_H, R_T, *_ = _terms(lab1, lab2)
    lightness, chroma, hue = dL / (k_L * S_L), dC / (k_C * S_C), dH / (k_H * S_H)
    return _finite(sqrt(lightness * lightness + chroma * chroma + hue * hue + R_T * chroma * hue))


def ciede2000_parts(lab1: Lab, lab2: Lab, k_L: float = 1, k_C: float = 1, k_H: float = 1) -> DifferenceParts:
    """Weighted parts of CIEDE2000 from lab1 to lab2, with its rotation term R_T."""
    _positive(k_L, k_C, k_H)
    dL, dC, dH, S_L, S_C, S_H, R_T, *_ = _terms(lab1, lab2)
    return DifferenceParts(dL / (k_L * S_L), dC / (k_C * S_C), dH / (k_H * S_H), R_T)


def ciede2000_terms(lab1: Lab, lab2: Lab) -> CIEDE2000Terms:
    """Intermediate values of CIEDE2000, as in Sharma et al. 2005, table 1.

    Where one colour has no chroma the mean hue is that of the other, and 0 where neither has.
    """
    return CIEDE2000Terms(*_terms(lab1, lab2))


def difference_parts(
    formula: str, lab1: Lab, lab2: Lab, k_L: float = 1, k_C: float = 1, k_H: float = 1
) -> DifferenceParts:
    """Weighted parts under a named formula, as `difference` takes it."""
    if formula == "CIEDE2000":
        return ciede2000_parts(lab1, lab2, k_L, k_C, k_H)
    if formula == "CIE94":
        return cie94_parts(lab1, lab2, k_L, k_C, k_H)
    _must_be_cielab(formula, k_L, k_C, k_H)
    return cielab_parts(lab1, lab2)


def difference(formula: str, lab1: Lab, lab2: Lab, k_L: float = 1, k_C: float = 1, k_H: float = 1) -> float:
    """Difference under a named formula (one of FORMULAS); lab1 is the standard where that matters.

    CIELAB has no factors: other than 1 raises WrongUse, as does an unknown formula.
    """
    if formula == "CIEDE2000":
        return ciede2000(lab1, lab2, k_L, k_C, k_H)
    if formula == "CIE94":
        return cie94(lab1, lab2, k_L, k_C, k_H)
    _must_be_cielab(formula, k_L, k_C, k_H)
    return cielab_difference(lab1, lab2)


def _terms(lab1: Lab, lab2: Lab) -> tuple[float, ...]:
    """In the order of CIEDE2000Terms; a plain tuple because this is what a check spends its time in."""
    L1, a1, b1 = lab1
    L2, a2, b2 = lab2
    C = (sqrt(a1 * a1 + b1 * b1) + sqrt(a2 * a2 + b2 * b2)) / 2
    stretch = 1.5 - _chroma_ratio(C) / 2
    A_1, A_2 = stretch * a1, stretch * a2
    C_1, C_2 = sqrt(A_1 * A_1 + b1 * b1), sqrt(A_2 * A_2 + b2 * b2)
    mean_C = (C_1 + C_2) / 2
    dH, c, s = 0.0, 1.0, 0.0
    if C_1 * C_2 > NO_HUE:
        dH, c, s = _hue_part(A_1, b1, C_1, A_2, b2, C_2, a1 * b2, a2 * b1, stretch)
    elif mean_C:
        c, s = (A_1 + A_2) / (C_1 + C_2), (b1 + b2) / (C_1 + C_2)
    T = _hue_weight(c, s)
    turns = atan2(s, c) * HUE_UNITS
    if turns < -BELOW_ZERO:
        turns += TURN
    off_grey = (L1 + L2) / 2 - 50
    off_grey *= off_grey
    return (
        L2 - L1,
        C_2 - C_1,
        dH,
        1 + 0.015 * off_grey / sqrt(20 + off_grey),
        1 + 0.045 * mean_C,
        1 + 0.015 * mean_C * T,
        -2 * _chroma_ratio(mean_C) * sin(SIXTY * exp(-(turns - 11) * (turns - 11))),
        stretch - 1,
        T,
        turns * 25,
    )


def _hue_part(
    a1: float, b1: float, C_1: float, a2: float, b2: float, C_2: float, p: float, q: float, stretch: float = 1
) -> tuple[float, float, float]:
    """Signed hue difference 2 sqrt(C_1 C_2) sin(half the angle), and cosine and sine of the mean hue.

    p = a1 b2 and q = a2 b1 before stretching decide the sense of the turn. Below 90 degrees the half angle
    comes from the cross product, above from the scalar product, each where it does not cancel; the same
    holds for sum and difference of the unit vectors, which give the bisector.
    """
    CC, dot = C_1 * C_2, a1 * a2 + b1 * b2
    x1, y1, x2, y2 = a1 / C_1, b1 / C_1, a2 / C_2, b2 / C_2
    if dot > 0:
        hue, c, s = stretch * (p - q) * sqrt(2 / (CC + dot)), x1 + x2, y1 + y2
    else:
        hue, c, s = sqrt(2 * (CC - dot)), y2 - y1, x1 - x2
        opposite = abs(p - q) <= OPPOSITE * (abs(p) + abs(q))
        if not ((b1 > 0 or (b1 == 0 and a1 > 0)) if opposite else p > q):
            hue, c, s = -hue, -c, -s
    length = sqrt(c * c + s * s)
    return hue, c / length, s / length


def _hue_weight(c: float, s: float) -> float:
    """T of ISO/CIE 11664-6 from cosine and sine of the mean hue, by the formulas for multiple angles."""
    c2, s2 = 2 * c * c - 1, 2 * s * c
    c3, s3 = c2 * c - s2 * s, s2 * c + c2 * s
    c4, s4 = 2 * c2 * c2 - 1, 2 * s2 * c2
    one, three, four = c * COS_30 + s * SIN_30, c3 * COS_6 - s3 * SIN_6, c4 * COS_63 + s4 * SIN_63
    return 1 - 0.17 * one + 0.24 * c2 + 0.32 * three - 0.2 * four


def _chroma_ratio(C: float) -> float:
    """sqrt(C^7 / (C^7 + 25^7))."""
    C7 = C * C
    C7 = C7 * C7 * C7 * C
    return sqrt(C7 / (C7 + TWENTY_FIVE_7))


def _positive(*factors: float) -> None:
    for factor in factors:
        if not 0 < factor < inf:
            raise WrongUse(f"a parametric factor must be a positive number, not {factor!r}")


def _must_be_cielab(formula: str, k_L: float, k_C: float, k_H: float) -> None:
    if formula != "CIELAB":
        raise WrongUse(f"unknown difference formula {formula!r}: use one of {', '.join(FORMULAS)}")
    if not k_L == k_C == k_H == 1:
        raise WrongUse("CIELAB has no factors: k_L, k_C and k_H must be 1")


def _finite(value: float) -> float:
    if not value < inf:
        raise WrongUse("a colour coordinate is not a finite number, or far outside any colour")
    return value
