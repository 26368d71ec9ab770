"""Pairs of colours that tests of difference formulas share, and the formula read literally from its paper."""

from fractions import Fraction
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt
from pathlib import Path

import numpy as np

DATA = Path(__file__).parent / "data"

# Near-grey colours on a decimal lattice: hundreds of pairs have exactly opposite hues, many of which (0.3, 0.9
# against -0.2, -0.6) are not opposite for products or angles rounded in binary.
STEPS = (-9, -6, -3, -2, -1, 0, 1, 2, 3, 6, 9)
LATTICE = [(50.0, a / 10, b / 10) for a in STEPS for b in STEPS]


def published_pairs():
    """Rows of Sharma, Wu and Dalal 2005, table 1, as dicts by column name."""
    lines = [line for line in (DATA / "ciede2000-pairs.txt").read_text().splitlines() if line[0] != "#"]
    names = lines[0].split()
    return [dict(zip(names, map(float, line.split()), strict=True)) for line in lines[1:]]


def all_hues(step=5):
    """Two arrays of colours: hues all round in steps, four chromas, against seven turns and three shifts.

    The start keeps mean hues off 0 degrees, where the formula jumps and rounding would choose the side.
    """
    hue, chroma, turn, shift = np.meshgrid(
        np.arange(0.7, 360, step), [0.4, 6, 25, 90], [0, 1, 30, 100, 170, 190, 330], [-15, 0.3, 4], indexing="ij"
    )
    second = np.abs(chroma + shift)

    def lab(L, C, degree):
        return np.stack([L, C * np.cos(np.radians(degree)), C * np.sin(np.radians(degree))], axis=-1)

    return lab(50 + chroma / 4, chroma, hue), lab(50 + chroma / 4 + shift, second, hue + turn)


def opposite(lab1, lab2):
    """Whether two colours with chroma, as written in decimals, have exactly opposite hues."""
    a1, b1, a2, b2 = (Fraction(repr(value)) for value in (*lab1[1:], *lab2[1:]))
    return a1 * b2 == a2 * b1 and a1 * a2 + b1 * b2 < 0


def literal(lab1, lab2, other_arc=False):
    """CIEDE2000 as Sharma et al. write it in equations 2 to 22, opposite hues being told by exact arithmetic.

    `other_arc` takes the mean hue on the far side, which the paper does not do.
    """
    (L1, a1, b1), (L2, a2, b2) = lab1, lab2
    mean_c = (hypot(a1, b1) + hypot(a2, b2)) / 2
    g = 0.5 * (1 - sqrt(mean_c**7 / (mean_c**7 + 25**7)))
    A_1, A_2 = (1 + g) * a1, (1 + g) * a2
    C_1, C_2 = hypot(A_1, b1), hypot(A_2, b2)
    h1, h2 = (degrees(atan2(b, a)) % 360 if a or b else 0.0 for a, b in ((A_1, b1), (A_2, b2)))
    if C_1 * C_2 == 0:
        turn, mean_h = 0.0, h1 + h2
    elif opposite(lab1, lab2) or abs(h2 - h1) <= 180:
        turn, mean_h = h2 - h1, (h1 + h2) / 2
    else:
        turn = h2 - h1 - 360 if h2 > h1 else h2 - h1 + 360
        mean_h = (h1 + h2 + 360) / 2 if h1 + h2 < 360 else (h1 + h2 - 360) / 2
    if other_arc:
        turn, mean_h = -turn, (mean_h + 180) % 360
    dL, dC, dH = L2 - L1, C_2 - C_1, 2 * sqrt(C_1 * C_2) * sin(radians(turn / 2))
    mean_L, mean_C = (L1 + L2) / 2, (C_1 + C_2) / 2
    waves = ((-0.17, 1, -30), (0.24, 2, 0), (0.32, 3, 6), (-0.20, 4, -63))
    T = 1 + sum(size * cos(radians(n * mean_h + shift)) for size, n, shift in waves)
    S_L = 1 + 0.015 * (mean_L - 50) ** 2 / sqrt(20 + (mean_L - 50) ** 2)
    S_C, S_H = 1 + 0.045 * mean_C, 1 + 0.015 * mean_C * T
    R_C = 2 * sqrt(mean_C**7 / (mean_C**7 + 25**7))
    R_T = -sin(radians(60 * exp(-(((mean_h - 275) / 25) ** 2)))) * R_C
    return sqrt((dL / S_L) ** 2 + (dC / S_C) ** 2 + (dH / S_H) ** 2 + R_T * dC / S_C * dH / S_H)
