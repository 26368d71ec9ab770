"""A case for the terminal in about twenty lines, in the order in which a receiver asks."""

from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.rendering.account.colours import ColourRow, basis_words, read_rows, target_rows
from shadefmt.rendering.account.identity import identity
from shadefmt.rendering.account.outcomes import Outcome, outcomes
from shadefmt.rendering.account.unseen import unseen
from shadefmt.rendering.figures import counted, listed
from shadefmt.rendering.file_state import file_state, totals_words
from shadefmt.rendering.questions import questions
from shadefmt.rendering.visible import columns, wrapped
from shadefmt.rendering.words import WORST_FIRST

MOST_ROWS: Final = 9
"""Colour rows that a short summary shows; the others are counted."""

MOST_OUTCOMES: Final = 6
"""Outcomes that a short summary shows, the worst first; the others are counted."""

MOST_UNSEEN: Final = 4
"""Reasons for not looking that a short summary names."""


def case_text(case: Case, report: Report, *, width: int = 80) -> str:
    """Return the summary of a case as lines of at most `width` columns, ending with a line break.

    `report` is that of the same case. Outcomes are words in capitals; nothing depends on colour.
    """
    view = CaseView(case)
    lines = [*_head(view, width), *wrapped(f"{file_state(report)}   {totals_words(report)}", width)]
    for part in (_questions(report, width), _colours(view, width), _outcomes(view, report, width)):
        if part:
            lines += ["", *part]
    unlooked = unseen(view, report)
    shown = "; ".join(unlooked[:MOST_UNSEEN])
    more = f"; and {len(unlooked) - MOST_UNSEEN} more" if len(unlooked) > MOST_UNSEEN else ""
    if shown:
        lines += wrapped(shown + more, width, first="not looked at: ", later="  ")
    lines += wrapped("details: shadefmt show FILE --html OUT      why: shadefmt explain CODE", width)
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
    return _spaced([each for each in parts if each], width)


def _spaced(parts: list[str], width: int) -> list[str]:
    """Return parts with three blanks between them, on a new line where one does not fit."""
    lines: list[str] = []
    line = ""
    for part in parts:
        longer = f"{line}   {part}" if line else part
        if line and columns(longer) > width:
            lines += wrapped(line, width)
            longer = f"     {part}"
        line = longer
    indent = "     " if line.startswith("     ") else ""
    return lines + _kept(line, width, indent)


def _kept(line: str, width: int, indent: str) -> list[str]:
    return [line] if columns(line) <= width else wrapped(line.strip(), width, first=indent)


def _questions(report: Report, width: int) -> list[str]:
    asked, left = questions(report)
    if not asked:
        return []
    lines = ["ask the sender"]
    for number, each in enumerate(asked, start=1):
        text = wrapped(each.text, width, first=f"  {number}  ")
        if columns(text[-1]) + columns(each.code) + 3 <= width:
            text[-1] += " " * (width - columns(text[-1]) - columns(each.code)) + each.code
        else:
            text += [line.rjust(width) for line in wrapped(each.code, width)]
        lines += text
    if left:
        lines.append(f"  and {counted(left, 'more question')}: see the findings")
    return lines


def _colours(view: CaseView, width: int) -> list[str]:
    aimed = target_rows(view)
    rows = aimed or read_rows(view)
    if not rows:
        return ["colour to reach: not stated"]
    what = "colour to reach" if aimed else "no colour to reach is stated; colours as read"
    bases = list(dict.fromkeys(each.basis for each in rows if each.basis is not None))
    basis = f" ({basis_words(bases[0])})" if len(bases) == 1 else ""
    lines = wrapped(f"{what}{basis}", width, later="  ")
    many = len({each.specimen for each in rows}) > 1
    places = [f"{each.specimen}, {each.zone}" if many else each.zone for each in rows[:MOST_ROWS]]
    room = min(max(map(columns, places)), 34)
    for place, row in zip(places, rows[:MOST_ROWS], strict=True):
        basis = "" if len(bases) < 2 or row.basis is None else f"; {basis_words(row.basis)}"
        lines += _row(place + " " * (room - columns(place)), row, basis, width)
    if len(rows) > MOST_ROWS:
        lines.append(f"  and {counted(len(rows) - MOST_ROWS, 'more row')} on the page")
    if any(row.spread is not None for row in rows):
        lines += wrapped("+- is how far single readings lie from their mean", width, first="  ")
    return lines


def _row(place: str, row: ColourRow, basis: str, width: int) -> list[str]:
    """Return one zone: L*, a*, b*, give or take, and the distance before the label of the nearest reference."""
    if row.lab is None:
        return wrapped(f"{row.how_known}{basis}", width, first=f"  {place}  ", later="    ")
    numbers = "".join(each.rjust(7) for each in row.lab)
    spread = f"+-{row.spread}" if row.spread is not None else ""
    close = "; ".join(each.words for each in row.nearest) or row.how_known
    return wrapped(f"{close}{basis}", width, first=f"  {place}{numbers}  {spread.ljust(6)}  ", later="      ")


def _outcomes(view: CaseView, report: Report, width: int) -> list[str]:
    found = outcomes(view, report)
    if not found:
        return wrapped("outcome   NOT JUDGED: nothing in the file is compared with a limit", width, later="  ")
    lines = []
    if report.totals.errors:
        lines += wrapped("outcomes as the file states them; the file is faulty, so read them with the findings", width)
    ranked = sorted(found, key=lambda each: WORST_FIRST.index(each.outcome))
    many = len({each.subject for each in found}) > 1
    for place, each in enumerate(ranked[:MOST_OUTCOMES]):
        first = "outcome   " if place == 0 else "          "
        lines += wrapped(_outcome(each, many), width, first=first, later="            ")
    rest = ranked[MOST_OUTCOMES:]
    if rest:
        counts = [f"{sum(e.outcome == word for e in rest)} {word}" for word in WORST_FIRST]
        lines += wrapped(
            f"and {len(rest)} more: {listed([e for e in counts if e[0] != '0'])}", width, first="          "
        )
    return lines


def _outcome(each: Outcome, many: bool) -> str:
    where = f"{each.subject}, {each.zone}" if many else each.zone
    text = f"{where} {each.outcome.upper()}"
    if each.outcome in ("cannot be compared", "not judged"):
        text += f" ({'; '.join(each.reasons)})" if each.reasons else ""
    else:
        text += f" {each.difference_text}"
        text += f" give or take {each.give_or_take}" if each.give_or_take else ", give or take not stated"
        text += f", {each.direction}" if each.direction else ""
        if each.limit:
            text += f", limit {each.limit} ({each.whose or 'nobody says whose'}), rule {each.rule_name}"
    if each.contradicted:
        text += f"; the check contradicts it: {', '.join(each.contradicted)}"
    return text
