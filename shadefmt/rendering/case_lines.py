"""A case for the terminal in about twenty lines, in the order in which a receiver asks."""

from collections.abc import Iterable
from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.rendering.account.colours import ColourRow, basis_words, read_rows, target_rows
from shadefmt.rendering.account.identity import identity
from shadefmt.rendering.account.outcomes import Outcome, outcomes
from shadefmt.rendering.account.together import Together, answers, conclusions, effects
from shadefmt.rendering.account.unseen import unseen
from shadefmt.rendering.figures import counted, listed
from shadefmt.rendering.file_state import file_state, totals_words
from shadefmt.rendering.questions import questions
from shadefmt.rendering.visible import columns, spaced, wrapped
from shadefmt.rendering.words import WORST_FIRST

MOST_ROWS: Final = 9
"""Colour rows that a short summary shows; the others are counted."""

MOST_OUTCOMES: Final = 6
"""Outcomes that a short summary shows, the worst first; the others are counted."""

UNMEASURED: Final = ("cannot be compared", "not judged")
"""Outcomes that no number stands behind."""

MOST_UNSEEN: Final = 4
"""Reasons for not looking that a short summary names."""


def case_text(case: Case, report: Report, *, width: int = 80) -> str:
    """Return the summary of a case as lines of at most `width` columns, ending with a line break.

    `report` is that of the same case. Outcomes are words in capitals; nothing depends on colour.
    """
    view = CaseView(case)
    lines = [*_head(view, width), *spaced([file_state(report), totals_words(report)], width)]
    for part in (_questions(report, width), _colours(view, width), _outcomes(view, report, width)):
        if part:
            lines += ["", *part]
    unlooked = unseen(view, report)
    more = [f"and {len(unlooked) - MOST_UNSEEN} more"] if len(unlooked) > MOST_UNSEEN else []
    if unlooked:
        shown = "; ".join(unlooked[:MOST_UNSEEN] + more)
        lines += ["", *wrapped(shown, width, first="not looked at: ", later="  ")]
    lines += spaced(["details: shadefmt show FILE --html OUT", "why: shadefmt explain CODE"], width)
    return "\n".join(lines) + "\n"


def _head(view: CaseView, width: int) -> list[str]:
    known = identity(view)
    teeth = ""
    if known.tooth_words is not None:
        teeth = f"tooth {known.teeth[0]}, {known.tooth_words}"
    elif known.teeth:
        teeth = f"teeth {', '.join(known.teeth)}"
    parts = [f"case {known.name}", f"from {known.sender}" if known.sender else "sender not stated", teeth]
    parts += [listed(known.work), f"due {known.due}" if known.due else ""]
    return spaced([each for each in parts if each], width)


def _questions(report: Report, width: int) -> list[str]:
    asked, left = questions(report)
    if not asked:
        return []
    lines = ["ask the sender"]
    for number, each in enumerate(asked, start=1):
        text = wrapped(each.text, width, first=f"  {number}  ")
        free = width - columns(text[-1]) - columns(each.code)
        if free >= 3:
            text[-1] += " " * free + each.code
        else:
            text += wrapped(each.code, width, first=" " * max(width - columns(each.code), 5))
        lines += text
    if left:
        lines.append(f"  and {counted(left, 'more question')}: see the findings")
    return lines


def _colours(view: CaseView, width: int) -> list[str]:
    aimed = target_rows(view)
    rows = aimed or read_rows(view)
    if not rows:
        return ["colour to reach: not stated"]
    shared = [_shared(basis_words(each.basis) if each.basis else "" for each in rows)]
    shared.append(_shared(each.how_short for each in rows if each.lab is not None))
    about = f" ({'; '.join(filter(None, shared))})" if any(shared) else ""
    what = "colour to reach" if aimed else "no colour to reach is stated; colours as read"
    lines = wrapped(f"{what}{about}", width, later="  ")
    many = len({each.specimen for each in rows}) > 1
    places = [f"{each.specimen}, {each.zone}" if many else each.zone for each in rows[:MOST_ROWS]]
    room = min(max(map(columns, places)), 36)
    for place, row in zip(places, rows[:MOST_ROWS], strict=True):
        lines += _row(place + " " * (room - columns(place)), row, shared, width)
    if len(rows) > MOST_ROWS:
        lines.append(f"  and {counted(len(rows) - MOST_ROWS, 'more row')} on the page")
    if any(row.spread is not None for row in rows):
        lines += wrapped("+- is how far single readings lie from their mean", width, first="  ")
    return lines


def _shared(words: Iterable[str]) -> str:
    """Return the words that all rows have in common, empty where they differ."""
    found = set(words)
    return found.pop() if len(found) == 1 else ""


def _row(place: str, row: ColourRow, shared: list[str], width: int) -> list[str]:
    """Return one zone: L*, a*, b*, give or take, and the distance before the label of the nearest reference."""
    basis = basis_words(row.basis) if row.basis is not None and not shared[0] else ""
    if row.lab is None:
        words = "; ".join(filter(None, [row.how_known, basis]))
        return wrapped(words, width, first=f"  {place}  ", later="      ")
    numbers = "".join(each.rjust(7) for each in row.lab)
    spread = f"+-{row.spread}" if row.spread is not None else ""
    known = row.how_short if not shared[1] else ""
    words = "; ".join(filter(None, [*(each.short for each in row.nearest), known, basis]))
    return wrapped(words, width, first=f"  {place}{numbers}  {spread.ljust(6)}  ", later="      ")


def _outcomes(view: CaseView, report: Report, width: int) -> list[str]:
    found = outcomes(view, report)
    if not found:
        lines = wrapped("outcome   NOT JUDGED: nothing in the file is compared with a limit", width, later="  ")
        return lines + _more(view, report, width)
    ranked = sorted(found, key=lambda each: WORST_FIRST.index(each.outcome))
    lines = wrapped(_heading(report), width, later="  ")
    many = len({each.subject for each in found}) > 1
    limits = ""
    places = [_where(each, many) for each in ranked[:MOST_OUTCOMES]]
    room = min(max(map(columns, places)), 28)
    for place, each in zip(places, ranked[:MOST_OUTCOMES], strict=True):
        under = _limit(each)
        if under and under != limits:
            lines += wrapped(under, width, first="  ", later="    ")
            limits = under
        lines += _outcome(each, place + " " * (room - columns(place)), width)
    rest = ranked[MOST_OUTCOMES:]
    if rest:
        counts = [(sum(each.outcome == word for each in rest), word) for word in WORST_FIRST]
        words = listed([f"{count} {word}" for count, word in counts if count])
        lines += wrapped(f"and {len(rest)} more: {words}", width, first="  ")
    return lines + _more(view, report, width)


def _more(view: CaseView, report: Report, width: int) -> list[str]:
    """Return conclusions, effects of a course, and who objected or agreed."""
    lines = [f"together, {each.about}  {each.outcome.upper()}{_against(each)}" for each in conclusions(view, report)]
    lines += effects(view) + answers(view)
    return [line for each in lines for line in wrapped(each, width, first="  ", later="    ")]


def _against(each: Outcome | Together) -> str:
    return f"; the check contradicts it: {', '.join(each.contradicted)}" if each.contradicted else ""


def _heading(report: Report) -> str:
    if report.totals.errors:
        return "outcome, as the file states it; the file is faulty, so read it with the findings"
    return "outcome"


def _limit(each: Outcome) -> str:
    """Return the limit that outcomes stand under, with whose it is and the rule; empty without one."""
    if not each.limit or each.outcome in UNMEASURED:
        return ""
    return f"under the limit {each.limit}: {each.whose or 'nobody says whose'}; rule {each.rule_name}"


def _where(each: Outcome, many: bool) -> str:
    where = f"{each.subject}, {each.zone}" if many else each.zone
    return where if each.asks_for_match else f"{where}, against {each.against}"


def _outcome(each: Outcome, where: str, width: int) -> list[str]:
    parts = [each.outcome.upper()]
    if each.difference_text:
        known = f"give or take {each.give_or_take}" if each.give_or_take else "give or take not stated"
        parts.append(f"{each.difference_text} {known}" + (f", {each.direction}" if each.direction else ""))
    if each.reasons and each.outcome in UNMEASURED:
        parts.append(f"({'; '.join(each.reasons)})")
    text = " ".join(parts)
    text += _against(each)
    return wrapped(text, width, first=f"    {where}  ", later="        ")
