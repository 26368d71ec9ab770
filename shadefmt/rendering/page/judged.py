"""How far to trust the readings, and how the work came out: word and frame tell the outcome, never a colour."""

from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.report import Report
from shadefmt.rendering.account.history import dispositions
from shadefmt.rendering.account.ledger_rows import LedgerTable, ledgers, objected
from shadefmt.rendering.account.outcomes import Outcome, outcomes
from shadefmt.rendering.account.together import Together, answers, conclusions, effects
from shadefmt.rendering.account.trust import Series, TrustLine, trust
from shadefmt.rendering.figures import counted, listed, sentence
from shadefmt.rendering.page.difference_lines import difference_lines, scale_of
from shadefmt.rendering.page.markup import Markup, element, joined, minus
from shadefmt.rendering.words import OUTCOME_SENTENCES, QUESTIONS, RULES, WORST_FIRST

NO_OUTCOME: Final = "Not judged: nothing in the file is compared with a limit."


RECOMPUTED: Final = "Where the file does not say which way a colour lies, that is recomputed from the two colours."
NO_LEDGER: Final = (
    "Where the difference arose cannot be worked out: "
    "that takes dated means of the tooth and of the work, then and now."
)
AS_STATED: Final = "The file is faulty: read these outcomes, as the file states them, with the findings."


def how_far_to_trust(view: CaseView, report: Report) -> Markup:
    """Return each series of readings with its lines."""
    found = trust(view, report)
    if not found:
        return element("p", "No reading is in the file.")
    carrying, others = [each for each in found if each.carries], [each for each in found if not each.carries]
    if not carrying:
        return _several(others)
    if not others:
        return _several(carrying)
    words = f"{len(others)} more series that no target or outcome rests on"
    return joined(_several(carrying), element("details", element("summary", words), _several(others)))


def _several(found: list[Series]) -> Markup:
    return element("div", *(_series(each) for each in found), class_="trust")


def _series(series: Series) -> Markup:
    heading = f"{series.heading[:1].upper()}{series.heading[1:]}"
    lines = element("ul", *(_line(each) for each in series.lines), class_="series")
    return element("div", element("h3", heading), lines)


def _line(line: TrustLine) -> Markup:
    standing = element("span", line.standing, class_=f"standing {line.standing.replace(' ', '-')}")
    codes = [part for code in line.codes for part in (" ", element("code", code))]
    return element("li", standing, element("span", f"{line.subject}: {line.words}", *codes))


def how_it_came_out(view: CaseView, report: Report) -> Markup:
    """Return every outcome with its numbers and lines, the worst first, then what parties did."""
    found = sorted(outcomes(view, report), key=_place)
    parts: list[Markup] = []
    if not found:
        parts.append(element("p", NO_OUTCOME))
    if len(found) > 1:
        counts = [(sum(each.outcome == word for each in found), word) for word in WORST_FIRST]
        words = listed([f"{count} {_verb(word, count)}" for count, word in counts if count])
        one_work = len({each.subject for each in found}) == 1 and all(each.asks_for_match for each in found)
        worst = " The work is as its worst outcome." if one_work else ""
        parts.append(element("p", f"Of {len(found)} outcomes {words}.{worst}"))
    if found and report.totals.errors:
        parts.append(element("p", AS_STATED))
    if any(each.parts is not None and not each.parts_stated for each in found):
        parts.append(element("p", RECOMPUTED, class_="small"))
    rules = dict.fromkeys(each.rule for each in found if each.rule is not None and _limited(each))
    parts += [element("p", sentence(f"rule: {RULES[each]}"), class_="small") for each in rules]
    scale = scale_of(found)
    parts += [_outcome(each, scale) for each in found]
    parts += [_together(each) for each in conclusions(view, report)]
    tables = ledgers(view)
    parts += [_ledger(each) for each in tables]
    if not tables and objected(view):
        parts.append(element("p", NO_LEDGER))
    for heading, lines in (
        ("What the treatment has done", effects(view)),
        ("What was said", answers(view)),
        ("What was done", dispositions(view)),
    ):
        if lines:
            items = (element("li", sentence(each)) for each in lines)
            parts += [element("h3", heading), element("ul", *items)]
    return joined(*parts)


def _place(each: Outcome) -> tuple[bool, int]:
    """Return the rank of an outcome: verdicts, the worst first, before what nobody judged."""
    return each.outcome == "not judged", WORST_FIRST.index(each.outcome)


def _together(each: Together) -> Markup:
    """Return a conclusion: the worst of its verdicts, never a mean."""
    words = f"{sentence(each.about)[:-1]}, together: "
    rests = f", the worst of {counted(each.verdicts, 'verdict')}." if each.verdicts > 1 else "."
    parts: list[str] = [words, element("strong", each.outcome), rests]
    if each.contradicted:
        parts += [" The check contradicts it:", *(f" {code}" for code in each.contradicted)]
    return element("p", *parts, class_="together")


def _ledger(table: LedgerTable) -> Markup:
    """Return where a difference arose, step by step."""
    heads = [element("th", each, scope="col", class_="n") for each in ("L*", "a*", "b*", "CIEDE2000")]
    head = element("thead", element("tr", element("th", "step", scope="col"), *heads))
    bodies = []
    for row in table.rows:
        cells = [element("td", minus(each), class_="n") for each in (*row.parts, row.difference)]
        lines = [element("tr", element("th", row.words, scope="row"), *cells)]
        if row.sure:
            lines.append(element("tr", element("td", sentence(row.sure), colspan="5", class_="small")))
        bodies.append(element("tbody", *lines))
    return joined(
        element("h3", f"Where the difference arose: {table.heading}"),
        element("p", table.reading),
        element("table", head, *bodies, class_="zones ledger"),
    )


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
        parts.append(element("p", sentence("; ".join(each.reasons))))
    if each.contradicted:
        codes = [part for code in each.contradicted for part in (" ", element("code", code))]
        parts.append(element("p", element("strong", "The check contradicts it:"), *codes))
    elif each.doubted and _limited(each):
        codes = [part for code in each.doubted for part in (" ", element("code", code))]
        parts.append(element("p", element("strong", "Ask first:"), " a warning is about what it rests on", *codes))
    if each.difference_text:
        parts.append(element("p", _measured(each)))
        parts.append(difference_lines(each, scale))
    if _limited(each):
        parts.append(element("p", _limit(each)))
    if each.does_not_say:
        parts.append(element("p", " ".join(each.does_not_say), class_="small"))
    return element("article", *parts, class_=f"outcome {each.outcome.replace(' ', '-')}")


def _limited(each: Outcome) -> bool:
    return bool(each.limit) and each.outcome != "cannot be compared"


def _headline(each: Outcome) -> str:
    return OUTCOME_SENTENCES[each.outcome]


def _measured(each: Outcome) -> str:
    """Return the difference in a sentence: size, give or take, formula, direction."""
    known = f"give or take {each.give_or_take}" if each.give_or_take else "give or take not stated"
    factor = f", k = {each.coverage}" if each.coverage else ""
    asked = f"{each.question} " if each.question != QUESTIONS["match"] else ""
    words = f"{asked}Difference {each.difference_text}, {known} ({each.formula}{factor}; {each.light})"
    words += f": {each.direction}." if each.direction else "."
    if each.budget:
        words += f" The give or take is made of {each.budget}."
    return words


def _limit(each: Outcome) -> str:
    words = f"Limit {each.limit}: {each.whose or 'nobody says whose it is'}."
    words += f" Rule: {each.rule_name}." if each.rule is not None else ""
    return words + (f" The difference itself lies {each.grade}." if each.grade else "")
