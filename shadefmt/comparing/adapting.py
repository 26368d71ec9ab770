"""A side brought to another illuminant or observer without a spectrum: an approximation, never judged.

What the error estimate holds for, and on what it rests: `colour.adaptation`.
"""

from dataclasses import replace
from typing import Any

from shadefmt.chain.colours import lab_of
from shadefmt.colour.adaptation import REGION_LIMITS, Adapted, Condition, adapt_lab
from shadefmt.comparing.sides import Side
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView

Value = dict[str, Any]

ORDER = ("instrument", "computed", "typed", "copied")
"""Which of several colours of an entry is adapted."""


def adapted_side(side: Side, source: Condition, target: Condition, method: str) -> Side:
    """Return a side, known under `source`, estimated for `target`; unchanged where both are the same.

    Its spread is left out: repeats say nothing of how far the adaptation is off.
    """
    found = adapt_lab(side.lab, source, target, method)
    return replace(side, lab=found.lab, spread=None, adapted=_account(found, source)) if found.approximate else side


def adapted_entry(view: CaseView, entry_id: str, target: Condition, method: str) -> Side:
    """Return the colour that an entry has under another condition, estimated for `target`.

    Raises:
        WrongUse: there is no such entry, or it has no CIELAB colour of a known illuminant and observer.
    """
    located = view.entries.get(entry_id)
    known = [
        each
        for each in (view.colours(located) if located is not None else [])
        if each.lab is not None and "unknown" not in (each.illuminant, each.observer)
    ]
    if not known:
        raise WrongUse(f"{entry_id} has no CIELAB colour of a known illuminant and observer to adapt")
    colour = min(known, key=lambda each: ORDER.index(each.origin))
    assert colour.lab is not None
    readings = view.readings_behind(located)
    instruments = frozenset(each for each in view.instrument_ids(readings) if each is not None)
    side = Side(entry_id, lab_of(colour.lab), None, instruments)
    return adapted_side(side, (colour.illuminant, colour.observer), target, method)


def _account(found: Adapted, source: Condition) -> Value:
    """Return what a reader needs to judge the approximation; without an estimate it says that none holds."""
    account: Value = {"from": ", ".join(source), "method": found.method, "lab": list(found.lab)}
    if found.error is None:
        return account | {"error": "no estimate: the colour lies outside the ranges that were measured"}
    error = found.error
    return account | {
        "error": {"mean": error.mean, "p95": error.p95, "largest": error.largest, "formula": "CIEDE2000"},
        "range": f"{error.region}: {REGION_LIMITS[error.region]}",
        "spectra": {"published": error.published_spectra, "synthetic": error.synthetic_spectra},
    }
