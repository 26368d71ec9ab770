"""Demands on what is aimed at and how it is judged: targets, tolerances, verdicts."""

from collections.abc import Iterator

from shadefmt.indexing import Judgement, Located
from shadefmt.intake.looking import NOT_STATED, Look, Unmet
from shadefmt.model.demands import TargetDemand, ToleranceDemand, VerdictDemand
from shadefmt.model.judging import EmbeddedTolerance, Target
from shadefmt.timestamps import is_after

MEASURED = frozenset({"measured-tooth", "measured-restoration"})
"""What a target rests on that has a model."""


def target(look: Look, demand: TargetDemand) -> Iterator[Unmet]:
    """Every prescription has a target, and what a target rests on is stated."""
    for pointer, order in look.prescriptions:
        if not look.targets_of(order.specimen_id):
            yield Unmet(pointer, order.id, "no target", "a target for the work", order.id)
    kinds = demand.source_kinds
    for pointer, each in look.targets:
        if kinds is not None and each.source_kind not in kinds:
            yield Unmet(pointer, each.id, each.source_kind, f"{' or '.join(kinds)}", each.id)
        missing = _untold(each, demand)
        if missing:
            yield Unmet(pointer, each.id, NOT_STATED, ", ".join(missing), each.id)


def _untold(stated: Target, demand: TargetDemand) -> list[str]:
    asked = (
        ("set_by_id", demand.set_by),
        ("set_at", demand.set_at),
        ("model_specimen_id", demand.model and stated.source_kind in MEASURED),
    )
    return [member for member, wanted in asked if wanted and getattr(stated, member) is None]


def tolerance(look: Look, demand: ToleranceDemand) -> Iterator[Unmet]:
    """Where work is aimed at a colour, it is agreed by which limit and rule it is judged."""
    case = look.view.case
    counting = [
        (f"/tolerances/{index}", each) for index, each in enumerate(case.tolerances or ()) if look.counts(each.id)
    ]
    if not counting and (look.targets or look.prescriptions):
        yield Unmet("", "the case", "no tolerance", "a tolerance that was agreed")
    for pointer, each in counting:
        yield from (
            Unmet(pointer, each.id, found, wanted, each.id) for found, wanted in _tolerance_lacks(look, each, demand)
        )
    judged = {each.comparison.id for each in look.view.judgements if each.comparison is not None and _is_numeric(each)}
    for index, comparison in enumerate(case.comparisons or ()) if demand.components else ():
        if comparison.id in judged and (comparison.uncertainty is None or comparison.uncertainty.components is None):
            found, wanted = "no components of the uncertainty", "an uncertainty with its components"
            yield Unmet(f"/comparisons/{index}", comparison.id, found, wanted, comparison.id)


def _tolerance_lacks(look: Look, stated: EmbeddedTolerance, demand: ToleranceDemand) -> Iterator[tuple[str, str]]:
    if demand.source and stated.source is None and stated.agreed_by_ids is None:
        yield "neither a source nor who agreed it", "a source, or who agreed it"
    rules = demand.decision_rules
    if rules is not None and stated.decision_rule not in rules:
        yield f"decision rule {stated.decision_rule}", f"decision rule {' or '.join(rules)}"
    least = demand.coverage_factor_at_least
    if least is not None and (stated.coverage_factor is None or stated.coverage_factor < least):
        found = "none" if stated.coverage_factor is None else f"{stated.coverage_factor:g}"
        yield f"coverage factor {found}", f"coverage factor at least {least:g}"
    if demand.agreed_before_reading and not _agreed_before(look, stated):
        found = "not stated when it was agreed" if stated.agreed_at is None else f"agreed at {stated.agreed_at}"
        yield found, "agreed before the work was read"


def _agreed_before(look: Look, stated: EmbeddedTolerance) -> bool:
    """Return whether a tolerance states when it was agreed, and no work was read before that."""
    if stated.agreed_at is None:
        return False
    judged = (each for each in look.view.judgements if each.tolerance is stated)
    moments = [look.read_at(each) for one in judged for each in look.view.readings_behind(one.trial)]
    return all(at is not None and not is_after(stated.agreed_at, at) for at in moments)


def verdict(look: Look, demand: VerdictDemand) -> Iterator[Unmet]:
    """Work that was read in a finished state is judged against every target of it, on enough readings."""
    for index, specimen in enumerate(look.view.case.specimens):
        if specimen.kind == "restoration":
            for state in _read_states(look, specimen.id, demand):
                missing = _unjudged(look, specimen.id, state)
                if missing:
                    found = f"read {state}, no verdict on {', '.join(missing)}"
                    yield Unmet(f"/specimens/{index}", specimen.id, found, "a verdict on every target", specimen.id)
    least = demand.readings_at_least
    for judgement in look.view.judgements if least is not None else ():
        fewest = _fewest(look, judgement)
        if _is_numeric(judgement) and fewest is not None and least is not None and fewest < least:
            judged, found = judgement.verdict, f"a side with {fewest} of the readings"
            yield Unmet(judgement.pointer, judged.id, found, f"at least {least} on each side", judged.id)


def _read_states(look: Look, work_id: str, demand: VerdictDemand) -> list[str]:
    read = {each.reading.state for each in look.numeric() if each.reading.specimen_id == work_id}
    return [state for state in demand.states if state in read]


def _unjudged(look: Look, work_id: str, state: str) -> list[str]:
    """Return the targets of a work without a verdict on readings of it in a state."""
    judged = set()
    for each in look.view.judgements:
        trial = look.view.readings_behind(each.trial)
        of_state = any(reading.specimen_id == work_id and reading.state == state for reading in trial)
        if of_state and each.standard is not None and each.verdict.decision != "not-judged":
            judged.add(each.standard.entry.id)
    aimed = [each for _, each in look.targets if each.specimen_id == work_id]
    return [each.id for each in aimed if each.id not in judged]


def _fewest(look: Look, judgement: Judgement) -> int | None:
    """Return the number of readings behind the side that has fewer; a reference says how many it is made of."""
    counts = [_behind(look, judgement.standard), _behind(look, judgement.trial)]
    return min((each for each in counts if each is not None), default=None)


def _behind(look: Look, side: Located | None) -> int | None:
    readings = look.view.readings_behind(side)
    if readings or side is None:
        return len(readings) if readings else None
    named = look.view.entries.get(side.entry.source_id or "") if side.list_name == "targets" else side
    if named is None or named.list_name != "references":
        return None
    averaged: int | None = named.entry.readings_averaged
    return averaged


def _is_numeric(judgement: Judgement) -> bool:
    return judgement.comparison is not None and judgement.verdict.decision not in ("cannot-be-compared", "not-judged")
