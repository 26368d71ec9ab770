"""A case held against a profile and waivers: the check as it is, and beside it the receiver's answer."""

from collections.abc import Mapping
from typing import Any

from shadefmt.bundles import Attachments, FileFacts
from shadefmt.checking import check
from shadefmt.indexing import CaseView
from shadefmt.intake.answering import answered
from shadefmt.intake.asking import ask
from shadefmt.intake.desk import Desk
from shadefmt.intake.looking import Look
from shadefmt.jsontext import decode
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.structure import structured


def receive(
    data: bytes,
    desk: Desk,
    *,
    documents: Mapping[str, str] | None = None,
    attachments: Attachments | None = None,
    previous: dict[str, Any] | None = None,
    as_of: str | None = None,
    max_findings: int | None = None,
    name: str | None = None,
) -> Report:
    """Check one document and, where it is a case or cannot be read, say whether the receiver takes it.

    The options are those of `checking.check`; `as_of` should be the moment that the desk was made for. The report is
    that of the check, with marks on findings and the block `intake`; outcome, totals and severities are the same.
    A document of another kind is checked and not answered.
    """
    remembered = _remembering(attachments)
    report = check(data, documents=documents, attachments=remembered, previous=previous, as_of=as_of, name=name)
    if report.judged.kind in (None, "case"):
        root = decode(data).value
        view = _view(root, report)
        look = Look(view, as_of, _files(view, remembered), documents or {}) if view is not None else None
        report = answered(report, desk, ask(root, look, desk.profile.demands))
    return _capped(report, max_findings)


def _view(root: Any, report: Report) -> CaseView | None:
    """Return the case with its ids resolved, None where its structure does not allow that."""
    if report.judged.kind != "case" or not isinstance(root, dict):
        return None
    codes = {each.code for each in report.findings or ()}
    if any(code.startswith("version-") and code != "version-newer" for code in codes):
        return None
    model = structured(root, "case", newer="version-newer" in codes).root
    return CaseView(model) if isinstance(model, Case) else None


def _remembering(attachments: Attachments | None) -> Attachments | None:
    """Return the same access to files that reads none of them twice."""
    if attachments is None:
        return None
    known: dict[str, FileFacts | None] = {}

    def facts(path: str) -> FileFacts | None:
        if path not in known:
            known[path] = attachments(path)
        return known[path]

    return facts


def _files(view: CaseView, attachments: Attachments | None) -> dict[str, FileFacts] | None:
    """Return what is at the paths that a case names, None where no files are at hand."""
    if attachments is None:
        return None
    found = {each.path: attachments(each.path) for each in view.case.attachments or ()}
    return {path: facts for path, facts in found.items() if facts is not None}


def _capped(report: Report, most: int | None) -> Report:
    """Return a report that lists at most so many findings, and so many demands; totals stay what they are."""
    if most is None:
        return report
    intake = report.intake
    if intake is not None:
        intake = intake.model_copy(update={"demands_not_met": (intake.demands_not_met or [])[:most] or None})
    return report.model_copy(update={"findings": (report.findings or [])[:most] or None, "intake": intake})
