"""The state of a file in words, what was found folded by code, and what was not looked at."""

from collections.abc import Iterable
from typing import Final, NamedTuple

from shadefmt.catalogue import catalogue
from shadefmt.model.report import Finding, Report
from shadefmt.rendering.figures import counted, listed
from shadefmt.rendering.visible import visible
from shadefmt.vocabulary import NotRunReason

SOUND: Final = "FILE SOUND"
FAULTY: Final = "FILE FAULTY"
PARTLY: Final = "FILE ONLY PARTLY CHECKED"
FAULTY_AND_PARTLY: Final = "FILE FAULTY, AND ONLY PARTLY CHECKED"

SEVERITIES: Final = {
    "error": "error: the file contradicts itself",
    "warning": "warning: ask before work starts",
    "note": "note: worth knowing, nobody has to act",
}

REASONS: Final[dict[NotRunReason, str]] = {
    "failed": "did not finish: a fault of the program, not of the file",
    "limit": "stopped at a limit of the program",
    "blocked": "could not run because of what was found before",
    "not-supplied": "need something that was not supplied",
    "off": "were switched off",
    "not-applicable": "have nothing to look at in this file",
}
"""Why rules did not run, the most serious first."""

SERIOUS: Final = frozenset({"failed", "limit", "blocked"})
"""Reasons after which something that should have been looked at was not."""


class Folded(NamedTuple):
    """Findings of one code: all of them, in the order of the report."""

    code: str
    severity: str
    title: str
    findings: list[Finding]


class NotRun(NamedTuple):
    """Rules that did not run for one reason."""

    reason: NotRunReason
    words: str
    codes: list[str]


def file_state(report: Report) -> str:
    """Return the state of the file in capitals; faulty and partly checked can both hold."""
    faulty = report.totals.errors > 0 or report.outcome == "invalid"
    partly = report.partly_checked or report.outcome == "incomplete"
    if faulty:
        return FAULTY_AND_PARTLY if partly else FAULTY
    return PARTLY if partly else SOUND


def state_sentence(report: Report) -> str:
    """Return what the state means for whoever received the file."""
    return {
        SOUND: "Nothing in the file contradicts itself. That is no statement about the work.",
        FAULTY: "The file contradicts itself. Ask the sender before relying on its numbers.",
        PARTLY: "No contradiction was found in what was looked at; the rest was not looked at.",
        FAULTY_AND_PARTLY: "The file contradicts itself, and part of it was not looked at.",
    }[file_state(report)]


def totals_words(report: Report) -> str:
    """Return how much was found, such as `2 errors, 1 warning, no notes`."""
    totals = ((report.totals.errors, "error"), (report.totals.warnings, "warning"), (report.totals.notes, "note"))
    return ", ".join(counted(count, noun) if count else f"no {noun}s" for count, noun in totals)


def unlisted(report: Report) -> int:
    """Return how many findings the listing leaves out."""
    return report.totals.errors + report.totals.warnings + report.totals.notes - len(report.findings or ())


def folded(findings: Iterable[Finding]) -> list[Folded]:
    """Return findings by code, worst first; within a severity in the order in which codes come up."""
    found: dict[tuple[str, str], list[Finding]] = {}
    for each in findings:
        found.setdefault((each.severity, each.code), []).append(each)
    order = list(SEVERITIES)
    ranked = sorted(found.items(), key=lambda item: order.index(item[0][0]))
    return [Folded(code, severity, title_of(code), group) for (severity, code), group in ranked]


def title_of(name: str) -> str:
    """Return the title of a rule by its code or of a demand by its word; of one unknown here, the name itself."""
    entry = catalogue().rules.get(name) or catalogue().demands.get(name)
    return entry.title if entry is not None else visible(name)


def not_run(report: Report) -> list[NotRun]:
    """Return the rules that did not run by reason, the most serious first."""
    found = []
    for reason, words in REASONS.items():
        codes = [each.code for each in report.rules_not_run or () if each.reason == reason]
        if codes:
            found.append(NotRun(reason, words, codes))
    return found


def not_run_sentence(group: NotRun) -> str:
    """Return one reason as a sentence, such as `3 rules need something that was not supplied`."""
    words = group.words
    if len(group.codes) == 1:
        for many, one in (("need ", "needs "), ("were ", "was "), ("have ", "has ")):
            if words.startswith(many):
                words = one + words.removeprefix(many)
    return f"{counted(len(group.codes), 'rule')} {words}"


def supplied_sentences(report: Report) -> list[str]:
    """Return what the case pins and nobody supplied, such as `2 documents and 1 attachment were not supplied`."""
    counts = {what: sum(each.what == what for each in report.not_supplied or ()) for what in ("document", "attachment")}
    parts = [counted(count, what) for what, count in counts.items() if count]
    if not parts:
        return []
    verb = "was" if sum(counts.values()) == 1 else "were"
    return [f"{listed(parts)} that the case names {verb} not supplied, so not looked at"]
