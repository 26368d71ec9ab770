"""What the receiver asks the sender: questions made from findings, worst first, at most five."""

from typing import Final, NamedTuple

from shadefmt.catalogue import in_words
from shadefmt.indexing import CaseView
from shadefmt.model.report import Finding, Report
from shadefmt.rendering.account.names import colour_name, entry_name, specimen_name
from shadefmt.rendering.figures import counted
from shadefmt.rendering.file_state import Folded, folded
from shadefmt.rendering.question_texts import TEXTS
from shadefmt.rendering.visible import shorter_digests, visible

MOST: Final = 5
"""Questions after which nobody answers any more (own choice, no source)."""

UNASKED: Final = "note"
"""Severity about which nobody is asked."""


class Question(NamedTuple):
    """A question with the code of the rule behind it."""

    code: str
    text: str


class Questions(NamedTuple):
    """The questions to send back, and how many kinds of finding are left that could be asked about."""

    asked: list[Question]
    left: int


def questions(report: Report, view: CaseView) -> Questions:
    """Return one question for each code of an error or warning; those written for a person's answer come first.

    Readings, works and specimens are named in words: the sender knows teeth and days, not ids.
    """
    groups = [each for each in folded(report.findings or ()) if each.severity != UNASKED]
    order = list(TEXTS)
    rank = {"error": 0, "warning": 1}

    def place(group: Folded) -> tuple[int, int]:
        return rank[group.severity], order.index(group.code) if group.code in TEXTS else len(order)

    asked = [Question(each.code, _text(each, view)) for each in sorted(groups, key=place)]
    return Questions(asked[:MOST], max(len(asked) - MOST, 0))


def _text(group: Folded, view: CaseView) -> str:
    first = group.findings[0]
    text = _filled(first, view)
    more = len(group.findings) - 1
    places = f" (and {counted(more, 'more place')} like it)" if more else ""
    return visible(shorter_digests(text + places))


def _filled(finding: Finding, view: CaseView) -> str:
    """Return the question written for a code, else the message of the finding as a request."""
    template = TEXTS.get(finding.code)
    if template is not None:
        words = {name: in_words(item) for name, item in finding.parameters.items()}
        words["entry"] = _named(view, finding.entry_id)
        if "specimen" in words:
            words["specimen"] = _named(view, words["specimen"])
        try:
            return template.format_map(words)
        except (KeyError, IndexError, ValueError):  # a report of another rule set may lack a parameter
            pass
    place = f"{finding.entry_id}: " if finding.entry_id is not None else ""
    return f"{place}{finding.message} Please look at it and send what is right."


def _named(view: CaseView, entry_id: str | None) -> str:
    """Return what a person calls an entry: a reading by its tooth and day, an order by its work."""
    located = view.entries.get(entry_id) if entry_id is not None else None
    if located is not None and located.list_name == "readings":
        return colour_name(view, located)
    if located is not None and located.list_name == "prescriptions":
        return specimen_name(view, located.entry.specimen_id)
    return entry_name(view, entry_id)
