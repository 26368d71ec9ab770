"""Last link: a difference, its uncertainty and a tolerance give a grade and a decision."""

from collections.abc import Iterator
from typing import Final

from shadefmt.chain.links import Disagreement
from shadefmt.colour.decisions import decide
from shadefmt.indexing import CaseView, Judgement
from shadefmt.model.judging import GradeLimit

UNCOMPARED: Final = ("cannot-be-compared", "not-judged")
"""Decisions that no number leads to."""


WORST_FIRST: Final = (
    "does-not-conform",
    "conditionally-fails",
    "cannot-be-compared",
    "conditionally-conforms",
    "not-judged",
    "conforms",
)
"""Decisions from the worst to the best, for conclusions over several verdicts."""


def expected_grade(difference: float, grades: list[GradeLimit]) -> str | None:
    """Return the first grade whose limit is not below the difference, None where no grade reaches so far."""
    for each in grades:
        if each.at_most is None or difference <= each.at_most:
            return each.grade
    return None


def expected_decision(rule: str, difference: float, limit: float, expanded: float | None) -> str | None:
    """Return what a decision rule says; None where it needs an uncertainty that is not stated."""
    return None if expanded is None and rule != "simple" else decide(rule, difference, limit, expanded)


def expanded_for(judgement: Judgement) -> float | None:
    """Return the stated expanded uncertainty, scaled to the coverage factor that the tolerance asks for."""
    if judgement.comparison is None or judgement.comparison.uncertainty is None:
        return None
    stated = judgement.comparison.uncertainty
    wanted = judgement.tolerance.coverage_factor if judgement.tolerance else None
    return stated.expanded if wanted is None else stated.expanded * wanted / stated.coverage_factor


def links(view: CaseView) -> Iterator[Disagreement]:
    """Compare every verdict with what its tolerance says of its comparison."""
    for judgement in view.judgements:
        if judgement.comparison is None or judgement.tolerance is None:
            continue
        if judgement.verdict.decision in UNCOMPARED:
            continue
        yield from _grade(judgement)
        yield from _decision(judgement)


def _grade(judgement: Judgement) -> Iterator[Disagreement]:
    verdict, tolerance, comparison = judgement.verdict, judgement.tolerance, judgement.comparison
    if verdict.grade is None or tolerance is None or comparison is None or tolerance.grades is None:
        return
    expected = expected_grade(comparison.difference, tolerance.grades)
    if verdict.grade != expected:
        params = {
            "stated": verdict.grade,
            "expected": expected or "no grade",
            "difference": comparison.difference,
        }
        yield Disagreement(
            "grade-disagrees-with-difference", f"{judgement.pointer}/grade", verdict.id, params, judgement
        )


def _decision(judgement: Judgement) -> Iterator[Disagreement]:
    verdict, tolerance, comparison = judgement.verdict, judgement.tolerance, judgement.comparison
    assert tolerance is not None
    assert comparison is not None
    expanded = expanded_for(judgement)
    expected = expected_decision(tolerance.decision_rule, comparison.difference, tolerance.limit, expanded)
    if expected is not None and verdict.decision != expected:
        params = {
            "stated": verdict.decision,
            "expected": expected,
            "difference": comparison.difference,
            "limit": tolerance.limit,
            "rule": tolerance.decision_rule,
            **({"expanded": expanded} if expanded is not None else {}),
        }
        yield Disagreement(
            "decision-disagrees-with-rule", f"{judgement.pointer}/decision", verdict.id, params, judgement
        )
