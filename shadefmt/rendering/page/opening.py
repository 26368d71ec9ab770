"""The first answers of the letter: which case, whether work can start, what is asked."""

from shadefmt.indexing import CaseView
from shadefmt.model.report import Intake, Report
from shadefmt.rendering.account.identity import Identity, groups, identity, orders, relations
from shadefmt.rendering.figures import counted, listed, sentence
from shadefmt.rendering.file_state import state_sentence, totals_words
from shadefmt.rendering.intake_words import answer_sentences, left_open, let_stand, unmet
from shadefmt.rendering.page.markup import Markup, element, joined
from shadefmt.rendering.questions import Question, questions


def heading(known: Identity) -> str:
    """Return what the page is called."""
    teeth = teeth_words(known)
    return f"Case {known.name}" + (f", {teeth[:1].lower()}{teeth[1:]}" if teeth else "")


def teeth_words(known: Identity) -> str:
    """Return which teeth a case is about, as a heading says it; empty where it names none."""
    return f"{'Tooth' if len(known.teeth) == 1 else 'Teeth'} {listed(known.teeth)}" if known.teeth else ""


def which_case(view: CaseView) -> Markup:
    """Return the case in a line."""
    known = identity(view)
    parts = [listed(known.work).capitalize()] if known.work else []
    if known.tooth_words is not None:
        parts.append(f"tooth {known.teeth[0]}, {known.tooth_words} (ISO 3950)")
    elif known.teeth:
        parts.append(f"teeth {listed(known.teeth)} (ISO 3950)")
    parts.append(f"from {known.sender}" if known.sender is not None else "sender not stated")
    parts.append(f"read {known.read_on}" if known.read_on is not None else "date of the readings not stated")
    parts.append(f"due {known.due}" if known.due is not None else "date due not stated")
    line = "; ".join(parts)
    return joined(element("p", sentence(line)), *(element("p", each) for each in relations(view)))


def can_work_start(view: CaseView, report: Report) -> Markup:
    """Return what the check says of the file, and the questions to send back, ready to copy."""
    said = [
        element("p", state_sentence(report), class_="lead"),
        element("p", f"The check found {totals_words(report)}. Whether work starts is the reader's decision."),
    ]
    if report.intake is not None:
        said.append(_intake(report.intake))
    asked, left = questions(report, view)
    if asked:
        said += [element("p", "Questions to send back, ready to copy:"), _letter(view, asked)]
    if left:
        said.append(element("p", f"{counted(left, 'more kind')} of finding could be asked about, see below."))
    return joined(*said)


def _intake(intake: Intake) -> Markup:
    """Return the receiver's answer under a profile: never beside the state of the file, which is another matter."""
    answer, against = answer_sentences(intake)
    items = []
    for each in unmet(intake):
        first = each.found[0]
        more = f" (and {len(each.found) - 1} more like this)" if len(each.found) > 1 else ""
        remedy = f" {first.remedy}" if first.remedy is not None else ""
        items.append(element("li", element("strong", f"Not met: {each.title}."), f" {first.message}{more}{remedy}"))
    items += [element("li", sentence(each)) for each in [*left_open(intake), *let_stand(intake)]]
    listed_items = element("ul", *items) if items else Markup("")
    return joined(element("p", element("strong", answer), f" {against}"), listed_items)


def _letter(view: CaseView, asked: list[Question]) -> Markup:
    known = identity(view)
    to = known.sender or "the sender"
    items = [element("li", each.text, " ", element("code", each.code)) for each in asked]
    greeting = element("p", f"To {to}, about {heading(known)[0].lower()}{heading(known)[1:]}:")
    return element("div", greeting, element("ol", *items), class_="ask", tabindex="0")


def what_is_asked(view: CaseView) -> Markup:
    """Return the prescriptions in sentences."""
    found = [" ".join(each.sentences) for each in orders(view)] or ["No prescription is in the file."]
    return joined(*(element("p", each) for each in found + groups(view)))
