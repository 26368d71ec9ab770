"""The arithmetic of colour differences over blocks of six coordinate columns, in place where it pays.

Blocks stay in the cache; only one arc cosine and one exponential are taken a pair, and none where the
hue-dependent rotation of CIEDE2000 is below 1e-15. Why hues are handled by products: `difference_single`.
"""

from collections.abc import Callable
from math import cos, degrees, factorial, pi, radians, sin
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from shadefmt.colour.difference_single import BELOW_ZERO, NO_HUE, OPPOSITE, TWENTY_FIVE_7
from shadefmt.errors import WrongUse

Array = NDArray[np.float64]
Block = Callable[..., tuple[Array, ...]]

BLOCK: Final = 16384
READ: Final[list[Literal["readonly"]]] = ["readonly"]
WRITE: Final[list[Literal["writeonly"]]] = ["writeonly"]
# cos 123 degrees: at mean hues from 0 to 123 the rotation angle is below 60 exp(-(152/25)^2) = 5e-15 degrees.
NO_ROTATION: Final = -0.545
AT_ZERO: Final = BELOW_ZERO * radians(25)
COS_275, SIN_275, COS_95 = cos(radians(275)), sin(radians(275)), cos(radians(95))
SERIES: Final = tuple((-1) ** k / factorial(2 * k + 1) for k in range(9, -1, -1))
COS_3, SIN_3 = 0.32 * cos(radians(6)), 0.32 * sin(radians(6))
COS_4, SIN_4 = 0.4 * cos(radians(63)), 0.4 * sin(radians(63))
COS_1, SIN_1 = 0.17 * cos(radians(30)), 0.17 * sin(radians(30))


def run(block: Block, results: int, lab1: Array, lab2: Array) -> tuple[Array, ...]:
    """Apply `block` to broadcast columns (L1, a1, b1, L2, a2, b2), a block at a time; `results` arrays."""
    columns = [lab[..., i] for lab in (lab1, lab2) for i in range(3)]
    try:
        shape = np.broadcast_shapes(lab1.shape, lab2.shape)[:-1]
    except ValueError:
        raise WrongUse(f"arrays of shapes {lab1.shape} and {lab2.shape} do not broadcast") from None
    outs = [np.empty(shape) for _ in range(results)]
    walk = np.nditer(
        [*columns, *outs],
        flags=["external_loop", "buffered", "zerosize_ok"],
        op_flags=[READ] * 6 + [WRITE] * results,
        buffersize=BLOCK,
        order="C",
    )
    with walk, np.errstate(over="ignore", invalid="ignore", divide="ignore", under="ignore"):
        for operands in walk:
            for out, value in zip(operands[6:], block(*operands[:6]), strict=True):
                out[...] = value
    return tuple(out[()] for out in outs)


def cielab_total(L1: Array, a1: Array, b1: Array, L2: Array, a2: Array, b2: Array) -> tuple[Array]:
    """CIELAB difference."""
    total = L2 - L1
    total *= total
    for first, second in ((a1, a2), (b1, b2)):
        step = second - first
        step *= step
        total += step
    return (np.sqrt(total, out=total),)


def cielab_parts(L1: Array, a1: Array, b1: Array, L2: Array, a2: Array, b2: Array) -> tuple[Array, ...]:
    """Lightness, chroma and hue differences of CIELAB, and no rotation."""
    C_1, C_2 = _chroma(a1, b1), _chroma(a2, b2)
    hue, _, _ = _mean_hue(a1, b1, C_1, a2, b2, C_2, a1 * b2, a2 * b1, np.ones_like(a1))
    return L2 - L1, C_2 - C_1, hue, np.zeros_like(L1)


def ciede2000_total(
    L1: Array, a1: Array, b1: Array, L2: Array, a2: Array, b2: Array, k_L: float, k_C: float, k_H: float
) -> tuple[Array]:
    """CIEDE2000."""
    total, chroma, hue, rotation = ciede2000_parts(L1, a1, b1, L2, a2, b2, k_L, k_C, k_H)
    total *= total
    if rotation.size == total.size:
        rotation *= chroma
        rotation *= hue
        total += rotation
    chroma *= chroma
    total += chroma
    hue *= hue
    total += hue
    return (np.sqrt(total, out=total),)


def ciede2000_parts(
    L1: Array, a1: Array, b1: Array, L2: Array, a2: Array, b2: Array, k_L: float, k_C: float, k_H: float
) -> tuple[Array, ...]:
    """Weighted lightness, chroma, hue, and the rotation term (of size 1, and zero, where none matters)."""
    stretch = _chroma(a1, b1)
    stretch += _chroma(a2, b2)
    stretch = _chroma_ratio(stretch, 0.5)
    stretch *= -0.5
    stretch += 1.5
    A_1, A_2 = stretch * a1, stretch * a2
    C_1, C_2 = _chroma(A_1, b1), _chroma(A_2, b2)
    hue, c, s = _mean_hue(A_1, b1, C_1, A_2, b2, C_2, a1 * b2, a2 * b1, stretch)
    sum_C = C_1 + C_2
    rotation = _rotation(c, s, sum_C)
    weight = _hue_weight(c, s)
    weight *= sum_C
    weight *= 0.0075 * k_H
    weight += k_H
    hue /= weight
    chroma = np.subtract(C_2, C_1, out=C_2)
    sum_C *= 0.0225 * k_C
    sum_C += k_C
    chroma /= sum_C
    return _lightness(L1, L2, k_L), chroma, hue, rotation


def _lightness(L1: Array, L2: Array, k_L: float) -> Array:
    weight = L1 + L2
    weight *= 0.5
    weight -= 50
    weight *= weight
    root = weight + 20
    np.sqrt(root, out=root)
    weight *= 0.015 * k_L
    weight /= root
    weight += k_L
    return np.divide(L2 - L1, weight, out=weight)


def _chroma(a: Array, b: Array) -> Array:
    C, square = a * a, b * b
    C += square
    return np.sqrt(C, out=C)


def _chroma_ratio(sum_C: Array, half: float) -> Array:
    """sqrt(C^7 / (C^7 + 25^7)) with C = half * sum_C."""
    C = sum_C * half
    C_2 = C * C
    C7 = C_2 * C_2
    C7 *= C_2
    C7 *= C
    np.add(C7, TWENTY_FIVE_7, out=C_2)
    C7 /= C_2
    return np.sqrt(C7, out=C7)


def _mean_hue(
    a1: Array, b1: Array, C_1: Array, a2: Array, b2: Array, C_2: Array, p: Array, q: Array, stretch: Array
) -> tuple[Array, Array, Array]:
    """Signed hue difference, cosine and sine of the mean hue; as `difference_single` does for one pair."""
    CC, root = C_1 * C_2, a1 * a2
    root += b1 * b2
    wide = np.flatnonzero(root <= 0)
    np.abs(root, out=root)
    root += CC
    root *= 2
    np.sqrt(root, out=root)
    u, v, x, y = a1 * C_2, a2 * C_1, b1 * C_2, b2 * C_1
    c, s, hue = u + v, x + y, p - q
    hue *= stretch
    hue *= 2
    hue /= root
    if wide.size:
        sense = _sense(a1[wide], b1[wide], p[wide], q[wide])
        hue[wide] = sense * root[wide]
        c[wide] = sense * (y[wide] - x[wide])
        s[wide] = sense * (u[wide] - v[wide])
    if not CC.min() > NO_HUE:
        grey = np.flatnonzero(CC <= NO_HUE)
        length = C_1[grey] + C_2[grey]
        length[length == 0] = np.inf
        hue[grey], CC[grey], root[grey] = 0, 1, 1
        c[grey], s[grey] = (a1[grey] + a2[grey]) / length, (b1[grey] + b2[grey]) / length
        c[grey] += np.isinf(length)
    np.sqrt(CC, out=CC)
    CC *= root
    c /= CC
    s /= CC
    return hue, c, s


def _sense(a1: Array, b1: Array, p: Array, q: Array) -> Array:
    """+1 where the shorter way from the first hue to the second is a rising angle, else -1."""
    rising = p > q
    opposite = np.abs(p - q) <= OPPOSITE * (np.abs(p) + np.abs(q))
    if opposite.any():
        rising = np.where(opposite, (b1 > 0) | ((b1 == 0) & (a1 > 0)), rising)
    return np.where(rising, 1.0, -1.0)


def _hue_weight(c: Array, s: Array) -> Array:
    """T of ISO/CIE 11664-6, gathered as (..) c + (..) s + (..) c2 + .. in cosines and sines of h and 2 h."""
    c2, s2 = c * c, s * c
    c2 *= 2
    c2 -= 1
    s2 *= 2
    T = c2 * COS_3
    T -= s2 * SIN_3
    T -= COS_1
    T *= c
    part = s2 * -COS_3
    part -= c2 * SIN_3
    part -= SIN_1
    part *= s
    T += part
    part = c2 * -COS_4
    s2 *= SIN_4
    part -= s2
    part += 0.24
    part *= c2
    T += part
    T += 1 + COS_4 / 2
    return T


def _rotation(c: Array, s: Array, sum_C: Array) -> Array:
    """R_T. The distance of the mean hue from 275 degrees is taken around the circle, which is the distance
    meant from 95 to 360 degrees; below 95 the true one is above 180 and the rotation less than 1e-20.
    """
    if not ((s < -AT_ZERO) | (c < NO_ROTATION)).any():
        return np.zeros(1)
    angle, part = c * COS_275, s * SIN_275
    angle += part
    np.minimum(angle, 1, out=angle)
    np.maximum(angle, -1, out=angle)
    np.arccos(angle, out=angle)
    angle *= degrees(1) / 25
    angle *= angle
    np.negative(angle, out=angle)
    np.exp(angle, out=angle)
    angle[(s >= -AT_ZERO) & (c > COS_95)] = 0
    angle *= pi / 3
    _sine(angle, part)
    part *= -2
    part *= _chroma_ratio(sum_C, 0.5)
    return part


def _sine(x: Array, out: Array) -> None:
    """Sine of 0 <= x <= pi / 3 by its power series; the first term left out is below 1e-19 of x."""
    square = x * x
    out[...] = SERIES[0]
    for coefficient in SERIES[1:]:
        out *= square
        out += coefficient
    out *= x
