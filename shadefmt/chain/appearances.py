"""Links beside the main chain: indices, translucency, bridges, effects of a course."""

from collections.abc import Iterator
from typing import Final

from shadefmt.chain.colours import Triple, factors_fit, lab_of
from shadefmt.chain.links import Disagreement
from shadefmt.chain.rounding import agrees, half_unit, rounded, shown
from shadefmt.colour.difference_single import difference
from shadefmt.colour.indices import (
    DEFINED_D65,
    DEFINED_WI_D,
    E313_FACTORS,
    cie_whiteness,
    contrast_ratio,
    dental_whiteness,
    optimised_whiteness,
    yellowness,
)
from shadefmt.colour.repeats import mean
from shadefmt.colour.single import lab_to_xyz
from shadefmt.colour.weights import white_point
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView
from shadefmt.model.appearing import Translucency
from shadefmt.model.relating import Bridge

DEFINED_FOR: Final = {
    "WI_D": DEFINED_WI_D,
    "CIE-whiteness": DEFINED_D65,
    "CIE-tint": DEFINED_D65,
    "WIO": DEFINED_D65,
    "YI-E313": tuple(E313_FACTORS),
}
"""Illuminants and observers that each index is defined for."""


def expected_index(index: str, lab: Triple, illuminant: str, observer: str) -> float | None:
    """Return an index of a colour, None where it is not defined for the illuminant, observer or colour."""
    if "unknown" in (illuminant, observer):
        return None
    white = white_point(illuminant, observer)
    try:
        if index == "WI_D":
            return dental_whiteness(lab, illuminant, observer)
        xyz = lab_to_xyz(lab, white)
        if index == "YI-E313":
            return yellowness(xyz, illuminant, observer)
        if index == "WIO":
            return optimised_whiteness(xyz, white, illuminant, observer)
        found = cie_whiteness(xyz, white, illuminant, observer)
    except WrongUse:
        return None
    return found.whiteness if index == "CIE-whiteness" else found.tint


def links(view: CaseView) -> Iterator[Disagreement]:
    """Compare indices, translucencies, bridges and effects with what they are made of."""
    yield from _indices(view)
    for at, entry in enumerate(view.case.translucencies or ()):
        yield from _translucency(view, entry, f"/translucencies/{at}")
    for at, bridge in enumerate(view.case.bridges or ()):
        yield from _bridge(view, bridge, f"/bridges/{at}/offset")
    yield from _effects(view)


def _indices(view: CaseView) -> Iterator[Disagreement]:
    for at, entry in enumerate(view.case.indices or ()):
        lab = _lab(view, entry.of_id, entry.illuminant, entry.observer)
        expected = expected_index(entry.index, lab, entry.illuminant, entry.observer) if lab else None
        if expected is not None and not agrees(entry.value, expected, entry.decimals):
            params = _params(entry.value, expected, entry.decimals) | {"index": entry.index}
            yield Disagreement("index-disagrees-with-colour", f"/indices/{at}/value", entry.id, params)


def _translucency(view: CaseView, entry: Translucency, pointer: str) -> Iterator[Disagreement]:
    basis = (entry.illuminant, entry.observer)
    white, black = _lab(view, entry.over_white_id, *basis), _lab(view, entry.over_black_id, *basis)
    factors = (entry.k_L, entry.k_C, entry.k_H)
    if white is None or black is None or not factors_fit(entry.formula, factors):
        return
    expected = difference(entry.formula, white, black, *factors)
    if not agrees(entry.difference, expected, entry.decimals):
        params = _params(entry.difference, expected, entry.decimals)
        yield Disagreement("translucency-disagrees", f"{pointer}/difference", entry.id, params)
    stated, ratio = entry.contrast_ratio, expected_contrast_ratio(white, black, *basis)
    if stated is not None and ratio is not None and not agrees(stated, ratio, entry.decimals):
        params = _params(stated, ratio, entry.decimals)
        yield Disagreement("translucency-disagrees", f"{pointer}/contrast_ratio", entry.id, params)


def expected_contrast_ratio(white: Triple, black: Triple, illuminant: str, observer: str) -> float | None:
    """Return Y over black divided by Y over white, None where nothing comes back from the white one."""
    point = white_point(illuminant, observer)
    try:
        return contrast_ratio(lab_to_xyz(white, point)[1], lab_to_xyz(black, point)[1]).value
    except WrongUse:
        return None


def expected_offset(view: CaseView, bridge: Bridge) -> Triple | None:
    """Return the mean of second minus first over all patches, None where a colour is missing."""
    basis = (bridge.illuminant, bridge.observer)
    found = []
    for pair in bridge.pairs:
        first, second = _lab(view, pair.first_id, *basis), _lab(view, pair.second_id, *basis)
        if first is None or second is None:
            return None
        found.append((second[0] - first[0], second[1] - first[1], second[2] - first[2]))
    return mean(found)


def _bridge(view: CaseView, bridge: Bridge, pointer: str) -> Iterator[Disagreement]:
    expected = expected_offset(view, bridge)
    if expected is None:
        return
    stated = lab_of(bridge.offset)
    if not all(agrees(one, other, bridge.decimals) for one, other in zip(stated, expected, strict=True)):
        params = {
            "stated": list(stated),
            "expected": shown(expected, bridge.decimals),
            "tolerance": half_unit(bridge.decimals),
        }
        yield Disagreement("bridge-disagrees-with-readings", pointer, bridge.id, params)


def _effects(view: CaseView) -> Iterator[Disagreement]:
    for at, effect in enumerate(view.case.effects or ()):
        before, after = view.find(effect.index_before_id, "indices"), view.find(effect.index_after_id, "indices")
        if effect.change is None or effect.decimals is None or before is None or after is None:
            continue
        expected = after.value - before.value
        if not agrees(effect.change, expected, effect.decimals):
            params = _params(effect.change, expected, effect.decimals)
            yield Disagreement("effect-disagrees-with-indices", f"/effects/{at}/change", effect.id, params)


def _lab(view: CaseView, entry_id: str, illuminant: str, observer: str) -> Triple | None:
    if "unknown" in (illuminant, observer):
        return None
    colour = view.colour(view.entries.get(entry_id), illuminant, observer)
    return lab_of(colour.lab) if colour is not None and colour.lab is not None else None


def _params(stated: float, expected: float, decimals: int) -> dict[str, float]:
    return {"stated": stated, "expected": rounded(expected, decimals + 2), "tolerance": half_unit(decimals)}
