"""How sure a difference is from the repeats behind its two colours."""

from collections.abc import Mapping
from math import sqrt
from typing import Any, Final, NamedTuple

from shadefmt.chain.colours import Triple, factors_fit
from shadefmt.chain.comparisons import factors_of, sides
from shadefmt.chain.means import inputs
from shadefmt.colour.budget import Setting
from shadefmt.colour.covariances import Covariance, Vector
from shadefmt.colour.formula import Formula, noise_variances
from shadefmt.colour.repeats import covariance
from shadefmt.colour.uncertainty import DifferenceUncertainty, combined, linear_uncertainty, scalar_uncertainty
from shadefmt.indexing import CaseView, Located
from shadefmt.model.judging import Comparison
from shadefmt.model.measuring import Mean

FEWEST_REPEATS = 3
"""Readings from which a covariance is taken at all."""

REPEATABILITY: Final = "repeatability"
"""Source that repeats show."""

NEAR_ZERO = 0.05
"""Difference below which a distance has no usable derivative."""


def mean_behind(view: CaseView, located: Located | None) -> Mean | None:
    """Return the mean that a colour is, or that a target was taken from."""
    if located is not None and located.list_name == "targets" and located.entry.source_id:
        located = view.entries.get(located.entry.source_id)
    return located.entry if located is not None and isinstance(located.entry, Mean) else None


class Repeats(NamedTuple):
    """What the repeats of two colours say of their difference.

    `standard` is its standard uncertainty, `noise` the variances along the principal axes of the formula at the
    colours, in squared units of the difference.
    """

    standard: float
    noise: Vector


def repeats_of(pair: tuple[Triple, Triple], spreads: tuple[Covariance, Covariance], by: Formula) -> Repeats:
    """Return what the covariances of two colours say of their difference (JCGM 100, 5.2.2).

    Near zero, where a distance has no derivative, the direction in which the repeats scatter most is taken.
    """
    middle = tuple((one + two) / 2 for one, two in zip(*pair, strict=True))
    noise = noise_variances(middle, spreads[0].plus(spreads[1]), by)
    near = by(*pair) < NEAR_ZERO
    return Repeats(sqrt(max(*noise, 0.0)) if near else linear_uncertainty(*pair, *spreads, by=by), noise)


def repeats(view: CaseView, comparison: Comparison) -> Repeats | None:
    """Return what the repeats behind both sides say; None where one is no mean of at least three readings."""
    pair = sides(view, comparison)
    first, second = (spread_of_mean(view, mean_behind(view, view.entries.get(each))) for each in _named(comparison))
    if pair is None or first is None or second is None or not factors_fit(comparison.formula, factors_of(comparison)):
        return None
    return repeats_of(pair, (first, second), Formula(comparison.formula, *factors_of(comparison)))


def repeatability(view: CaseView, comparison: Comparison) -> float | None:
    """Return the standard uncertainty of a difference that the repeats alone account for, None as `repeats`."""
    found = repeats(view, comparison)
    return found.standard if found is not None else None


def stated_uncertainty(
    difference: float, parts: Mapping[str, float], repeats: Repeats | None, coverage_factor: float = 2
) -> DifferenceUncertainty:
    """Return the expanded uncertainty to state of a difference, from standard uncertainties by source.

    What is known as a number only is taken alike in every direction; the repeats scatter as they do.
    """
    whole, noise = combined(parts.values()), None
    if repeats is not None and REPEATABILITY in parts:
        even = sum(size * size for source, size in parts.items() if source != REPEATABILITY)
        noise = (repeats.noise[0] + even, repeats.noise[1] + even, repeats.noise[2] + even)
    return scalar_uncertainty(difference, whole, coverage_factor, noise)


def _named(comparison: Comparison) -> tuple[str, str]:
    return comparison.standard_id, comparison.trial_id


def spread_of_mean(view: CaseView, mean: Mean | None) -> Covariance | None:
    """Return the covariance of a mean from its readings, None for fewer than three."""
    labs = [each.lab for each in inputs(view, mean) if each.lab is not None] if mean is not None else []
    return covariance(labs, "mean") if len(labs) >= FEWEST_REPEATS else None


SHARED_SOURCES: Final = frozenset({"inter-instrument", "reference", "drift"})
"""Sources whose error is the same for both colours where one instrument read both in one session."""


def setting_of(view: CaseView, comparison: Comparison) -> Setting:
    """Return what decides whether errors that both colours share drop out of their difference."""
    sides = [view.readings_behind(view.entries.get(each)) for each in _named(comparison)]
    instruments = [view.instrument_ids(each) for each in sides]
    sessions = [{reading.session_id for reading in each} for each in sides]
    kinds = [{s.kind for reading in each if (s := view.specimen_of(reading)) is not None} for each in sides]
    return Setting(
        one_instrument=_one(instruments),
        one_session=_one(sessions),
        like_specimens=_one(kinds),
        bridged=view.bridged(instruments[0] | instruments[1]) and None not in instruments[0] | instruments[1],
    )


def _one(sides: list[set[Any]]) -> bool:
    """Return whether both sides name one and the same thing."""
    return sides[0] == sides[1] and len(sides[0]) == 1 and None not in sides[0]
