"""One side of a comparison, from a case or typed, and what two sides give."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import sqrt
from typing import Any, get_args

from shadefmt.chain.colours import Triple, expected_from_spectrum, lab_of
from shadefmt.chain.means import inputs
from shadefmt.chain.uncertainties import (
    FEWEST_REPEATS,
    REPEATABILITY,
    mean_behind,
    repeats_of,
    stated_uncertainty,
)
from shadefmt.colour.covariances import Covariance
from shadefmt.colour.decisions import CONFORMS, DOES_NOT_CONFORM, decide, outlook, probability_of_conformity
from shadefmt.colour.direction import deltas, words
from shadefmt.colour.formula import Formula
from shadefmt.colour.repeats import covariance
from shadefmt.colour.uncertainty import combined
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView
from shadefmt.limits import MAX_NUMBER
from shadefmt.model.colours import Spectrum
from shadefmt.vocabulary import Obstacle

Value = dict[str, Any]


class NoColour(WrongUse):
    """An entry has no colour for the illuminant and observer asked for, and no spectrum to compute it from."""


@dataclass(frozen=True)
class Side:
    """A colour with what is known of its spread and of the instrument; `spectrum` where one stands behind it.

    `readings` is how many a spread was found from. `adapted` is the account of a chromatic adaptation where the
    colour is only estimated for its basis.
    """

    name: str
    lab: Triple
    spread: Covariance | None = None
    instruments: frozenset[str] = frozenset()
    spectrum: Spectrum | None = None
    adapted: Value | None = None
    readings: int = 0


@dataclass(frozen=True)
class Limit:
    """A limit and the rule that it is applied by."""

    at_most: float
    rule: str = "simple"


def typed_side(text: str, name: str) -> Side:
    """Return a side from `L,a,b` as typed.

    Raises:
        WrongUse: the text is not three numbers.
    """
    try:
        L, a, b = (float(each) for each in text.split(","))
    except ValueError:
        raise WrongUse(f"{text!r} is not L,a,b such as 74.2,1.4,17.1") from None
    if not all(abs(each) <= MAX_NUMBER for each in (L, a, b)):
        raise WrongUse(f"{text!r} holds a number that is no colour coordinate")
    return Side(name, (L, a, b))


def side_of_entry(view: CaseView, entry_id: str, illuminant: str, observer: str) -> Side:
    """Return a reading, computed colour, mean, target or reference of a case as a side.

    Raises:
        WrongUse: there is no such entry.
        NoColour: it has no colour for the illuminant and observer.
    """
    located = view.entries.get(entry_id)
    if located is None:
        raise WrongUse(f"the case has no entry {entry_id!r}")
    readings = view.readings_behind(located)
    spectra = [each.spectrum for each in readings if each.spectrum is not None]
    spectrum = spectra[0] if len(readings) == 1 and spectra else None
    colour = view.colour(located, illuminant, observer)
    lab = lab_of(colour.lab) if colour is not None and colour.lab is not None else None
    if lab is None and spectrum is not None:
        found = expected_from_spectrum(spectrum, illuminant, observer)
        lab = found.lab if found is not None else None
    if lab is None:
        raise NoColour(
            f"{entry_id} has no CIELAB colour for {illuminant}, {observer}, and no spectrum to compute it from"
        )
    mean = mean_behind(view, located)
    labs = [each.lab for each in inputs(view, mean) if each.lab is not None] if mean is not None else []
    spread = covariance(labs, "mean") if len(labs) >= FEWEST_REPEATS else None
    instruments = frozenset(each for each in view.instrument_ids(readings) if each is not None)
    return Side(entry_id, lab, spread, instruments, spectrum, readings=len(labs))


def sides_of_specimens(
    view: CaseView, standard: str, trial: str, illuminant: str, observer: str
) -> list[tuple[Side, Side]]:
    """Return the means of two specimens, zone by zone, for every zone that both have one of.

    Raises:
        WrongUse: they share no zone with means.
    """
    zones: dict[str, dict[str, str]] = {standard: {}, trial: {}}
    for mean in view.case.means or ():
        places = {(each.specimen_id, each.zone) for each in view.readings_behind(view.entries[mean.id])}
        if len(places) == 1 and mean.id not in view.withdrawn:
            ((specimen, zone),) = places
            if specimen in zones:
                zones[specimen][zone] = mean.id
    shared = [zone for zone in zones[standard] if zone in zones[trial]]
    if not shared:
        raise WrongUse(f"{standard} and {trial} have no means of one zone; derive the case first")
    return [
        (
            side_of_entry(view, zones[standard][zone], illuminant, observer),
            side_of_entry(view, zones[trial][zone], illuminant, observer),
        )
        for zone in shared
    ]


def compare_sides(
    standard: Side,
    trial: Side,
    by: Formula,
    components: Mapping[str, float],
    limit: Limit | None = None,
    known: Iterable[str] = (),
) -> Value:
    """Return difference, direction and, as far as known, uncertainty and decision of two sides.

    `known` are the obstacles that the case shows; with any of them nothing is decided.
    """
    size = by(standard.lab, trial.lab)
    made: Value = {
        "standard": standard.name,
        "trial": trial.name,
        "formula": by.name,
        "difference": size,
        "direction": dict(
            zip(("delta_L", "delta_a", "delta_b", "delta_C", "delta_H"), deltas(standard.lab, trial.lab), strict=True)
        ),
        "words": list(words(standard.lab, trial.lab, by=by)),
    }
    adapted = {name: side.adapted for name, side in (("standard", standard), ("trial", trial)) if side.adapted}
    if adapted:
        made |= {"approximate": True, "adapted": adapted}
    # What repeats and components say would leave out the greatest part of an adapted colour.
    if not adapted and (uncertainty := _uncertainty(size, standard, trial, by, components)):
        made["uncertainty"] = uncertainty
    found = [*known, *(["basis-differs"] if adapted else [])]
    if limit is not None and limit.rule != "simple" and "uncertainty" not in made and not adapted:
        found.append("uncertainty-missing")
    if found:
        made["obstacles"] = sorted(set(found), key=get_args(Obstacle).index)
    if limit is not None:
        made["limit"] = limit.at_most
        made |= {"decision": "cannot-be-compared"} if found else _judged(made, size, limit, standard, trial)
    return made


def _uncertainty(
    size: float, standard: Side, trial: Side, by: Formula, components: Mapping[str, float]
) -> Value | None:
    parts, repeats = dict(components), None
    if standard.spread is not None and trial.spread is not None:
        repeats = repeats_of((standard.lab, trial.lab), (standard.spread, trial.spread), by)
        parts[REPEATABILITY] = repeats.standard
    if not parts:
        return None
    whole = stated_uncertainty(size, parts, repeats)
    return {"expanded": whole.expanded, "method": whole.method, "components": parts}


def _judged(made: Value, size: float, limit: Limit, standard: Side, trial: Side) -> Value:
    stated = made.get("uncertainty")
    expanded = stated["expanded"] if stated else None
    judged: Value = {"rule": limit.rule}
    judged["decision"] = decide(limit.rule, size, limit.at_most, expanded)
    if stated and stated["method"] == "linear":
        chance = probability_of_conformity(size, limit.at_most, stated["expanded"] / 2)
        judged["probability_of_conformity"] = chance
    if stated and limit.rule == "four-way-guarded" and judged["decision"] not in (CONFORMS, DOES_NOT_CONFORM):
        judged |= _repeats(size, limit, stated["components"], min(standard.readings, trial.readings))
    return judged


def _repeats(size: float, limit: Limit, parts: Mapping[str, float], readings: int) -> Value:
    """Return whether more readings on each side could close an open decision, and how many in all."""
    random = parts.get(REPEATABILITY)
    if random is None:
        return {}
    fixed = combined(each for source, each in parts.items() if source != REPEATABILITY)
    found = outlook(size, limit.at_most, random * sqrt(readings), fixed, readings)
    return {"repeats_could_settle": found.possible} | (
        {"readings_needed": found.readings} if found.readings is not None else {}
    )
