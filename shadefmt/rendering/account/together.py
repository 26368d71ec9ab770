"""What several verdicts say together, what a course has done, and who objected or agreed."""

from typing import Final, NamedTuple

from shadefmt.chain.comparisons import sides
from shadefmt.indexing import CaseView
from shadefmt.model.judging import Comparison
from shadefmt.model.relating import Effect
from shadefmt.model.report import Report
from shadefmt.rendering.account.apart import apart, direction_words
from shadefmt.rendering.account.foundations import Foundations
from shadefmt.rendering.account.history import event_words
from shadefmt.rendering.account.names import specimen_name
from shadefmt.rendering.figures import as_given, counted, with_sign
from shadefmt.rendering.visible import flowing
from shadefmt.rendering.words import INDICES, MOMENTS, OUTCOMES

ANSWERS: Final = ("objection", "acceptance", "closed")
"""Events in which somebody speaks about the work."""


class Together(NamedTuple):
    """A conclusion: what it is about, its outcome, how many verdicts it rests on, codes that contradict it."""

    about: str
    outcome: str
    verdicts: int
    contradicted: tuple[str, ...]


def conclusions(view: CaseView, report: Report) -> list[Together]:
    """Return every conclusion that counts."""
    below = Foundations(view, report)
    found = []
    for each in view.case.conclusions or ():
        if each.id in view.withdrawn:
            continue
        group = view.find(each.group_id, "groups")
        about = "all of it"
        if group is not None:
            names = ", ".join(specimen_name(view, one) for one in group.specimen_ids)
            about = flowing(group.label) if group.label is not None else names
        elif each.specimen_id is not None:
            about = specimen_name(view, each.specimen_id)
        found.append(Together(about, OUTCOMES[each.decision], len(each.verdict_ids), below.errors([each.id])))
    return found


def effects(view: CaseView) -> list[str]:
    """Return what courses have done, each moment with its day, in sentences without a full stop."""
    return [_effect(view, each) for each in view.case.effects or () if each.id not in view.withdrawn]


def _effect(view: CaseView, effect: Effect) -> str:
    course = view.find(effect.course_id, "courses")
    teeth = ", ".join(specimen_name(view, each) for each in course.specimen_ids) if course is not None else ""
    when = MOMENTS[effect.moment]
    if effect.days is not None:
        when += f" ({counted_days(effect.days)} after it)"
    parts = [f"{teeth}, {when}" if teeth else when]
    if effect.change is not None:
        index = view.find(effect.index_after_id, "indices") or view.find(effect.index_before_id, "indices")
        name = INDICES[index.index] if index is not None else "an index"
        parts.append(f"{name} {with_sign(effect.change, effect.decimals or 0)}")
    comparison: Comparison | None = view.find(effect.comparison_id, "comparisons")
    if comparison is not None:
        pair = sides(view, comparison)
        way = direction_words(apart(*pair)) if pair is not None else ""
        words = f"difference {as_given(comparison.difference, comparison.decimals)} ({comparison.formula})"
        parts.append(words + (f", {way}" if way else ""))
    return "; ".join(parts)


def counted_days(days: float) -> str:
    """Return a number of days in words."""
    return counted(int(days), "day") if days == int(days) else f"{as_given(days)} days"


def answers(view: CaseView) -> list[str]:
    """Return who objected, accepted or closed, and when."""
    events = (each for each in view.case.events or () if each.id not in view.withdrawn and each.kind in ANSWERS)
    return [event_words(view, each) for each in events]
