"""Runs the cases that ask what a checker says of a document."""

import hashlib
from collections.abc import Callable
from typing import Any, Final, NamedTuple

from suite import Case, Value, base, document, patched

from shadefmt.bundles import FileFacts
from shadefmt.checking import check
from shadefmt.jsontext import decode
from shadefmt.model.report import Report
from shadefmt.structure import structured

EXIT: Final = {"valid": 0, "invalid": 1, "incomplete": 3}
"""Exit code of a check of one file, by outcome."""


class Answer(NamedTuple):
    """What an implementation says of one document. Findings are written as in the suite, see `found`."""

    outcome: str
    partly_checked: bool
    findings: list[tuple[Any, ...]]
    not_run: frozenset[tuple[str, str]] = frozenset()


def run(case: Case) -> str | None:
    """What differs from the expectation, None where nothing does."""
    return compared(case.content["expect"], answer(case.content))


def run_structure(case: Case) -> str | None:
    """What the structure stage finds otherwise than expected, None where nothing; rules are not asked."""
    value = decode(document(case.content)).value
    got = sorted((each.code, each.pointer) for each in structured(value, value["kind"]).faults)
    return _unlike("findings", sorted(map(tuple, case.content["expect"]["findings"])), got)


def answer(case: Value) -> Answer:
    """What the checker of this package says of a case."""
    report = check(document(case), **options(case.get("options", {})))
    not_run = frozenset((each.code, each.reason) for each in report.rules_not_run or ())
    return Answer(report.outcome, report.partly_checked, found(report), not_run)


def compared(expected: Value, got: Answer) -> str | None:
    """What an answer has otherwise than expected, None where nothing: findings as a whole, each as often as stated."""
    missing = sorted(set(map(tuple, expected.get("not_run", []))) - got.not_run)
    faults = [
        _unlike("outcome", expected["outcome"], got.outcome),
        _unlike("exit", expected["exit"], EXIT[got.outcome]),
        _unlike("partly_checked", expected.get("partly_checked", False), got.partly_checked),
        _unlike("findings", sorted(map(tuple, expected["findings"])), sorted(got.findings)),
        _unlike("not listed as not run", [], missing),
    ]
    return "; ".join(each for each in faults if each) or None


def found(report: Report) -> list[tuple[Any, ...]]:
    """What a report found as the suite writes it: code and pointer, of a fault of syntax code, line and column."""
    return [
        (each.code, each.position.line, each.position.column)
        if each.stage == "syntax" and each.position is not None
        else (each.code, each.pointer)
        for each in report.findings or ()
    ]


def options(stated: Value) -> dict[str, Any]:
    """The arguments of `check` for the options of a case."""
    made: dict[str, Any] = {name: stated[name] for name in ("documents", "as_of") if name in stated}
    if "previous" in stated:
        made["previous"] = patched(base(stated["previous"]["base"]), stated["previous"].get("patch", []))
    if "attachments" in stated:
        made["attachments"] = _files(stated["attachments"])
    return made


def _files(texts: dict[str, str]) -> Callable[[str], FileFacts | None]:
    contents = {path: text.encode("utf-8") for path, text in texts.items()}
    return {path: FileFacts(len(data), hashlib.sha256(data).hexdigest()) for path, data in contents.items()}.get


def _unlike(name: str, expected: Any, got: Any) -> str | None:
    return None if expected == got else f"{name}: expected {expected}, got {got}"
