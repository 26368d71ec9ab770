"""Runs the cases that ask what a checker says of a document."""

import hashlib
from collections.abc import Callable
from typing import Any, Final

from suite import Case, Value, base, document, patched

from shadefmt.bundles import FileFacts
from shadefmt.checking import check
from shadefmt.model.report import Report

EXIT: Final = {"valid": 0, "invalid": 1, "incomplete": 3}
"""Exit code of a check of one file, by outcome."""


def run(case: Case) -> str | None:
    """What differs from the expectation, None where nothing does."""
    content = case.content
    report = check(document(content), **_options(content.get("options", {})))
    expected = content["expect"]
    faults = [
        _unlike("outcome", expected["outcome"], report.outcome),
        _unlike("exit", expected["exit"], EXIT[report.outcome]),
        _unlike("partly_checked", expected.get("partly_checked", False), report.partly_checked),
        _unlike("findings", sorted(map(tuple, expected["findings"])), found(report)),
        _missing_reasons(expected.get("not_run", []), report),
    ]
    return "; ".join(each for each in faults if each) or None


def found(report: Report) -> list[tuple[Any, ...]]:
    """What a report found as the suite writes it: code and pointer, of a fault of syntax code, line and column."""
    return sorted(
        (each.code, each.position.line, each.position.column)
        if each.stage == "syntax" and each.position is not None
        else (each.code, each.pointer)
        for each in report.findings or ()
    )


def _options(stated: Value) -> dict[str, Any]:
    """The arguments of `check` for the options of a case."""
    options: dict[str, Any] = {name: stated[name] for name in ("documents", "as_of") if name in stated}
    if "previous" in stated:
        options["previous"] = patched(base(stated["previous"]["base"]), stated["previous"].get("patch", []))
    if "attachments" in stated:
        options["attachments"] = _files(stated["attachments"])
    return options


def _files(texts: dict[str, str]) -> Callable[[str], FileFacts | None]:
    contents = {path: text.encode("utf-8") for path, text in texts.items()}
    return {path: FileFacts(len(data), hashlib.sha256(data).hexdigest()) for path, data in contents.items()}.get


def _unlike(name: str, expected: Any, got: Any) -> str | None:
    return None if expected == got else f"{name}: expected {expected}, got {got}"


def _missing_reasons(expected: list[list[str]], report: Report) -> str | None:
    reasons = {(each.code, each.reason) for each in report.rules_not_run or ()}
    missing = [each for each in expected if tuple(each) not in reasons]
    return f"not run: expected {missing}" if missing else None
