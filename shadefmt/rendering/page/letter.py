"""The whole page: ten questions in the margin, their answers beside them, a slip for the tray at the end."""

from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.rendering.account.identity import identity
from shadefmt.rendering.file_state import file_state
from shadefmt.rendering.page.closing import (
    sheet_words,
    tray_slip,
    what_was_found,
    what_was_not_looked_at,
    where_it_is_from,
)
from shadefmt.rendering.page.colours import what_lies_beneath, which_colour
from shadefmt.rendering.page.judged import how_far_to_trust, how_it_came_out
from shadefmt.rendering.page.markup import Markup, element, joined
from shadefmt.rendering.page.opening import can_work_start, heading, what_is_asked, which_case
from shadefmt.rendering.page.style import STYLE, STYLE_DIGEST

POLICY: Final = f"default-src 'none'; style-src 'sha256-{STYLE_DIGEST}'; base-uri 'none'; form-action 'none'"
"""Content security policy: nothing is fetched, nothing runs, no other style applies."""


def page_html(case: Case, report: Report) -> str:
    """Return a case and its report as one HTML document that needs nothing else: no network, no script.

    `report` is that of the same case. Whatever stood in the file is escaped.
    """
    view = CaseView(case)
    title = heading(identity(view))
    answers = (
        ("Which case?", which_case(view)),
        ("Can work start?", can_work_start(view, report)),
        ("What is asked?", what_is_asked(view)),
        ("Which colour?", which_colour(view)),
        ("What lies beneath?", what_lies_beneath(view)),
        ("How far to trust it?", how_far_to_trust(view, report)),
        ("How did the work come out?", how_it_came_out(view, report)),
        ("What did the check find?", what_was_found(report)),
        ("What was not looked at?", what_was_not_looked_at(view, report)),
        ("Where is it from?", where_it_is_from(view, report)),
    )
    head = element("header", element("h1", title), element("p", file_state(report), class_="state"), class_="head")
    letter = element("main", head, *(_part(*each) for each in answers), class_="letter")
    sheets = element("div", letter, tray_slip(view, report), class_="sheet-body")
    foot = element("footer", element("p", sheet_words(view, report)), class_="sheet-foot on-paper")
    body = element("body", element("div", sheets, foot, class_="sheets"))
    page = element("html", _head(title), body, lang="en")
    return f"<!doctype html>\n{page}\n"


def _part(question: str, answer: Markup) -> Markup:
    return joined(Markup("\n"), element("section", element("h2", question), element("div", answer), class_="part"))


def _head(title: str) -> Markup:
    return element(
        "head",
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=POLICY),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", name="referrer", content="no-referrer"),
        element("title", title),
        element("style", Markup(STYLE)),
    )
