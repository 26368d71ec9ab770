"""Rules on tolerances: whether the limit is one for this difference."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Any, Final

from shadefmt.chain.colours import factors_fit
from shadefmt.model.judging import ToleranceContent
from shadefmt.rules.base import Hit, Matter, Rule

MATCH_GRADES: Final = frozenset(
    {
        "up-to-perceptible",
        "up-to-acceptable",
        "up-to-twice-acceptable",
        "up-to-three-times-acceptable",
        "beyond-acceptable",
        "beyond-three-times-acceptable",
    }
)
"""Grades of how near two colours are; the others grade how far one colour has moved."""

TISSUES: Final = {
    "tooth": ("tooth",),
    "stump": ("tooth",),
    "restoration": ("tooth", "gingiva", "denture-base", "material"),
    "gingiva": ("gingiva",),
    "denture-base": ("denture-base", "gingiva"),
    "guide-tab": ("tooth", "material"),
    "material-disc": ("tooth", "material", "denture-base"),
    "check-patch": ("material",),
}
"""Tissues whose limits may judge each kind of specimen."""


def tolerance_of_other_formula(matter: Matter) -> Iterator[Hit]:
    """A difference is judged by limits that belong to another formula or other factors."""
    for judgement in matter.view.judgements:
        comparison, tolerance = judgement.comparison, judgement.tolerance
        if comparison is None or tolerance is None:
            continue
        stated, wanted = _formula(comparison), _formula(tolerance)
        if stated != wanted:
            params = {"comparison": stated, "tolerance": wanted}
            yield Hit(f"{judgement.pointer}/tolerance_id", params, judgement.verdict.id)


def _formula(block: Any) -> str:
    return f"{block.formula} {block.k_L:g}:{block.k_C:g}:{block.k_H:g}"


def factors_unsuited(matter: Matter) -> Iterator[Hit]:
    """CIELAB is stated with parametric factors, which it does not have."""
    for pointer, entry_id, block in _formulas(matter):
        factors = (block.k_L, block.k_C, block.k_H)
        if not factors_fit(block.formula, factors):
            yield Hit(pointer, {"formula": block.formula, "factors": list(factors)}, entry_id)


def _formulas(matter: Matter) -> Iterator[tuple[str, str | None, Any]]:
    """Yield every block that states a formula with factors."""
    yield from _tolerances(matter)
    if isinstance(matter.root, ToleranceContent):
        return
    case = matter.view.case
    for name in ("matches", "comparisons", "translucencies"):
        for index, entry in enumerate(getattr(case, name) or ()):
            yield f"/{name}/{index}", entry.id, entry
    for index, mean in enumerate(case.means or ()):
        if mean.spread is not None:
            yield f"/means/{index}/spread", mean.id, mean.spread


def tolerance_of_other_tissue(matter: Matter) -> Iterator[Hit]:
    """A specimen is judged by limits that were found for another tissue."""
    view = matter.view
    for judgement in view.judgements:
        tolerance = judgement.tolerance
        if tolerance is None:
            continue
        kinds = {
            specimen.kind
            for reading in view.readings_behind(judgement.trial)
            if (specimen := view.specimen_of(reading)) is not None
        }
        if any(tolerance.tissue not in TISSUES[kind] for kind in kinds):
            params = {"tissue": tolerance.tissue, "specimen_kinds": sorted(kinds)}
            yield Hit(f"{judgement.pointer}/tolerance_id", params, judgement.verdict.id)


def tolerance_of_other_question(matter: Matter) -> Iterator[Hit]:
    """A change is graded as if it were a match, or the other way round."""
    for judgement in matter.view.judgements:
        comparison, tolerance = judgement.comparison, judgement.tolerance
        if comparison is None:
            continue
        grades = [judgement.verdict.grade] if judgement.verdict.grade else []
        if not grades and tolerance is not None:
            grades = [each.grade for each in tolerance.grades or ()]
        change = comparison.question == "change"
        if any((grade in MATCH_GRADES) == change for grade in grades):
            params = {"question": comparison.question, "grade": grades[0]}
            yield Hit(judgement.pointer, params, judgement.verdict.id)


def tolerance_source_missing(matter: Matter) -> Iterator[Hit]:
    """Nothing says where a tolerance's limits come from."""
    for index, tolerance in enumerate(matter.view.case.tolerances or ()):
        if tolerance.source is None and tolerance.agreed_by_ids is None:
            yield Hit(f"/tolerances/{index}", {"tolerance": tolerance.id}, tolerance.id)


def grades_out_of_order(matter: Matter) -> Iterator[Hit]:
    """Grade limits do not rise, or a grade without a limit is not the last."""
    for pointer, entry_id, tolerance in _tolerances(matter):
        limits = [each.at_most for each in tolerance.grades or ()]
        for place, (one, other) in enumerate(pairwise(limits)):
            if one is None or (other is not None and other <= one):
                wrong = place if one is None else place + 1
                yield Hit(f"{pointer}/grades/{wrong}", {"place": wrong + 1}, entry_id)
                break


def coverage_factor_missing(matter: Matter) -> Iterator[Hit]:
    """A guarded decision rule does not say which coverage factor it uses."""
    for pointer, entry_id, tolerance in _tolerances(matter):
        if tolerance.decision_rule != "simple" and tolerance.coverage_factor is None:
            yield Hit(pointer, {"rule": tolerance.decision_rule}, entry_id)


def _tolerances(matter: Matter) -> Iterator[tuple[str, str | None, ToleranceContent]]:
    if isinstance(matter.root, ToleranceContent):
        yield "", None, matter.root
        return
    for index, tolerance in enumerate(matter.view.case.tolerances or ()):
        yield f"/tolerances/{index}", tolerance.id, tolerance


RULES: Final[dict[str, Rule]] = {
    "factors-unsuited": factors_unsuited,
    "tolerance-of-other-formula": tolerance_of_other_formula,
    "tolerance-of-other-tissue": tolerance_of_other_tissue,
    "tolerance-of-other-question": tolerance_of_other_question,
    "tolerance-source-missing": tolerance_source_missing,
    "grades-out-of-order": grades_out_of_order,
    "coverage-factor-missing": coverage_factor_missing,
}
