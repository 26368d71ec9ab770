"""Third link: a target that was copied equals what it was copied from."""

from collections.abc import Iterator

from shadefmt.chain.colours import lab_of
from shadefmt.chain.links import Disagreement
from shadefmt.chain.rounding import agrees, half_unit
from shadefmt.indexing import CaseView


def links(view: CaseView) -> Iterator[Disagreement]:
    """Compare every copied target with its source, within the rounding of the target."""
    for at, target in enumerate(view.case.targets or ()):
        if target.colour.origin != "copied" or target.source_id is None or target.colour.lab is None:
            continue
        source = view.entries.get(target.source_id)
        colour = view.colour(source, target.colour.illuminant, target.colour.observer)
        if colour is None or colour.lab is None:
            continue
        stated, expected = lab_of(target.colour.lab), lab_of(colour.lab)
        decimals = target.colour.decimals
        if not all(agrees(one, other, decimals) for one, other in zip(stated, expected, strict=True)):
            params = {
                "stated": list(stated),
                "expected": list(expected),
                "tolerance": half_unit(decimals),
                "source_id": target.source_id,
            }
            yield Disagreement("target-differs-from-source", f"/targets/{at}/colour/lab", target.id, params)
