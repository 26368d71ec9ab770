"""A receiver's answer for the terminal: the answer, what is asked for and missing, what was let stand or left open.

It stands after what was found in the file and never beside the state of the file: the two are not one answer.
"""

from collections.abc import Iterator
from typing import Final

from shadefmt.model.report import DemandNotMet, Finding, Intake, Report
from shadefmt.rendering.figures import counted
from shadefmt.rendering.file_state import title_of
from shadefmt.rendering.visible import visible, wrapped
from shadefmt.vocabulary import IntakeAnswer, OpenMatter

ANSWERS: Final[dict[IntakeAnswer, str]] = {
    "accepted": "ACCEPTED",
    "refused": "REFUSED",
    "undecided": "UNDECIDED",
}
"""What the receiver says, in capitals."""

OPEN: Final[dict[OpenMatter, str]] = {
    "part": "part of the file was not looked at",
    "rule": "a rule that the profile insists on did not run",
    "demand": "a demand could not be looked at with what is at hand",
    "waiver": "no date was given to tell whether a waiver still holds",
}
"""Why an answer is left open."""

SHOWN: Final = 3
"""Places of one demand that are shown; the others are counted."""


def intake_lines(report: Report, width: int, verbose: bool = False) -> list[str]:
    """Return the lines on a receiver's answer; none where the file was not held against a profile."""
    intake = report.intake
    if intake is None:
        return []
    lines = ["", *wrapped(f'Under the profile "{visible(intake.profile.title)}": {ANSWERS[intake.answer]}', width)]
    lines += wrapped(against_words(intake), width, first="  ")
    lines += _demands(intake, width, verbose)
    lines += _let_stand(report, intake, width)
    for each in intake.left_open or ():
        lines += wrapped(f"left open: {OPEN[each.what]} [{visible(each.name)}]", width, first="  ", later="    ")
    for finding in intake.findings or ():
        lines += _on_waiver(finding, width)
    return lines


def against_words(intake: Intake) -> str:
    """Return what stands against a case, such as `1 finding and 2 demands stand against it.`"""
    counts = ((intake.findings_against, "finding"), (intake.demands_against, "demand"))
    parts = [counted(count, noun) for count, noun in counts if count]
    if not parts:
        return "Accepted only because of waivers." if intake.by_waiver else "Nothing found stands against it."
    verb = "stands" if intake.findings_against + intake.demands_against == 1 else "stand"
    return f"{' and '.join(parts)} {verb} against it. A demand is no fault of the file."


def _demands(intake: Intake, width: int, verbose: bool) -> Iterator[str]:
    """Yield demands not met, folded by demand, with what to do once."""
    folded: dict[str, list[DemandNotMet]] = {}
    for each in intake.demands_not_met or ():
        if each.waiver_id is None:
            folded.setdefault(each.demand, []).append(each)
    for demand, found in folded.items():
        yield from wrapped(f"demand: {title_of(demand)} [{demand}]", width, first="  ", later="      ")
        shown = found if verbose else found[:SHOWN]
        for each in shown:
            yield from wrapped(visible(each.message), width, first="    ")
        if len(found) > len(shown):
            yield f"    and {len(found) - len(shown)} more like this"
        for remedy in dict.fromkeys(each.remedy for each in shown if each.remedy is not None):
            yield from wrapped(visible(remedy), width, first="    What to do: ", later="      ")


def _let_stand(report: Report, intake: Intake, width: int) -> Iterator[str]:
    """Yield what waivers let stand, findings first."""
    waived = [(each.code, each.waiver_id, each.pointer) for each in report.findings or ()]
    waived += [(each.demand, each.waiver_id, each.pointer) for each in intake.demands_not_met or ()]
    for name, waiver_id, pointer in waived:
        if waiver_id is not None:
            words = f"waived by {visible(waiver_id)}: {visible(name)} at {visible(pointer) or 'the whole document'}"
            yield from wrapped(words, width, first="  ", later="    ")


def _on_waiver(finding: Finding, width: int) -> list[str]:
    place = visible(finding.entry_id or finding.pointer)
    words = f"{finding.severity}: {title_of(finding.code)} [{visible(finding.code)}], {place}"
    lines = wrapped(words, width, first="  ", later="    ")
    return lines + wrapped(visible(finding.message), width, first="    ")
