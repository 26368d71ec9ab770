"""Rules on indices, translucency and bridges."""

from collections.abc import Iterator
from typing import Final

from shadefmt.chain.appearances import DEFINED_FOR
from shadefmt.chain.colours import lab_of
from shadefmt.colour.indices import cie_whiteness
from shadefmt.colour.single import lab_to_xyz
from shadefmt.colour.weights import white_point
from shadefmt.rules.base import Hit, Matter, Rule

LIGHTER_OVER_BLACK: Final = 0.5
"""L* by which noise may make a specimen lighter over black than over white (proposal, no source)."""


def index_basis_unsuited(matter: Matter) -> Iterator[Hit]:
    """An index is stated for an illuminant and observer that it is not defined for."""
    for index, entry in enumerate(matter.view.case.indices or ()):
        if (entry.illuminant, entry.observer) not in DEFINED_FOR[entry.index]:
            params = {"index": entry.index, "stated": f"{entry.illuminant}, {entry.observer}"}
            yield Hit(f"/indices/{index}", params, entry.id)


def index_outside_definition(matter: Matter) -> Iterator[Hit]:
    """CIE whiteness or tint is stated for a colour that is not near white."""
    view = matter.view
    for index, entry in enumerate(view.case.indices or ()):
        basis = (entry.illuminant, entry.observer)
        colour = view.colour(view.entries.get(entry.of_id), *basis)
        defined = entry.index in ("CIE-whiteness", "CIE-tint") and basis in DEFINED_FOR[entry.index]
        if not defined or colour is None or colour.lab is None:
            continue
        white = white_point(*basis)
        flags = cie_whiteness(lab_to_xyz(lab_of(colour.lab), white), white, *basis).flags
        if flags:
            params = {"index": entry.index, "outside": list(flags)}
            yield Hit(f"/indices/{index}", params, entry.id)


def backings_exchanged(matter: Matter) -> Iterator[Hit]:
    """A specimen is lighter over black than over white."""
    view = matter.view
    for index, entry in enumerate(view.case.translucencies or ()):
        basis = (entry.illuminant, entry.observer)
        colours = [view.colour(view.entries.get(each), *basis) for each in (entry.over_white_id, entry.over_black_id)]
        labs = [each.lab for each in colours if each is not None and each.lab is not None]
        if len(labs) == 2 and labs[1].L > labs[0].L + LIGHTER_OVER_BLACK:
            params = {"over_white": labs[0].L, "over_black": labs[1].L}
            yield Hit(f"/translucencies/{index}", params, entry.id)


def backing_undescribed(matter: Matter) -> Iterator[Hit]:
    """A translucency does not say what the backings were."""
    view = matter.view
    for index, entry in enumerate(view.case.translucencies or ()):
        readings = [
            each
            for named in (entry.over_white_id, entry.over_black_id)
            for each in view.readings_behind(view.entries.get(named))
        ]
        backings = [view.find(each.backing_id, "backings") for each in readings]
        if any(each is None or each.colour is None for each in backings):
            yield Hit(f"/translucencies/{index}", {"translucency": entry.id}, entry.id)


def translucency_thickness_missing(matter: Matter) -> Iterator[Hit]:
    """A translucency of a disc or work does not say how thick it was."""
    view = matter.view
    for index, entry in enumerate(view.case.translucencies or ()):
        readings = view.readings_behind(view.entries.get(entry.over_white_id))
        kinds = {specimen.kind for each in readings if (specimen := view.specimen_of(each)) is not None}
        if entry.thickness_mm is None and "tooth" not in kinds:
            yield Hit(f"/translucencies/{index}", {"translucency": entry.id}, entry.id)


def bridge_patches_unlike_teeth(matter: Matter) -> Iterator[Hit]:
    """A bridge was made on patches that do not scatter like teeth."""
    for index, bridge in enumerate(matter.view.case.bridges or ()):
        if not bridge.tooth_like:
            yield Hit(f"/bridges/{index}/tooth_like", {"bridge": bridge.id}, bridge.id)


RULES: Final[dict[str, Rule]] = {
    "index-basis-unsuited": index_basis_unsuited,
    "index-outside-definition": index_outside_definition,
    "backings-exchanged": backings_exchanged,
    "backing-undescribed": backing_undescribed,
    "translucency-thickness-missing": translucency_thickness_missing,
    "bridge-patches-unlike-teeth": bridge_patches_unlike_teeth,
}
