"""Outcomes for the terminal: words in capitals under the limit that they were judged by, the worst first."""

from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.report import Report
from shadefmt.rendering.account.ledger_rows import ledgers
from shadefmt.rendering.account.names import READ_ON
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
"""Outcomes whose numbers, if any, are held against no limit."""


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
    agreed = _agreed(ranked)
    lines = wrapped(_heading(report, ranked, agreed), width, later="  ")
    for heading, group in _grouped(ranked[:MOST], agreed):
        lines += wrapped(heading, width, first="  ", later="    ") if heading else []
        places = [_where(each, found) for each in group]
        room = min(max(map(columns, places)), MOST_COLUMNS)
        for place, each in zip(places, group, strict=True):
            lines += led(("    " if heading else "  ") + place.ljust(room) + "  ", _outcome(each), width)
    rest = ranked[MOST:]
    if rest:
        counts = [(sum(each.outcome == word for each in rest), word) for word in WORST_FIRST]
        words = listed([f"{count} {word}" for count, word in counts if count])
        lines += wrapped(f"and {len(rest)} more: {words}", width, first="  ")
    return lines + _more(view, report, width)


def _heading(report: Report, found: list[Outcome], agreed: str) -> str:
    """Return the first line, with what all outcomes share: the zone, and who agreed on the limits."""
    words = f"outcome, {found[0].zone}" if _one_zone(found) else "outcome"
    if agreed:
        words += (
            f" (limits {agreed})" if len({each.limit for each in found if each.agreed}) > 1 else f" (limit {agreed})"
        )
    if report.totals.errors:
        return f"{words}, as the file states it; the file is faulty, so read it with the findings"
    return words


def _one_zone(found: list[Outcome]) -> bool:
    return len(found) > 1 and len({each.zone for each in found}) == 1


def _agreed(found: list[Outcome]) -> str:
    """Return the agreement that every limit rests on, empty where they differ."""
    agreed = {each.agreed for each in found if _under_limit(each)}
    return agreed.pop() if len(agreed) == 1 else ""


def _under_limit(each: Outcome) -> bool:
    return bool(each.limit) and each.outcome not in UNMEASURED


def _grouped(ranked: list[Outcome], agreed: str) -> list[tuple[str, list[Outcome]]]:
    """Return outcomes under their headings: limits as they come up, then what has no limit, then what is not judged."""
    found: dict[tuple[int, str], list[Outcome]] = {}
    for each in ranked:
        found.setdefault(_group(each, agreed), []).append(each)
    return [(heading, group) for (_, heading), group in sorted(found.items(), key=lambda item: item[0][0])]


def _group(each: Outcome, agreed: str) -> tuple[int, str]:
    """Return the rank and the heading of an outcome's group: its limit with whose it is and the rule, or none.

    An agreement that the first line told is not repeated; the source of an agreed limit is on the page.
    """
    if not _under_limit(each):
        return (2, f"NOT JUDGED ({'; '.join(each.reasons)})") if each.outcome == "not judged" else (1, "")
    whose = f": {each.whose or 'nobody says whose'}"
    if each.agreed:
        whose = (" (source on the page)" if each.source else "") + (f", {each.agreed}" if not agreed else "")
    return 0, f"under the limit {each.limit}{whose}; rule {each.rule_name}"


def _where(each: Outcome, found: list[Outcome]) -> str:
    """Return the place of an outcome, with what tells it from the others: specimen, zone, other side, light."""
    alike = [one for one in found if (one.subject, one.zone, one.light) == (each.subject, each.zone, each.light)]
    subject, against = each.subject if len({one.subject for one in found}) > 1 else "", ""
    if not each.asks_for_match or len({one.against for one in alike}) > 1:
        subject, against = _sides(subject, each)
    zone = each.zone if not _one_zone(found) else ""
    light = f"for {each.light}" if len({one.light for one in found}) > 1 else ""
    return ", ".join(filter(None, [subject, zone, against, light])) or each.zone


def _sides(subject: str, each: Outcome) -> tuple[str, str]:
    """Return both sides of a comparison, and what they share once: the specimen, or the day."""
    (one, read), (other, compared) = (words.partition(READ_ON)[::2] for words in (each.subject, each.against))
    if read and one == other:
        return one, f"{read} against {compared}"
    if read and read == compared:
        return one, f"against {other}, {read}"
    return subject, f"against {each.against}"


def _outcome(each: Outcome) -> str:
    """Return the word of an outcome with its numbers; what is not judged has the word above it."""
    parts = [each.outcome.upper()] if each.outcome != "not judged" else []
    if each.difference_text:
        known = f"give or take {each.give_or_take}" if each.give_or_take else "give or take not stated"
        parts.append(f"{each.difference_text} {known}" + (f", {each.direction}" if each.direction else ""))
    if each.reasons and each.outcome == "cannot be compared":
        parts.append(f"({'; '.join(each.reasons)})")
    tab = "; judged against a reference, not against the tooth" if AGAINST_REFERENCE in each.does_not_say else ""
    ask = f"; ask first: {', '.join(each.doubted)}" if each.doubted and _under_limit(each) else ""
    return " ".join(parts) + tab + _against(each) + ask


def _against(each: Outcome | Together) -> str:
    return f"; the check contradicts it: {', '.join(each.contradicted)}" if each.contradicted else ""


def _more(view: CaseView, report: Report, width: int) -> list[str]:
    """Return conclusions, effects of a course, who objected or agreed, and where the difference arose."""
    lines = [f"together, {each.about}: {each.outcome.upper()}{_against(each)}" for each in conclusions(view, report)]
    lines += effects(view) + answers(view)
    arose = ledgers(view)
    for each in arose:
        heading = f"{each.heading}: " if len(arose) > 1 else ""
        lines.append(f"{heading}{each.reading[:1].lower()}{each.reading[1:-1]}")
    return [line for each in lines for line in wrapped(each, width, first="  ", later="    ")]
