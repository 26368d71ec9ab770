"""What lies beneath the work: stump, abutment, cement, thickness. What nobody states is said to be not stated."""

from functools import partial
from typing import Final, NamedTuple

from shadefmt.indexing import CaseView
from shadefmt.model.context import Prescription, Specimen
from shadefmt.rendering.account.colours import ColourRow, reading_rows
from shadefmt.rendering.account.identity import orders_that_count
from shadefmt.rendering.account.names import specimen_name
from shadefmt.rendering.figures import as_given, listed
from shadefmt.rendering.visible import flowing
from shadefmt.rendering.work_words import BACKINGS, SUBSTRATES

NOT_STATED: Final = "not stated"


class Beneath(NamedTuple):
    """What lies beneath works of which the same is stated: names and facts, and the colours read of the stumps."""

    work: str
    facts: list[tuple[str, str]]
    rows: list[ColourRow]


def beneath(view: CaseView) -> list[Beneath]:
    """Return what lies beneath the works that were ordered, those of which the same is stated together."""
    found: dict[tuple[tuple[str, str], ...], list[Beneath]] = {}
    for each in map(partial(_of_order, view), orders_that_count(view)):
        found.setdefault(tuple(each.facts), []).append(each)
    return [
        Beneath(listed([each.work for each in alike]), list(facts), [row for each in alike for row in each.rows])
        for facts, alike in found.items()
    ]


def _of_order(view: CaseView, order: Prescription) -> Beneath:
    work: Specimen | None = view.find(order.specimen_id, "specimens")
    stump: Specimen | None = view.find(order.stump_specimen_id, "specimens")
    rows = reading_rows(view, stump.id) if stump is not None else []
    carrier = "abutment" if work is not None and work.support == "implant" else "stump"
    thickness = f"{as_given(order.thickness_mm)} mm" if order.thickness_mm is not None else NOT_STATED
    facts = [
        (carrier, _substrate(stump)),
        (f"colour of the {carrier}", "read, see below" if rows else NOT_STATED),
        ("cement or medium", flowing(order.cement) if order.cement is not None else NOT_STATED),
        ("least thickness", thickness),
    ]
    over = _read_over(view, order)
    if over:
        facts.append(("the work was read", "; ".join(over)))
    return Beneath(specimen_name(view, order.specimen_id), facts, rows)


def _substrate(stump: Specimen | None) -> str:
    if stump is None or stump.substrate is None:
        return NOT_STATED
    return SUBSTRATES[stump.substrate]


def _read_over(view: CaseView, order: Prescription) -> list[str]:
    """Return over what, and through what, the work itself was read."""
    found = []
    for reading in view.case.readings or ():
        if reading.specimen_id != order.specimen_id or reading.id in view.withdrawn:
            continue
        parts = [f"over {specimen_name(view, reading.placed_over_id)}"] if reading.placed_over_id else []
        if reading.backing is not None and BACKINGS[reading.backing]:
            parts.append(BACKINGS[reading.backing])
        if reading.medium is not None:
            parts.append(f"with {flowing(reading.medium)} between")
        if parts:
            found.append(", ".join(parts))
    return list(dict.fromkeys(found))
