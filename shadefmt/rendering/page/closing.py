"""The last answers of the letter: what the check found and did not look at, where the case is from; the tray slip."""

from typing import Final

from shadefmt.indexing import CaseView
from shadefmt.model.report import Finding, Report
from shadefmt.rendering.account.colours import target_rows
from shadefmt.rendering.account.history import CAUTIONS, events, held, parties, privacy, revisions, withdrawals
from shadefmt.rendering.account.identity import identity
from shadefmt.rendering.account.unseen import unseen
from shadefmt.rendering.account.worked_out import bridges
from shadefmt.rendering.figures import listed, sentence
from shadefmt.rendering.file_state import Folded, folded, not_run, not_run_sentence
from shadefmt.rendering.page.markup import Markup, element, joined, minus
from shadefmt.rendering.page.opening import heading, teeth_words
from shadefmt.rendering.report_lines import because, place_words
from shadefmt.rendering.visible import shorter_digests

DIGITS: Final = 12
"""First digits of a digest that people compare."""


def what_was_found(report: Report) -> Markup:
    """Return the findings folded by code, the gravest first."""
    groups = folded(report.findings or ())
    if not groups:
        return element("p", "Nothing.")
    return joined(*(_group(each) for each in groups))


def _group(group: Folded) -> Markup:
    """Return one code: the first finding in full, the others folded away."""
    first, rest = group.findings[0], group.findings[1:]
    parts = [
        element("h3", f"{group.severity.capitalize()}: {group.title} ", element("code", group.code)),
        _finding(first),
    ]
    if first.remedy is not None:
        parts.append(element("p", "What to do: ", shorter_digests(first.remedy)))
    if rest:
        summary = element("summary", f"and {len(rest)} more like this")
        parts.append(element("details", summary, *(_finding(each) for each in rest)))
    return element("div", *parts, class_="found")


def _finding(finding: Finding) -> Markup:
    words = [element("p", shorter_digests(finding.message))]
    causes = [shorter_digests(each.message) for each in finding.causes or ()]
    if len(causes) == 1:
        words.append(element("p", f"Probably because {because(causes[0])}"))
    elif causes:
        words.append(element("p", "Any of these would explain it: ", " ".join(causes)))
    if finding.waiver_id is not None:
        words.append(element("p", f"The receiver lets it stand: waiver {finding.waiver_id}."))
    return joined(*words, element("p", place_words(finding), class_="where"))


def what_was_not_looked_at(view: CaseView, report: Report) -> Markup:
    """Return what neither rules nor program looked at."""
    items = unseen(view, report)
    items += [not_run_sentence(each) for each in not_run(report) if each.reason == "not-applicable"]
    if not items:
        return element("p", "Nothing was left out.")
    return element("ul", *(element("li", sentence(each)) for each in items), class_="unlooked")


def where_it_is_from(view: CaseView, report: Report) -> Markup:
    """Return who added what with which program, what is pinned, what was withdrawn, and the cautions."""
    judged, tool = report.judged, report.tool
    facts = [("case", view.case.id), ("parties", listed(parties(view)))]
    for number, each in enumerate(revisions(view), start=1):
        program = f", with {each.program}" if each.program else ""
        facts.append((f"revision {number}", f"{each.who}, {each.when}{program}. {each.note}".strip()))
    for item in held(view):
        facts.append((item.what, item.name + (f", digest begins {item.digest}" if item.digest else "")))
    facts += [("withdrawn", each) for each in withdrawals(view)]
    facts += [("event", each) for each in events(view)]
    facts += [("bridge", each) for each in bridges(view)]
    facts.append(("checked", f"by {tool.name} {tool.version}, format {tool.format_version}, rules {tool.rule_set}"))
    if report.as_of is not None:
        facts.append(("as of", report.as_of))
    facts.append(("digest", f"SHA-256 {judged.sha256 or judged.bytes_sha256}"))
    rows = [element("tr", element("th", name, scope="row"), element("td", words)) for name, words in facts if words]
    cautions = " ".join([*privacy(view), *CAUTIONS])
    return joined(element("table", *rows, class_="facts small"), element("p", cautions, class_="small"))


def tray_slip(view: CaseView, report: Report) -> Markup:
    """Return the slip to cut off and lay beside the work: tooth, zones with numbers, where the target is from.

    Nothing where no colour to reach is stated.
    """
    known = identity(view)
    named = [f"case {known.name}"] if known.name != view.case.id else []
    rows = []
    for each in target_rows(view):
        place = each.zone if len(known.teeth) < 2 else f"{each.specimen}, {each.zone}"
        cells = [element("td", minus(one), class_="n") for one in each.lab or ("–", "–", "–")]
        rows.append(element("tr", element("th", place, scope="row"), *cells, element("td", ", ".join(each.how_short))))
    if not rows:
        return Markup("")
    parts = [
        element("p", "cut here", class_="cut"),
        element("h2", ", ".join(filter(None, [teeth_words(known), known.tooth_words])) or heading(known)),
        element("p", "; ".join(filter(None, [*named, listed(known.work), _due(known.due)]))),
        element("table", *rows),
        element("p", sheet_words(view, report)),
    ]
    return element("aside", *parts, class_="slip on-paper")


def sheet_words(view: CaseView, report: Report) -> str:
    """Return what stands at the end of each printed sheet."""
    digest = report.judged.sha256 or report.judged.bytes_sha256
    return f"case {view.case.id}, SHA-256 {digest[:DIGITS]}"


def _due(due: str | None) -> str:
    return f"due {due}" if due is not None else ""
