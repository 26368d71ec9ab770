"""How sure a difference is from the repeats behind its two colours."""

from math import sqrt
from typing import Any, Final

from shadefmt.chain.colours import factors_fit
from shadefmt.chain.comparisons import factors_of, sides
from shadefmt.chain.means import inputs
from shadefmt.colour.budget import Setting
from shadefmt.colour.covariances import Covariance
from shadefmt.colour.formula import Formula, noise_variances
from shadefmt.colour.repeats import covariance
from shadefmt.colour.uncertainty import linear_uncertainty
from shadefmt.indexing import CaseView, Located
from shadefmt.model.judging import Comparison
from shadefmt.model.measuring import Mean

FEWEST_REPEATS = 3
"""Readings from which a covariance is taken at all."""

NEAR_ZERO = 0.05
"""Difference below which a distance has no usable derivative."""


def mean_behind(view: CaseView, located: Located | None) -> Mean | None:
    """Return the mean that a colour is, or that a target was taken from."""
    if located is not None and located.list_name == "targets" and located.entry.source_id:
        located = view.entries.get(located.entry.source_id)
    return located.entry if located is not None and isinstance(located.entry, Mean) else None


def repeatability(view: CaseView, comparison: Comparison) -> float | None:
    """Return the standard uncertainty of a difference that the repeats alone account for (JCGM 100, 5.2.2).

    Near zero, where a distance has no derivative, the direction in which the repeats scatter most is taken.
    None where a side is no mean of at least three readings.
    """
    pair = sides(view, comparison)
    first, second = (spread_of_mean(view, mean_behind(view, view.entries.get(each))) for each in _named(comparison))
    if pair is None or first is None or second is None or not factors_fit(comparison.formula, factors_of(comparison)):
        return None
    by = Formula(comparison.formula, *factors_of(comparison))
    if by(*pair) < NEAR_ZERO:
        return sqrt(max(*noise_variances(pair[0], first.plus(second), by), 0.0))
    return linear_uncertainty(*pair, first, second, by=by)


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
