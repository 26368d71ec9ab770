"""The kinds of damage by name."""

import random
from collections.abc import Callable
from typing import Final

from shadefmt.damaging import claims, numbers
from shadefmt.damaging.damage import Damage

ILLUMINANTS: Final = ("A", "C", "D50", "D55", "D75", "FL2", "FL7", "FL11")

KINDS: Final[dict[str, tuple[str, Callable[[Damage, random.Random], None]]]] = {
    "illuminant-relabelled": ("a colour was given another illuminant", numbers.relabelled("illuminant", ILLUMINANTS)),
    "observer-relabelled": ("a colour was given another observer", numbers.relabelled("observer", ("10-degree",))),
    "spectrum-in-percent": ("a spectrum was written in percent", numbers.percent),
    "reading-retyped": ("a digit of a reading was mistyped", numbers.retyped_reading),
    "mean-retyped": ("a digit of a mean was mistyped", numbers.retyped_mean),
    "mean-of-others": ("a mean was taken over other readings", numbers.mean_of_others),
    "coordinates-reordered": ("coordinates were exchanged", numbers.reordered),
    "sign-flipped": ("a coordinate lost its sign", numbers.flipped_sign),
    "difference-retyped": ("a digit of a difference was mistyped", claims.retyped_difference),
    "calibration-late": ("a calibration was dated after its readings", claims.late_calibration),
    "calibration-failed": ("a calibration was marked as not accepted", claims.failed_calibration),
    "barrier-other": ("the barrier was not the same for calibration and readings", claims.other_barrier),
    "reading-withdrawn": ("a reading was withdrawn and left in its mean", numbers.withdrawn),
    "divisor-other": ("a variance was divided by n", numbers.other_divisor),
    "limit-of-other-formula": ("the limit was made one of another formula", claims.other_formula),
    "limit-of-other-tissue": ("the limit was made one of another tissue", claims.other_tissue),
    "limit-agreed-late": ("the limit was agreed after the work was read", claims.late_agreement),
    "tooth-other": ("the stump was put on another tooth", claims.wrong_tooth),
    "id-dangling": ("a comparison was pointed at nothing", claims.dangling),
    "id-reused": ("a reading took the id of another", claims.reused),
    "digest-other": ("the digest of the first revision was changed", claims.other_digest),
    "reference-as-reading": ("the colour of a reference was entered as a measurement", claims.copied_reference),
    "geometry-mixed": ("an instrument was given another geometry", claims.mixed_geometry),
    "spread-of-one": ("a spread was stated for one reading", numbers.spread_of_one),
    "pseudonym-record-number": ("the pseudonym was replaced by a record number", claims.record_number),
    "verdict-turned": ("a verdict was turned into one that conforms", claims.turned_verdict),
    "direction-turned": ("a direction was turned round", claims.turned_direction),
    "component-dropped": ("a component of an uncertainty was dropped", claims.narrow_uncertainty),
    "target-moved": ("a target was moved to another specimen", claims.moved_target),
}
"""Kinds of damage: what was done, in words, and how."""
