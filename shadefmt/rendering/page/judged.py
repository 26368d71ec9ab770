"""How far to trust the readings, and how the work came out: word and frame tell the outcome, never a colour."""

from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.report import Report
from shadefmt.rendering.account.history import dispositions
from shadefmt.rendering.account.outcomes import Outcome, outcomes
from shadefmt.rendering.account.trust import Series, TrustLine, trust
from shadefmt.rendering.figures import listed
from shadefmt.rendering.page.difference_lines import difference_lines, scale_of
from shadefmt.rendering.page.markup import Markup, element, joined
from shadefmt.rendering.words import OUTCOME_SENTENCES, RULES, WORST_FIRST

NO_OUTCOME: Final = "Not judged: nothing in the file is compared with a limit."


AS_STATED: Final = "The file is faulty: read these outcomes, as the file states them, with the findings."


def how_far_to_trust(view: CaseView, report: Report) -> Markup:
    """Return each series of readings with its lines."""
    found = trust(view, report)
    if not found:
        return element("p", "No reading is in the file.")
    return joined(*(_series(each) for each in found))


def _series(series: Series) -> Markup:
    return joined(element("h3", series.heading), element("ul", *map(_line, series.lines), class_="series"))


def _line(line: TrustLine) -> Markup:
    standing = element("span", line.standing, class_=f"standing {line.standing.replace(' ', '-')}")
    codes = [part for code in line.codes for part in (" ", element("code", code))]
    return element("li", standing, element("span", f"{line.subject}: {line.words}", *codes))


def how_it_came_out(view: CaseView, report: Report) -> Markup:
    """Return every outcome with its numbers and lines, then what parties did."""
    found = outcomes(view, report)
    parts: list[Markup] = []
    if not found:
        parts.append(element("p", NO_OUTCOME))
    if len(found) > 1:
        counts = [(sum(each.outcome == word for each in found), word) for word in WORST_FIRST]
        words = listed([f"{count} {_verb(word, count)}" for count, word in counts if count])
        parts.append(element("p", f"Of {len(found)} outcomes {words}. The work is as its worst outcome."))
    if found and report.totals.errors:
        parts.append(
            element("p", "The file is faulty: read these outcomes, as the file states them, with the findings.")
        )
    scale = scale_of(found)
    parts += [_outcome(each, scale) for each in found]
    done = dispositions(view)
    if done:
        parts += [element("h3", "What was done"), element("ul", *(element("li", each) for each in done))]
    return joined(*parts)


def _verb(outcome: str, count: int) -> str:
    """Return an outcome as what so many of them do or are."""
    if outcome in ("conforms", "does not conform"):
        return outcome if count == 1 else {"conforms": "conform", "does not conform": "do not conform"}[outcome]
    if outcome == "cannot be compared":
        return outcome
    return f"{'is' if count == 1 else 'are'} {outcome}"


def _outcome(each: Outcome, scale: float) -> Markup:
    """Return one outcome: the word, what against what, numbers, lines, limit, rule, what it does not say."""
    parts = [
        element("h3", f"{each.subject[:1].upper()}{each.subject[1:]}, {each.zone}, against {each.against}"),
        element("p", _headline(each), class_="word"),
    ]
    if each.reasons:
        sentence = "; ".join(each.reasons)
        parts.append(element("p", f"{sentence[:1].upper()}{sentence[1:]}."))
    if each.contradicted:
        codes = [part for code in each.contradicted for part in (" ", element("code", code))]
        parts.append(element("p", element("strong", "The check contradicts it:"), *codes))
    if each.difference_text:
        parts.append(element("p", _measured(each)))
        parts.append(difference_lines(each, scale))
    if each.limit and each.outcome != "cannot be compared":
        parts.append(element("p", _limit(each)))
    if each.does_not_say:
        parts.append(element("p", " ".join(each.does_not_say), class_="small"))
    return element("article", *parts, class_=f"outcome {each.outcome.replace(' ', '-')}")


def _headline(each: Outcome) -> str:
    return OUTCOME_SENTENCES[each.outcome]


def _measured(each: Outcome) -> str:
    """Return the difference in a sentence: size, give or take, formula, direction."""
    known = f"give or take {each.give_or_take}" if each.give_or_take else "give or take not stated"
    factor = f", k = {each.coverage}" if each.coverage else ""
    words = f"{each.question} Difference {each.difference_text}, {known} ({each.formula}{factor})"
    words += f": {each.direction}." if each.direction else "."
    if each.parts is not None and not each.parts_stated:
        words += " The parts are recomputed from the two colours."
    return words


def _limit(each: Outcome) -> str:
    words = f"Limit {each.limit}: {each.whose or 'nobody says whose it is'}."
    words += f" Rule {RULES[each.rule]}." if each.rule is not None else ""
    return words + (f" The difference itself lies {each.grade}." if each.grade else "")
