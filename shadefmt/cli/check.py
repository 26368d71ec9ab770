"""`shadefmt check`: report on every document, worst outcome decides the exit code."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from shadefmt.bundles import Attachments, beside, is_zip, zip_bundle
from shadefmt.checking import check
from shadefmt.documents import load
from shadefmt.errors import CannotRead, WrongUse
from shadefmt.files import STANDARD, read_bytes
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
    for path in _files(given.paths):
        try:
            data = read_bytes(path)
        except CannotRead as failure:
            print(f"shadefmt: {failure}", file=sys.stderr)
            worst = 3
            continue
        for name, document, attachments in _documents(path, data):
            report = check(
                document,
                documents=documents,
                attachments=attachments,
                previous=previous,
                as_of=given.as_of,
                max_findings=given.max_findings,
                name=name,
            )
            _print(report, name, given)
            worst = max(worst, EXIT[report.outcome], key=ORDER.index)
    return worst


def _print(report: Report, name: str, given: argparse.Namespace) -> None:
    if given.quiet and report.outcome == "valid" and report.findings is None:
        return
    if given.format == "json":
        sys.stdout.write(line_form(report.to_value()).decode())
    else:
        sys.stdout.write(report_text(report, name=name, verbose=given.verbose))


def _documents(path: str, data: bytes) -> Iterator[tuple[str, bytes, Attachments | None]]:
    """Yield each document of a file with its name and the files around it.

    Lines of a *.ndjson come one by one; a ZIP archive is a bundle; any other file is one document, whose attachments
    lie beside it.
    """
    if path.endswith(".ndjson"):
        for number, line in enumerate(data.split(b"\n"), 1):
            if line.strip():
                yield f"{path}:{number}", line, None
    elif is_zip(data):
        bundle = zip_bundle(data, path)
        yield bundle.name, bundle.document, bundle.attachments
    elif path == STANDARD:
        yield "standard input", data, None
    else:
        yield path, data, beside(path)


def _files(paths: list[str]) -> Iterator[str]:
    """Yield the files to check; a folder stands for every document below it, in order of name."""
    for path in paths:
        if path != STANDARD and Path(path).is_dir():
            found = sorted(each for each in Path(path).rglob("*.shade.*json") if each.is_file())
            if not found:
                raise CannotRead(f"{path}: no *.shade.json in this folder")
            yield from map(str, found)
        else:
            yield path


def _supplied(paths: list[str]) -> Iterator[tuple[str, str]]:
    for path in paths:
        document = load(path)
        if not isinstance(document.get("id"), str):
            raise WrongUse(f"{path}: the document has no id, so no case can pin it")
        yield document["id"], digest(document)
