"""Which way a trial lies from its standard, in words; without numpy.

Words for lightness and chroma are those of the trade and of ASTM D2244: lighter, darker, stronger, paler. A
hue word names the axis of the CIELAB plane that the turn leads towards: red, yellow, green, blue. Teeth lie
between red and yellow and just beyond, so up to 105 degrees a turn is still called redder or yellower (common
practice, no source). A turn moves the colour towards that axis in hue only: a whitened tooth turns towards
yellow while its b* falls, and whoever builds it up hears "yellower" as more yellow. So the word stands only where
the coordinate of its axis grows; elsewhere the turn is named by what is lost, "less red". Near grey, and where
hues lie more than 90 degrees apart, chroma and hue say little; the shifts along a* and b* are named instead.
"""

from math import atan2, degrees, hypot
from typing import Final, NamedTuple

from shadefmt.colour.difference_single import Lab, cielab_parts, difference_parts
from shadefmt.colour.formula import CIEDE2000, Formula
from shadefmt.errors import WrongUse

# The project's own choice, no source: a part this small (in units of the formula) gets no word.
THRESHOLD: Final = 0.3
# Below this C*ab a hue angle is mostly noise (own choice, no source).
NEAR_GREY: Final = 2.0
SECTORS: Final = ((105.0, "redder", "yellower"), (180.0, "yellower", "greener"), (270.0, "greener", "bluer"))
LAST_SECTOR: Final = ("bluer", "redder")
# Where each hue word's axis lies: coordinate and sign.
AXES: Final = {"redder": (1, 1), "yellower": (2, 1), "greener": (1, -1), "bluer": (2, -1)}
LOST: Final = {"redder": "less red", "yellower": "less yellow", "greener": "less green", "bluer": "less blue"}


class Shift(NamedTuple):
    """A word, and how much of the difference stands behind it, in units of the formula (always positive)."""

    word: str
    amount: float


class Deltas(NamedTuple):
    """Trial minus standard in CIELAB; delta_H is delta H*ab, positive for a rising hue angle."""

    delta_L: float
    delta_a: float
    delta_b: float
    delta_C: float
    delta_H: float


def deltas(standard: Lab, trial: Lab) -> Deltas:
    """Differences in L*, a*, b*, C*ab and H*ab (ISO/CIE 11664-4)."""
    lightness, chroma, hue, _ = cielab_parts(standard, trial)
    return Deltas(lightness, trial[1] - standard[1], trial[2] - standard[2], chroma, hue)


def direction(standard: Lab, trial: Lab, threshold: float = THRESHOLD, by: Formula = CIEDE2000) -> tuple[Shift, ...]:
    """Words for the parts of the difference that reach `threshold`, the heaviest first; empty for none.

    Weights are the parts of the formula. Ties keep the order lightness, chroma, hue. Raises WrongUse for a
    negative threshold and as the formula does.
    """
    if not threshold >= 0:
        raise WrongUse(f"a threshold of zero or more is meant, not {threshold!r}")
    by(standard, trial)
    lightness, chroma, hue, _ = difference_parts(by.name, standard, trial, by.k_L, by.k_C, by.k_H)
    shifts = [_shift(lightness, "darker", "lighter")]
    dot = standard[1] * trial[1] + standard[2] * trial[2]
    grey = min(hypot(*standard[1:3]), hypot(*trial[1:3])) < NEAR_GREY
    if grey or dot < 0:
        shifts += _along_axes(standard, trial, hypot(chroma, hue))
    else:
        shifts += [_shift(chroma, "paler", "stronger"), _turn(standard, trial, hue)]
    heavy = [shift for shift in shifts if shift.amount >= threshold and shift.amount > 0]
    return tuple(sorted(heavy, key=lambda shift: -shift.amount))


def words(standard: Lab, trial: Lab, threshold: float = THRESHOLD, by: Formula = CIEDE2000) -> tuple[str, ...]:
    """The words of `direction` alone."""
    return tuple(shift.word for shift in direction(standard, trial, threshold, by))


def hue_words(standard: Lab, trial: Lab) -> tuple[str, str]:
    """Words for a falling and for a rising hue angle, at the mean hue of two colours with chroma."""
    C_1, C_2 = hypot(*standard[1:3]), hypot(*trial[1:3])
    if C_1 == 0 or C_2 == 0:
        raise WrongUse("a colour without chroma has no hue")
    across = standard[2] / C_1 + trial[2] / C_2
    along = standard[1] / C_1 + trial[1] / C_2
    hue = degrees(atan2(across, along)) % 360
    for end, falling, rising in SECTORS:
        if hue < end:
            return falling, rising
    return LAST_SECTOR


def _along_axes(standard: Lab, trial: Lab, amount: float) -> list[Shift]:
    """The part of the difference in the a*-b* plane, shared out over its axes by their CIELAB shifts."""
    shift_a, shift_b = trial[1] - standard[1], trial[2] - standard[2]
    length = hypot(shift_a, shift_b) or 1.0
    return [
        _shift(amount * shift_a / length, "greener", "redder"),
        _shift(amount * shift_b / length, "bluer", "yellower"),
    ]


def _turn(standard: Lab, trial: Lab, hue: float) -> Shift:
    """The hue part in a word: the axis ahead where its coordinate grows, else the axis behind where that falls.

    Just beyond yellow, where chroma changes several times over, neither may hold: then it is true of the hue only.
    """
    falling, rising = hue_words(standard, trial)
    ahead, behind = (rising, falling) if hue > 0 else (falling, rising)
    grown, lost = (sign * (trial[axis] - standard[axis]) for axis, sign in (AXES[ahead], AXES[behind]))
    return Shift(ahead if grown > 0 else LOST[behind] if lost <= 0 else f"{ahead} in hue", abs(hue))


def _shift(part: float, less: str, more: str) -> Shift:
    return Shift(more if part > 0 else less, abs(part))
