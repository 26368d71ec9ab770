"""What was worked out of colours beside differences: indices, translucencies, bridges between instruments."""

from shadefmt.indexing import CaseView
from shadefmt.model.appearing import Translucency
from shadefmt.model.relating import Bridge
from shadefmt.rendering.account.names import colour_name
from shadefmt.rendering.dates import date_words
from shadefmt.rendering.figures import as_given, counted, with_sign
from shadefmt.rendering.visible import visible
from shadefmt.rendering.words import INDICES, LAMPS, OBSERVERS


def indices(view: CaseView) -> list[tuple[str, str]]:
    """Return each index with the colour it is of."""
    found = []
    for each in view.case.indices or ():
        if each.id not in view.withdrawn:
            name = colour_name(view, view.entries.get(each.of_id))
            value = as_given(each.value, each.decimals)
            found.append((f"{INDICES[each.index]}", f"{value}, of {name}, {_basis(each.illuminant, each.observer)}"))
    return found


def translucencies(view: CaseView) -> list[tuple[str, str]]:
    """Return how far each specimen lets what is behind it through."""
    held = [each for each in view.case.translucencies or () if each.id not in view.withdrawn]
    return [("translucency", _translucency(view, each)) for each in held]


def _translucency(view: CaseView, each: Translucency) -> str:
    words = f"{as_given(each.difference, each.decimals)} between white and black behind it ({each.formula}), of "
    words += colour_name(view, view.entries.get(each.over_white_id))
    if each.contrast_ratio is not None:
        words += f"; contrast ratio {as_given(each.contrast_ratio)}"
    if each.thickness_mm is not None:
        return f"{words}; {as_given(each.thickness_mm)} mm thick"
    return f"{words}; thickness not stated"


def bridges(view: CaseView) -> list[str]:
    """Return which instruments are related, on which patches and with which offset."""
    return [_bridge(each) for each in view.case.bridges or () if each.id not in view.withdrawn]


def _bridge(each: Bridge) -> str:
    names = f"{visible(each.first_instrument_id)} and {visible(each.second_instrument_id)}"
    patches = f"{counted(len(each.pairs), 'patch', 'patches')} {'like' if each.tooth_like else 'unlike'} teeth"
    offset = (each.offset.L, each.offset.a, each.offset.b)
    shifts = " ".join(with_sign(value, each.decimals) for value in offset)
    basis = _basis(each.illuminant, each.observer)
    return f"{names}, on {patches}, {date_words(each.made_at)}: second minus first {shifts} in L*, a*, b*, {basis}"


def _basis(illuminant: str, observer: str) -> str:
    return f"{LAMPS[illuminant]}, {OBSERVERS[observer]}"
