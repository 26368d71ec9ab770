"""`shadefmt check`: report on every document, worst outcome decides the exit code."""

import argparse
import sys
from collections.abc import Iterator
from typing import Final

from shadefmt.checking import check
from shadefmt.cli.sources import files, sources
from shadefmt.documents import load
from shadefmt.errors import CannotRead, Refused, WrongUse
from shadefmt.jsontext import digest, line_form
from shadefmt.model.report import Report
from shadefmt.rendering import report_text

EXIT: Final = {"valid": 0, "invalid": 1, "incomplete": 3}
ORDER: Final = (0, 1, 3)
"""Exit codes from least to worst: over many files 3 beats 1 beats 0."""


def run(given: argparse.Namespace) -> int:
    """Check all paths and print their reports."""
    documents = dict(_supplied(given.documents))
    previous = load(given.previous) if given.previous else None
    worst = 0
    for path in files(given.paths):
        try:
            for source in sources(path, lines=given.lines):
                report = check(
                    source.data,
                    documents=documents,
                    attachments=source.attachments,
                    previous=previous,
                    as_of=given.as_of,
                    max_findings=given.max_findings,
                    name=source.name,
                )
                _print(report, source.name, given)
                worst = max(worst, EXIT[report.outcome], key=ORDER.index)
        except (CannotRead, Refused) as failure:
            print(f"shadefmt: {failure}", file=sys.stderr)
            worst = 3
    return worst


def _print(report: Report, name: str, given: argparse.Namespace) -> None:
    if given.quiet and report.outcome == "valid" and report.findings is None:
        return
    if given.format == "json":
        sys.stdout.write(line_form(report.to_value()).decode())
    else:
        sys.stdout.write(report_text(report, name=name, verbose=given.verbose))


def _supplied(paths: list[str]) -> Iterator[tuple[str, str]]:
    for path in paths:
        document = load(path)
        if not isinstance(document.get("id"), str):
            raise WrongUse(f"{path}: the document has no id, so no case can pin it")
        yield document["id"], digest(document)
