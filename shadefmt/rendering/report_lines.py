"""A report for the terminal: the state of the file first, then what was found, then what was not looked at."""

from collections.abc import Iterator
from typing import Final

from shadefmt.model.report import Cause, Finding, Report
from shadefmt.rendering.figures import counted
from shadefmt.rendering.file_state import (
    REASONS,
    Folded,
    NotRun,
    file_state,
    folded,
    not_run,
    not_run_sentence,
    state_sentence,
    totals_words,
    unlisted,
)
from shadefmt.rendering.intake_lines import intake_lines
from shadefmt.rendering.visible import shorter_digests, visible, wrapped

SHOWN: Final = 3
"""Findings of one code that are shown in full; the others are counted."""


def report_text(report: Report, *, name: str, width: int = 80, verbose: bool = False) -> str:
    """Return a report as lines of at most `width` columns, ending with a line break.

    `name` is what the file is called; `verbose` shows every finding, every rule that did not run and digests in
    full. Whatever stood in the file is shown with its control characters escaped.
    """
    lines = [visible(name)]  # whole, so that it can be copied
    lines += [file_state(report), totals_words(report), *wrapped(state_sentence(report), width)]
    for group in folded(report.findings or ()):
        lines += ["", *_group(group, width, verbose)]
    left = unlisted(report)
    if left:
        lines += ["", *wrapped(f"{counted(left, 'finding is', 'findings are')} counted but not listed.", width)]
    lines += intake_lines(report, width, verbose)
    lines += _not_looked_at(report, width, verbose)
    lines += ["", *_closing(report, width)]
    return "\n".join(lines) + "\n"


def _group(group: Folded, width: int, verbose: bool) -> Iterator[str]:
    """Yield one code: title, its findings, what to do. A remedy that is the same for all is given once."""
    yield from wrapped(f"{group.severity}: {visible(group.title)} [{visible(group.code)}]", width, later="    ")
    shown = group.findings if verbose else group.findings[:SHOWN]
    for finding in shown:
        yield from _finding(finding, width, verbose)
    more = len(group.findings) - len(shown)
    if more:
        yield f"  and {more} more like this"
    for remedy in dict.fromkeys(each.remedy for each in shown if each.remedy is not None):
        yield from wrapped(_from_file(remedy, verbose), width, first="  What to do: ", later="    ")


def _finding(finding: Finding, width: int, verbose: bool) -> Iterator[str]:
    yield from wrapped(place_words(finding), width, first="  at ", later="     ")
    yield from wrapped(_from_file(finding.message, verbose), width, first="    ")
    causes = finding.causes or []
    if len(causes) == 1:
        yield from wrapped(f"probably because {_because(causes[0], verbose)}", width, first="    ")
    elif causes:
        yield "    any of these would explain it:"
        for cause in causes:
            yield from wrapped(_from_file(cause.message, verbose), width, first="    - ")


def place_words(finding: Finding) -> str:
    """Return where a finding lies: line and column, pointer, entry."""
    parts = []
    if finding.position is not None:
        parts.append(f"line {finding.position.line}, column {finding.position.column}")
    parts.append(visible(finding.pointer) if finding.pointer else "the whole document")
    if finding.entry_id is not None:
        parts.append(f"entry {visible(finding.entry_id)}")
    return ", ".join(parts)


def because(message: str) -> str:
    """Return the message of a cause as it follows `because`: a small letter first, unless a symbol begins it."""
    return message[:1].lower() + message[1:] if message[1:2].islower() or message[1:2] == " " else message


def _because(cause: Cause, verbose: bool) -> str:
    return because(_from_file(cause.message, verbose))


def _from_file(text: str, verbose: bool) -> str:
    return visible(text if verbose else shorter_digests(text))


def _not_looked_at(report: Report, width: int, verbose: bool) -> list[str]:
    """Return what did not run by reason, and what was not supplied; nothing where all of it ran."""
    lines: list[str] = []
    for group in not_run(report):
        lines += wrapped(f"{not_run_sentence(group)}.", width, first="  ", later="    ")
        if verbose or group.reason in ("failed", "limit"):
            lines += _codes(group, width)
    for each in report.not_supplied or ():
        words = f"The {each.what} {visible(each.name)} was not supplied (entry {visible(each.entry_id)})."
        lines += wrapped(words, width, first="  ", later="    ")
    return ["", "Not looked at", *lines] if lines else []


def _codes(group: NotRun, width: int) -> list[str]:
    assert group.reason in REASONS
    return wrapped(", ".join(map(visible, group.codes)), width, first="    ")


def _closing(report: Report, width: int) -> list[str]:
    judged, tool = report.judged, report.tool
    digest = judged.sha256 or judged.bytes_sha256
    what = "document" if judged.sha256 is not None else "bytes"
    lines = []
    if report.findings is not None:
        code = visible(report.findings[0].code)
        lines += wrapped(f"Why a finding matters: shadefmt explain CODE, such as shadefmt explain {code}", width)
    lines += wrapped(f"Checked by {visible(tool.name)} {visible(tool.version)}, rules {visible(tool.rule_set)}.", width)
    moment = f", as of {visible(report.as_of)}" if report.as_of is not None else ""
    return lines + wrapped(f"SHA-256 of the {what} {digest[:12]}...{moment}", width)
