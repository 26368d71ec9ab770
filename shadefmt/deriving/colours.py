"""Colours from spectra, and means over repeats."""

from typing import Any

from shadefmt.chain.colours import expected_from_spectrum
from shadefmt.chain.means import COVARIANCES, expected_covariances
from shadefmt.colour.repeats import mcdm, mean
from shadefmt.deriving.draft import Draft, Value, number
from shadefmt.deriving.request import Left, Request
from shadefmt.limits import MAX_NUMBER
from shadefmt.model.colours import Colour
from shadefmt.model.measuring import Reading

SPREAD_DECIMALS = 2
"""Decimals of a spread beyond those of the colours: variances are small numbers."""


def computed_colours(draft: Draft, request: Request, left: list[Left]) -> Draft:
    """Add a computed colour to every reading with a spectrum that has none for the basis asked for.

    Readings of the own revision get it among their colours; earlier ones stay as they are, and an entry of its own
    names them.
    """
    readings: list[Value] = list(draft.case.get("readings", []))
    later: list[Value] = []
    ids: set[str] = set()
    for index, reading in enumerate(draft.view.case.readings or ()):
        if reading.spectrum is None or reading.id in draft.view.withdrawn or _has(draft, reading, request):
            continue
        found = expected_from_spectrum(reading.spectrum, request.illuminant, request.observer)
        if found is None or not all(abs(each) <= MAX_NUMBER for each in found.lab):
            reason = "no colour can be computed from its spectrum"
            left.append(Left("colour", reading.id, reason))
            continue
        colour = _colour(request, found.lab, "computed")
        if draft.is_own(reading):
            readings[index] = _with_colour(readings[index], colour)
        else:
            entry_id = draft.named(f"colour-of-{reading.id}", ids)
            later.append(draft.entry(entry_id, reading_id=reading.id, colour=colour))
    grown = draft.replacing("readings", readings) if readings != draft.case.get("readings", []) else draft
    return grown.with_entries({"computed_colours": later})


def _has(draft: Draft, reading: Reading, request: Request) -> bool:
    colours = draft.view.colours(draft.view.entries[reading.id])
    wanted = ("computed", request.illuminant, request.observer)
    return any((each.origin, each.illuminant, each.observer) == wanted for each in colours)


def _colour(request: Request, lab: tuple[float, float, float], origin: str) -> Value:
    L, a, b = (number(each, request.decimals) for each in lab)
    return {
        "illuminant": request.illuminant,
        "observer": request.observer,
        "decimals": request.decimals,
        "origin": origin,
        "lab": {"L": L, "a": a, "b": b},
    }


def _with_colour(reading: Value, colour: Value) -> Value:
    """Return a reading with one more colour, its members in the order of the specification."""
    grown = {**reading, "colours": [*reading.get("colours", []), colour]}
    order = {name: place for place, name in enumerate(Reading.model_fields)}
    return dict(sorted(grown.items(), key=lambda item: order.get(item[0], len(order))))


def means(draft: Draft, request: Request, left: list[Left]) -> Draft:
    """Add a mean with its spread for every set of repeats that has none yet; withdrawn readings are left out."""
    have = {frozenset(each.reading_ids) for each in draft.view.case.means or () if each.id not in draft.view.withdrawn}
    ids: set[str] = set()
    added = []
    for repeats in _groups(draft):
        if len(repeats) < 2 or frozenset(each.id for each in repeats) in have:
            continue
        made = _mean(draft, request, repeats, ids)
        if made is None:
            reason = f"not all repeats have a colour for {request.illuminant}, {request.observer} of one origin"
            left.append(Left("mean", repeats[0].id, reason))
        else:
            added.append(made)
    return draft.with_entries({"means": added})


def _groups(draft: Draft) -> list[list[Reading]]:
    """Return the readings that are repeats of one another: same place, session, state and surroundings."""
    alike = ("session_id", "specimen_id", "zone", "column", "region", "state", "placed_over_id", "backing", "hydration")
    groups: dict[tuple[Any, ...], list[Reading]] = {}
    for reading in draft.view.case.readings or ():
        if reading.id not in draft.view.withdrawn and (reading.colours or reading.spectrum):
            key = tuple(getattr(reading, each) for each in alike)
            groups.setdefault(key, []).append(reading)
    return list(groups.values())


def _mean(draft: Draft, request: Request, repeats: list[Reading], ids: set[str]) -> Value | None:
    for origin in ("instrument", "computed", "typed"):
        colours = [_of_origin(draft, each, request, origin) for each in repeats]
        labs = [(each.lab.L, each.lab.a, each.lab.b) for each in colours if each is not None and each.lab is not None]
        if len(labs) == len(repeats):
            first = repeats[0]
            return draft.entry(
                draft.named(f"mean-{first.specimen_id}-{first.zone}", ids),
                reading_ids=[each.id for each in repeats],
                of_origin=origin,
                colour=_colour(request, mean(labs), "computed"),
                spread=_spread(request, labs),
            )
    return None


def _of_origin(draft: Draft, reading: Reading, request: Request, origin: str) -> Colour | None:
    wanted = (origin, request.illuminant, request.observer)
    found = draft.view.colours(draft.view.entries[reading.id])
    return next((each for each in found if (each.origin, each.illuminant, each.observer) == wanted), None)


def _spread(request: Request, labs: list[tuple[float, float, float]]) -> Value:
    decimals = min(request.decimals + SPREAD_DECIMALS, 10)
    covariances = zip(COVARIANCES, expected_covariances(labs, of_mean=False), strict=True)
    return {
        "formula": request.formula,
        "k_L": 1,
        "k_C": 1,
        "k_H": 1,
        "decimals": decimals,
        "mcdm": number(mcdm(labs, request.formula), decimals),
        "covariance_of": "reading",
        **{member: number(each, decimals) for member, each in covariances},
    }
