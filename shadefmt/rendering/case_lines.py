"""A case for the terminal in about twenty lines, in the order in which a receiver asks."""

from itertools import groupby
from typing import Final, NamedTuple

from shadefmt.indexing import CaseView
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.rendering.account.colours import ColourRow, basis_words, read_rows, target_rows
from shadefmt.rendering.account.identity import identity
from shadefmt.rendering.account.unseen import unseen
from shadefmt.rendering.figures import counted, listed
from shadefmt.rendering.file_state import file_state, totals_words
from shadefmt.rendering.intake_words import intake_words
from shadefmt.rendering.outcome_lines import outcome_lines
from shadefmt.rendering.questions import questions
from shadefmt.rendering.visible import columns, led, spaced, wrapped

MOST_ROWS: Final = 9
"""Colour rows that a short summary shows; the others are counted."""

MOST_COLUMNS: Final = 30
"""Columns that a zone takes at most before its numbers."""

MOST_UNSEEN: Final = 4
"""Reasons for not looking that a short summary names."""


class _Shared(NamedTuple):
    """What all rows of colours have in common."""

    basis: str
    known: list[str]


def case_text(case: Case, report: Report, *, width: int = 80) -> str:
    """Return the summary of a case as lines of at most `width` columns, ending with a line break.

    `report` is that of the same case. Outcomes are words in capitals; nothing depends on colour.
    """
    view = CaseView(case)
    lines = [*_head(view, width), *spaced([file_state(report), totals_words(report)], width)]
    if report.intake is not None:
        lines += wrapped(intake_words(report.intake), width, later="  ")
    for part in (_questions(view, report, width), _colours(view, width), outcome_lines(view, report, width)):
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


def _questions(view: CaseView, report: Report, width: int) -> list[str]:
    asked, left = questions(report, view)
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
        words = f"and {counted(left, 'more question')}: see the findings"
        lines += wrapped(words, width, first="  ", later="     ")
    return lines


def _colours(view: CaseView, width: int) -> list[str]:
    aimed = target_rows(view)
    rows = aimed or read_rows(view)
    if not rows:
        return ["colour to reach: not stated"]
    shared = _shared(rows)
    about = f" ({'; '.join(filter(None, [shared.basis, ', '.join(shared.known)]))})" if any(shared) else ""
    what = "colour to reach" if aimed else "no colour to reach is stated; colours as read"
    lines = wrapped(f"{what}{about}", width, later="  ")
    shown = rows[:MOST_ROWS]
    several = len({each.specimen for each in rows}) > 1
    if several and len({each.specimen for each in shown}) == len(shown):
        shown, several = [each._replace(zone=f"{each.specimen}, {each.zone}") for each in shown], False
    room = min(max(columns(each.zone) for each in shown), MOST_COLUMNS)
    for specimen, group in groupby(shown, key=lambda each: each.specimen):
        if several:
            lines += wrapped(specimen, width, first="  ", later="    ")
        for row in group:
            lines += _row(("    " if several else "  ") + row.zone.ljust(room), row, shared, width)
    if len(rows) > MOST_ROWS:
        lines.append(f"  and {counted(len(rows) - MOST_ROWS, 'more row')} on the page")
    if any(row.spread is not None for row in rows):
        lines += wrapped("+- is how far single readings lie from their mean", width, first="  ")
    return lines


def _shared(rows: list[ColourRow]) -> _Shared:
    """Return what rows have in common, so that it is said once: light and observer, and how numbers are known."""
    bases = {basis_words(each.basis) if each.basis else "" for each in rows}
    known = [each.how_short for each in rows if each.lab is not None]
    common = [part for part in known[0] if all(part in each for each in known)] if known else []
    return _Shared(bases.pop() if len(bases) == 1 else "", common)


def _row(place: str, row: ColourRow, shared: _Shared, width: int) -> list[str]:
    """Return one zone: L*, a*, b*, give or take, and the distance before the label of the nearest reference."""
    basis = basis_words(row.basis) if row.basis is not None and not shared.basis else ""
    if row.lab is None:
        words = "; ".join(filter(None, [row.how_known, basis]))
        return led(f"{place}  ", words, width)
    numbers = "".join(each.rjust(7) for each in row.lab)
    spread = f"+-{row.spread}" if row.spread is not None else ""
    known = ", ".join(each for each in row.how_short if each not in shared.known)
    words = "; ".join(filter(None, [*(each.short for each in row.nearest), known, basis]))
    return led(f"{place}{numbers}  {spread.ljust(6)}  ", words, width)
