"""Nearest references, differences with direction and uncertainty, and verdicts."""

from typing import Any

from shadefmt.chain.colours import lab_of
from shadefmt.chain.comparisons import DIRECTIONS, expected_direction
from shadefmt.chain.matches import Ranked, conclusion, expected_margin, ranking
from shadefmt.chain.obstacles import obstacles
from shadefmt.chain.uncertainties import REPEATABILITY, SHARED_SOURCES, repeats, setting_of, stated_uncertainty
from shadefmt.chain.verdicts import expected_decision, expected_grade
from shadefmt.colour.budget import Component, budget
from shadefmt.colour.difference_single import difference
from shadefmt.colour.formula import Formula
from shadefmt.deriving.draft import Draft, Value, number
from shadefmt.deriving.request import Left, Request
from shadefmt.model.judging import Comparison, EmbeddedTolerance, Target
from shadefmt.model.measuring import Mean


def matches(draft: Draft, request: Request, left: list[Left]) -> Draft:
    """Add, for every mean of the own revision and every embedded reference set, the nearest reference."""
    have = {(each.of_id, each.reference_set_id) for each in draft.view.case.matches or ()}
    ids: set[str] = set()
    added = []
    for mean in draft.view.case.means or ():
        if not draft.is_own(mean) or mean.id in draft.view.withdrawn or mean.colour.lab is None:
            continue
        for embedded in draft.view.case.reference_sets or ():
            if (mean.id, embedded.id) in have:
                continue
            basis = (mean.colour.illuminant, mean.colour.observer)
            ranked = ranking(lab_of(mean.colour.lab), embedded.references, *basis, request.formula, (1, 1, 1))
            if not ranked:
                reason = f"{embedded.id} has no colour for {', '.join(basis)}"
                left.append(Left("nearest reference", mean.id, reason))
                continue
            added.append(_match(draft, request, mean, embedded.id, ranked, ids))
    return draft.with_entries({"matches": added})


def _match(draft: Draft, request: Request, mean: Mean, set_id: str, ranked: list[Ranked], ids: set[str]) -> Value:
    first, second = ranked[0], ranked[1] if len(ranked) > 1 else None
    size, close_up_to = number(first.difference, request.decimals), _close_up_to(draft, request)
    margin = _margin(draft, request, mean, first, second) if second is not None else {}
    return draft.entry(
        draft.named(f"match-{mean.id}-{set_id}", ids),
        of_id=mean.id,
        reference_set_id=set_id,
        illuminant=mean.colour.illuminant,
        observer=mean.colour.observer,
        **_formula(request),
        nearest_id=first.reference.id,
        nearest_difference=size,
        runner_up_id=second.reference.id if second else None,
        runner_up_difference=number(second.difference, request.decimals) if second else None,
        close_up_to=number(close_up_to, 10) if close_up_to else None,
        conclusion=conclusion(size, close_up_to, margin.get("margin"), margin.get("margin_expanded"))
        if close_up_to
        else None,
        **margin,
    )


def _margin(draft: Draft, request: Request, mean: Mean, first: Ranked, second: Ranked) -> dict[str, Any]:
    assert mean.colour.lab is not None
    found = expected_margin(draft.view, mean.id, lab_of(mean.colour.lab), first, second, Formula(request.formula))
    stated = {
        "margin": found.margin,
        "margin_expanded": found.expanded,
        "position": found.position,
        "residual": found.residual,
    }
    return {name: number(each, request.decimals) for name, each in stated.items() if each is not None}


def _close_up_to(draft: Draft, request: Request) -> float | None:
    """Return the limit of the one tolerance for the formula, where there is one."""
    fitting = _tolerances(draft, request)
    return fitting[0].limit if len(fitting) == 1 else None


def _tolerances(draft: Draft, request: Request) -> list[EmbeddedTolerance]:
    wanted = (request.formula, 1, 1, 1)
    return [
        each
        for each in draft.view.case.tolerances or ()
        if each.id not in draft.view.withdrawn and (each.formula, each.k_L, each.k_C, each.k_H) == wanted
    ]


def _formula(request: Request) -> Value:
    return {"formula": request.formula, "k_L": 1, "k_C": 1, "k_H": 1, "decimals": request.decimals}


def comparisons(draft: Draft, request: Request, left: list[Left]) -> Draft:
    """Add a comparison for every target with a mean of the same specimen and zone that has none yet."""
    have = {(each.standard_id, each.trial_id) for each in draft.view.case.comparisons or ()}
    ids: set[str] = set()
    added = []
    for target in _open_targets(draft):
        trials = _trials(draft, target)
        if not trials:
            left.append(Left("comparison", target.id, f"no mean of {target.specimen_id}, zone {target.zone}"))
        for mean in trials:
            if (target.id, mean.id) not in have:
                made = _comparison(draft, request, target, mean, left, ids)
                added += [made] if made else []
    grown = draft.with_entries({"comparisons": added})
    return _with_uncertainties(grown, request, {each["id"] for each in added})


def _open_targets(draft: Draft) -> list[Target]:
    targets = [each for each in draft.view.case.targets or () if each.id not in draft.view.withdrawn]
    replaced = {each.supersedes_id for each in targets}
    return [each for each in targets if each.id not in replaced]


def _trials(draft: Draft, target: Target) -> list[Mean]:
    found = []
    for mean in draft.view.case.means or ():
        readings = draft.view.readings_behind(draft.view.entries[mean.id])
        places = {(each.specimen_id, each.zone) for each in readings}
        if places == {(target.specimen_id, target.zone)} and mean.id not in draft.view.withdrawn:
            found.append(mean)
    return found


def _comparison(
    draft: Draft, request: Request, target: Target, mean: Mean, left: list[Left], ids: set[str]
) -> Value | None:
    basis = (request.illuminant, request.observer)
    colours = [draft.view.colour(draft.view.entries[each], *basis) for each in (target.id, mean.id)]
    labs = [lab_of(each.lab) for each in colours if each is not None and each.lab is not None]
    if len(labs) < 2:
        left.append(Left("comparison", target.id, f"{target.id} and {mean.id} have no colours for {', '.join(basis)}"))
        return None
    decimals = request.decimals
    size = difference(request.formula, labs[0], labs[1])
    direction = zip(DIRECTIONS, expected_direction(labs[0], labs[1]), strict=True)
    return draft.entry(
        draft.named(f"comparison-{target.specimen_id}-{target.zone}", ids),
        question=request.question,
        standard_id=target.id,
        trial_id=mean.id,
        illuminant=request.illuminant,
        observer=request.observer,
        **_formula(request),
        difference=number(size, decimals),
        direction={"decimals": decimals, **{name: number(each, decimals) for name, each in direction}},
    )


def _with_uncertainties(draft: Draft, request: Request, ids: set[str]) -> Draft:
    """Complete the new comparisons with what is known of their uncertainty."""
    entries: list[Value] = []
    for written, comparison in zip(draft.case.get("comparisons", []), draft.view.case.comparisons or (), strict=True):
        uncertainty = _uncertainty(draft, request, comparison) if comparison.id in ids else None
        entries.append({**written, "uncertainty": uncertainty} if uncertainty else written)
    return draft.replacing("comparisons", entries) if entries else draft


def _uncertainty(draft: Draft, request: Request, comparison: Comparison) -> Value | None:
    from_repeats = repeats(draft.view, comparison)
    sources: dict[str, float] = {REPEATABILITY: from_repeats.standard} if from_repeats is not None else {}
    sources |= {source: size for source, size in request.components.items() if size > 0}
    decimals = request.decimals
    parts = [Component(each, number(size, decimals + 1), each in SHARED_SOURCES) for each, size in sources.items()]
    counted = budget(parts, setting_of(draft.view, comparison)).counted
    if not counted:
        return None
    sizes = {each.source: each.standard_uncertainty for each in counted}
    whole = stated_uncertainty(comparison.difference, sizes, from_repeats, request.coverage_factor)
    return {
        "coverage_factor": number(request.coverage_factor, 10),
        "decimals": decimals,
        "expanded": number(whole.expanded, decimals),
        "method": "linear" if whole.method == "linear" else "bounded",
        "components": [{"source": source, "standard_uncertainty": size} for source, size in sizes.items()],
    }


def verdicts(draft: Draft, request: Request, left: list[Left]) -> Draft:
    """Add a verdict for every comparison of the own revision that has none, under the one tolerance that fits."""
    judged = {each.comparison_id for each in draft.view.case.verdicts or ()}
    fitting = _tolerances(draft, request)
    ids: set[str] = set()
    added = []
    for comparison in draft.view.case.comparisons or ():
        if comparison.id in judged or not draft.is_own(comparison) or comparison.id in draft.view.withdrawn:
            continue
        if len(fitting) != 1:
            reason = "no tolerance for the formula is embedded" if not fitting else "several tolerances fit"
            left.append(Left("verdict", comparison.id, reason))
            continue
        entry_id = draft.named(comparison.id.replace("comparison", "verdict", 1), ids)
        added.append(draft.entry(entry_id, **_judged(draft, comparison, fitting[0])))
    return draft.with_entries({"verdicts": added})


def _judged(draft: Draft, comparison: Comparison, tolerance: EmbeddedTolerance) -> Value:
    found = list(obstacles(draft.view, comparison))
    stated = comparison.uncertainty
    expanded = None
    if stated is not None:
        wanted = tolerance.coverage_factor or stated.coverage_factor
        expanded = stated.expanded * wanted / stated.coverage_factor
    decision = expected_decision(tolerance.decision_rule, comparison.difference, tolerance.limit, expanded)
    if decision is None:
        found.append("uncertainty-missing")
    named = {"comparison_id": comparison.id, "tolerance_id": tolerance.id}
    if found:
        return {**named, "decision": "cannot-be-compared", "obstacles": found}
    grade = expected_grade(comparison.difference, tolerance.grades or [])
    return {**named, **({"grade": grade} if grade else {}), "decision": decision}
