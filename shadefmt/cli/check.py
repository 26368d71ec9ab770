"""`shadefmt check`: report on every document, worst outcome decides the exit code."""

import argparse
import sys
from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

from shadefmt.checking import check
from shadefmt.cli.progress import counted
from shadefmt.cli.sources import files, sources
from shadefmt.cli.speaking import say
from shadefmt.documents import load
from shadefmt.errors import CannotRead, Refused, WrongUse
from shadefmt.files import STANDARD, read_bytes, write_whole
from shadefmt.jsontext import digest, line_form
from shadefmt.model.report import Report
from shadefmt.rendering import report_text

EXIT: Final = {"valid": 0, "invalid": 1, "incomplete": 3}
INTAKE_EXIT: Final = {"accepted": 0, "refused": 1, "undecided": 3}
"""Exit codes of cases that are held against a profile; those of other documents follow their outcome."""

ORDER: Final = (0, 1, 3)
"""Exit codes from least to worst: over many files 3 beats 1 beats 0."""


def run(given: argparse.Namespace) -> int:
    """Check all paths and print their reports."""
    documents = dict(_supplied(given.documents))
    previous = load(given.previous) if given.previous else None
    checker = _checker(given)
    worst = 0
    for path in files(given.paths):
        try:
            for source in counted(sources(path, lines=given.lines), "documents", printing=True):
                report = checker(
                    source.data,
                    documents=documents,
                    attachments=source.attachments,
                    previous=previous,
                    as_of=given.as_of,
                    max_findings=given.max_findings,
                    name=source.name,
                )
                _print(report, source.name, given)
                worst = max(worst, _exit_of(report), key=ORDER.index)
        except (CannotRead, Refused) as failure:
            say(f"shadefmt: {failure}")
            worst = 3
    return worst


def _checker(given: argparse.Namespace) -> Callable[..., Report]:
    """Return what looks at a document: the check alone, or with the answer of a receiver beside it."""
    if given.profile is None:
        if given.waivers is not None:
            raise WrongUse("--waivers needs --profile: waivers act on the answer of a receiver, never on the file")
        return check
    from shadefmt.intake import desk_of, receive

    desk = desk_of(
        read_bytes(given.profile),
        read_bytes(given.waivers) if given.waivers is not None else None,
        as_of=given.as_of,
        profile_name=given.profile,
        waivers_name=given.waivers or "waivers",
    )
    return partial(receive, desk=desk)


def _exit_of(report: Report) -> int:
    return EXIT[report.outcome] if report.intake is None else INTAKE_EXIT[report.intake.answer]


def _is_silent(report: Report) -> bool:
    """Return whether nothing was found in a file and nothing stands against it."""
    intake = report.intake
    content = intake is None or (intake.answer == "accepted" and not (intake.demands_not_met or intake.findings))
    return report.outcome == "valid" and report.findings is None and content


def _print(report: Report, name: str, given: argparse.Namespace) -> None:
    if given.quiet and _is_silent(report):
        return
    if given.format == "json":
        write_whole(STANDARD, line_form(report.to_value()))
    else:
        sys.stdout.write(report_text(report, name=name, verbose=given.verbose))


def _supplied(paths: list[str]) -> Iterator[tuple[str, str]]:
    for path in paths:
        document = load(path)
        if not isinstance(document.get("id"), str):
            raise WrongUse(f"{path}: the document has no id, so no case can pin it")
        yield document["id"], digest(document)
