"""Outcomes for the terminal: words in capitals under the limit that they were judged by, the worst first."""

from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.report import Report
from shadefmt.rendering.account.outcomes import AGAINST_REFERENCE, Outcome, outcomes
from shadefmt.rendering.account.together import Together, answers, conclusions, effects
from shadefmt.rendering.figures import listed
from shadefmt.rendering.visible import columns, led, wrapped
from shadefmt.rendering.words import WORST_FIRST

MOST: Final = 6
"""Outcomes that a short summary shows, the worst first; the others are counted."""

MOST_COLUMNS: Final = 28
"""Columns that a place takes at most before its outcome."""

UNMEASURED: Final = ("cannot be compared", "not judged")
"""Outcomes that stand under no limit."""


def outcome_lines(view: CaseView, report: Report, width: int) -> list[str]:
    """Return how the work came out; that nothing was judged is said, too.

    A comparison that an effect of a course names is told there, and not a second time.
    """
    told = {each.comparison_id for each in view.case.effects or () if each.id not in view.withdrawn}
    found = [each for each in outcomes(view, report) if each.entry_id not in told or each.contradicted]
    if not found:
        lines = wrapped("outcome   NOT JUDGED: nothing in the file is compared with a limit", width, later="  ")
        return lines + _more(view, report, width)
    ranked = sorted(found, key=lambda each: WORST_FIRST.index(each.outcome))
    lines = wrapped(_heading(report), width, later="  ")
    places = {each.entry_id: _where(each, found) for each in ranked}
    room = min(max(columns(each) for each in places.values()), MOST_COLUMNS)
    for limit, group in _by_limit(ranked[:MOST]):
        lines += wrapped(limit, width, first="  ", later="    ") if limit else []
        for each in group:
            head = ("    " if limit else "  ") + places[each.entry_id].ljust(room) + "  "
            lines += led(head, _outcome(each), width)
    rest = ranked[MOST:]
    if rest:
        counts = [(sum(each.outcome == word for each in rest), word) for word in WORST_FIRST]
        words = listed([f"{count} {word}" for count, word in counts if count])
        lines += wrapped(f"and {len(rest)} more: {words}", width, first="  ")
    return lines + _more(view, report, width)


def _heading(report: Report) -> str:
    if report.totals.errors:
        return "outcome, as the file states it; the file is faulty, so read it with the findings"
    return "outcome"


def _by_limit(ranked: list[Outcome]) -> list[tuple[str, list[Outcome]]]:
    """Return outcomes under their limits, in the order in which these come up; those under none at the end."""
    found: dict[str, list[Outcome]] = {}
    for each in ranked:
        found.setdefault(_limit(each), []).append(each)
    return sorted(found.items(), key=lambda item: not item[0])


def _limit(each: Outcome) -> str:
    """Return the limit that an outcome stands under, with whose it is and the rule; empty without one."""
    if not each.limit or each.outcome in UNMEASURED:
        return ""
    return f"under the limit {each.limit}: {each.whose or 'nobody says whose'}; rule {each.rule_name}"


def _where(each: Outcome, found: list[Outcome]) -> str:
    """Return the place of an outcome, with what tells it from the others: specimen, other side, light."""
    where = f"{each.subject}, {each.zone}" if len({one.subject for one in found}) > 1 else each.zone
    alike = [one for one in found if (one.subject, one.zone, one.light) == (each.subject, each.zone, each.light)]
    if not each.asks_for_match or len({one.against for one in alike}) > 1:
        where += f", against {each.against}"
    return f"{where}, for {each.light}" if len({one.light for one in found}) > 1 else where


def _outcome(each: Outcome) -> str:
    parts = [each.outcome.upper()]
    if each.difference_text:
        known = f"give or take {each.give_or_take}" if each.give_or_take else "give or take not stated"
        parts.append(f"{each.difference_text} {known}" + (f", {each.direction}" if each.direction else ""))
    if each.reasons and each.outcome in UNMEASURED:
        parts.append(f"({'; '.join(each.reasons)})")
    tab = "; judged against a reference, not against the tooth" if AGAINST_REFERENCE in each.does_not_say else ""
    return " ".join(parts) + tab + _against(each)


def _against(each: Outcome | Together) -> str:
    return f"; the check contradicts it: {', '.join(each.contradicted)}" if each.contradicted else ""


def _more(view: CaseView, report: Report, width: int) -> list[str]:
    """Return conclusions, effects of a course, and who objected or agreed."""
    lines = [f"together, {each.about}: {each.outcome.upper()}{_against(each)}" for each in conclusions(view, report)]
    lines += effects(view) + answers(view)
    return [line for each in lines for line in wrapped(each, width, first="  ", later="    ")]
