"""Rules on whether two colours may be compared at all."""

from collections.abc import Iterator
from typing import Final

from shadefmt.chain.obstacles import (
    DRYING_KINDS,
    Sides,
    geometry,
    hydration_differs,
    instruments,
    instruments_unbridged,
    kinds,
    names_instruments,
    zones,
)
from shadefmt.chain.verdicts import UNCOMPARED
from shadefmt.indexing import CaseView, Judgement, Located
from shadefmt.model.judging import Comparison
from shadefmt.rules.base import Hit, Matter, Rule


def comparison_basis_unknown(matter: Matter) -> Iterator[Hit]:
    """A comparison is stated for an unknown illuminant or observer."""
    for index, comparison in enumerate(matter.view.case.comparisons or ()):
        for member in ("illuminant", "observer"):
            if getattr(comparison, member) == "unknown":
                yield Hit(f"/comparisons/{index}/{member}", {"member": member}, comparison.id)


def comparison_basis_differs(matter: Matter) -> Iterator[Hit]:
    """A side of a comparison has colours, but none for the comparison's illuminant and observer."""
    view = matter.view
    for index, comparison in enumerate(view.case.comparisons or ()):
        if "unknown" in (comparison.illuminant, comparison.observer):
            continue
        for member, located in _sides(view, comparison):
            colours = view.colours(located)
            if colours and view.colour(located, comparison.illuminant, comparison.observer) is None:
                found = list(dict.fromkeys(f"{each.illuminant}, {each.observer}" for each in colours))
                params = {"wanted": f"{comparison.illuminant}, {comparison.observer}", "found": found}
                yield Hit(f"/comparisons/{index}/{member}", params, comparison.id)


def comparison_colour_missing(matter: Matter) -> Iterator[Hit]:
    """A side of a comparison has no CIELAB colour at all."""
    view = matter.view
    for index, comparison in enumerate(view.case.comparisons or ()):
        for member, located in _sides(view, comparison):
            fitting = view.colour(located, comparison.illuminant, comparison.observer)
            if not view.colours(located) or (fitting is not None and fitting.lab is None):
                yield Hit(f"/comparisons/{index}/{member}", {"id": located.entry.id}, comparison.id)


def hydration_differs_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict compares a tooth that had dried with one that had not."""
    for judgement, comparison in _numeric(matter.view):
        found = hydration_differs(matter.view, comparison)
        if found is not None:
            yield Hit(judgement.pointer, _params(found), judgement.verdict.id)


def hydration_differs_in_comparison(matter: Matter) -> Iterator[Hit]:
    """A comparison without a verdict compares a tooth that had dried with one that had not."""
    for pointer, comparison in _unjudged(matter.view):
        found = hydration_differs(matter.view, comparison)
        if found is not None:
            yield Hit(pointer, _params(found), comparison.id)


def hydration_unknown_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict rests on a tooth of which nobody says whether it had dried."""
    view = matter.view
    for judgement, _ in _numeric(view):
        for member, located in (("standard", judgement.standard), ("trial", judgement.trial)):
            unknown = [
                reading.id
                for reading in view.readings_behind(located)
                if reading.hydration in (None, "unknown")
                and (specimen := view.specimen_of(reading)) is not None
                and specimen.kind in DRYING_KINDS
            ]
            if unknown:
                yield Hit(judgement.pointer, {"side": member, "readings": unknown}, judgement.verdict.id)


def geometry_differs_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict compares readings of different measuring geometries."""
    for judgement, comparison in _numeric(matter.view):
        yield from _geometry(matter.view, comparison, judgement.pointer, judgement.verdict.id)


def geometry_differs_in_comparison(matter: Matter) -> Iterator[Hit]:
    """A comparison without a verdict compares readings of different measuring geometries."""
    for pointer, comparison in _unjudged(matter.view):
        yield from _geometry(matter.view, comparison, pointer, comparison.id)


def _geometry(view: CaseView, comparison: Comparison, pointer: str, entry_id: str) -> Iterator[Hit]:
    for member in ("geometry", "specular"):
        found = geometry(view, comparison, member)
        if found.differ:
            yield Hit(pointer, {"member": member, **_params(found)}, entry_id)


def geometry_unknown_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict compares readings of two instruments, of which one states no geometry."""
    view = matter.view
    for judgement, _ in _numeric(view):
        sides = [instruments(view, side) for side in (judgement.standard, judgement.trial)]
        used = {each.id: each for side in sides for each in side}
        unknown = [each.id for each in used.values() if each.geometry in (None, "unknown")]
        if all(sides) and len(used) > 1 and unknown:
            yield Hit(judgement.pointer, {"instruments": unknown}, judgement.verdict.id)


def zones_differ_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict compares different zones; a gradient along a tooth can exceed any limit."""
    for judgement, comparison in _numeric(matter.view):
        found = zones(matter.view, comparison)
        if found.differ:
            yield Hit(judgement.pointer, _params(found), judgement.verdict.id)


def kinds_mixed_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict compares instrument readings with a camera's or an eye's."""
    for judgement, comparison in _numeric(matter.view):
        found = kinds(matter.view, comparison)
        if found.known and len(found.standard | found.trial) > 1:
            yield Hit(judgement.pointer, _params(found), judgement.verdict.id)


def instruments_unbridged_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict compares readings of two instruments as if they were one."""
    for judgement, comparison in _numeric(matter.view):
        found = instruments_unbridged(matter.view, comparison)
        if found is not None:
            yield Hit(judgement.pointer, _params(found), judgement.verdict.id)


def instrument_unstated_in_verdict(matter: Matter) -> Iterator[Hit]:
    """A verdict compares readings of two sessions, and one does not say with which instrument."""
    view = matter.view
    for judgement, comparison in _numeric(view):
        readings = [view.readings_behind(side) for side in (judgement.standard, judgement.trial)]
        if not all(readings) or names_instruments(comparison):
            continue
        if {each.session_id for each in readings[0]} == {each.session_id for each in readings[1]}:
            continue
        unstated = [
            name
            for name, side in zip(("standard", "trial"), readings, strict=True)
            if None in view.instrument_ids(side) and "eye" not in view.reading_kinds(side)
        ]
        if unstated:
            yield Hit(judgement.pointer, {"sides": unstated}, judgement.verdict.id)


def comparison_of_other_specimen(matter: Matter) -> Iterator[Hit]:
    """Work is compared with a target that was set for another specimen."""
    view = matter.view
    for index, comparison in enumerate(view.case.comparisons or ()):
        target = view.find(comparison.standard_id, "targets")
        if target is None or comparison.question not in ("match", "quality-control"):
            continue
        read = {each.specimen_id for each in view.readings_behind(view.entries.get(comparison.trial_id))}
        whole = {part.part_of_id for each in read if (part := view.find(each, "specimens")) is not None}
        if read and target.specimen_id not in read | whole:
            params = {"target_specimen": target.specimen_id, "read": sorted(read)}
            yield Hit(f"/comparisons/{index}/trial_id", params, comparison.id)


def _params(found: Sides) -> dict[str, list[str]]:
    return {"standard": sorted(found.standard), "trial": sorted(found.trial)}


def _numeric(view: CaseView) -> Iterator[tuple[Judgement, Comparison]]:
    """Yield the judgements that say something about a number."""
    for each in view.judgements:
        if each.comparison is not None and each.verdict.decision not in UNCOMPARED:
            yield each, each.comparison


def _unjudged(view: CaseView) -> Iterator[tuple[str, Comparison]]:
    """Yield the comparisons that no verdict is about."""
    judged = {each.verdict.comparison_id for each in view.judgements}
    for index, comparison in enumerate(view.case.comparisons or ()):
        if comparison.id not in judged and comparison.id not in view.withdrawn:
            yield f"/comparisons/{index}", comparison


def _sides(view: CaseView, comparison: Comparison) -> list[tuple[str, Located]]:
    named = (("standard_id", comparison.standard_id), ("trial_id", comparison.trial_id))
    return [(member, located) for member, each in named if (located := view.entries.get(each)) is not None]


RULES: Final[dict[str, Rule]] = {
    "comparison-basis-unknown": comparison_basis_unknown,
    "comparison-basis-differs": comparison_basis_differs,
    "comparison-colour-missing": comparison_colour_missing,
    "hydration-differs-in-verdict": hydration_differs_in_verdict,
    "hydration-differs-in-comparison": hydration_differs_in_comparison,
    "hydration-unknown-in-verdict": hydration_unknown_in_verdict,
    "geometry-differs-in-verdict": geometry_differs_in_verdict,
    "geometry-differs-in-comparison": geometry_differs_in_comparison,
    "geometry-unknown-in-verdict": geometry_unknown_in_verdict,
    "zones-differ-in-verdict": zones_differ_in_verdict,
    "kinds-mixed-in-verdict": kinds_mixed_in_verdict,
    "instruments-unbridged-in-verdict": instruments_unbridged_in_verdict,
    "instrument-unstated-in-verdict": instrument_unstated_in_verdict,
    "comparison-of-other-specimen": comparison_of_other_specimen,
}
