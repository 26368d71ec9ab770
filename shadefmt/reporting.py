"""From hits to a report: the words of the catalogue, places in the text, order, totals, outcome."""

import hashlib
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Final

from shadefmt.catalogue import catalogue
from shadefmt.chain.causes import causes_of
from shadefmt.jsontext import digest, locate
from shadefmt.model.report import (
    Cause,
    Finding,
    Judged,
    NotSupplied,
    Position,
    Report,
    RuleNotRun,
    Tool,
    Totals,
)
from shadefmt.rules.base import Hit
from shadefmt.versions import FORMAT_NAME, FORMAT_VERSION, tool_version
from shadefmt.vocabulary import NotRunReason, Outcome, Pinned

SEVERITIES: Final = ("error", "warning", "note")
"""From worst to least."""


@dataclass
class Findings:
    """What one check has found so far.

    `partly` says that something was not looked at because of a limit, a failure, a newer version or an unknown
    required extension; `not_run` holds the rules that did not run and why.
    """

    data: bytes
    name: str | None = None
    found: list[Finding] = field(default_factory=list)
    not_run: dict[str, NotRunReason] = field(default_factory=dict)
    partly: bool = False

    def add(self, code: str, hit: Hit, position: Position | None = None) -> None:
        """Add one finding."""
        rule = catalogue().rules[code]
        params = dict(hit.params)
        self.found.append(
            Finding.model_construct(
                code=code,
                stage=rule.stage,
                severity=rule.severity,
                pointer=hit.pointer,
                entry_id=hit.entry_id,
                parameters=params,
                message=rule.say(params),
                remedy=rule.advise(params),
                causes=_causes(code, hit),
                position=position,
            )
        )


def report_of(
    findings: Findings,
    root: dict[str, Any] | None,
    *,
    supplied: Collection[str],
    as_of: str | None,
    max_findings: int | None,
) -> Report:
    """Return the report of a check; `root` is the document where it could be decoded to an object."""
    placed = _placed(findings)
    errors, warnings, notes = (sum(each.severity == severity for each in placed) for severity in SEVERITIES)
    listed = placed if max_findings is None else placed[:max_findings]
    outcome: Outcome = "invalid" if errors else "incomplete" if findings.partly else "valid"
    return Report.model_construct(
        format="shadefmt",
        version="1.0",
        kind="report",
        tool=_tool(),
        judged=_judged(findings, root),
        as_of=as_of,
        outcome=outcome,
        partly_checked=findings.partly,
        totals=Totals.model_construct(errors=errors, warnings=warnings, notes=notes),
        findings=listed or None,
        rules_not_run=_listed(tuple(findings.not_run.items())),
        not_supplied=[each for each in pinned(root or {}) if each.name not in supplied] or None,
    )


def _placed(findings: Findings) -> list[Finding]:
    """Return the findings with their places in the text, worst first, then by place."""
    missing = [each.pointer for each in findings.found if each.position is None]
    places = locate(findings.data, missing) if missing else {}
    placed = []
    for each in findings.found:
        if each.position is None:
            at = places[each.pointer]
            position = Position.model_construct(line=at.line, column=at.column)
            each = each.model_copy(update={"position": position})
        placed.append(each)
    return sorted(placed, key=_rank)


def _rank(finding: Finding) -> tuple[int, int, int, str, str]:
    place = finding.position
    assert place is not None
    return SEVERITIES.index(finding.severity), place.line, place.column, finding.pointer, finding.code


def _causes(code: str, hit: Hit) -> list[Cause] | None:
    found = causes_of(code, hit.facts) if hit.facts is not None else []
    made = [Cause.model_construct(code=each.code, parameters=each.params, message=each.message) for each in found]
    return made or None


def _as_text(name: str) -> str:
    """Return a file name that is no UTF-8 with its odd bytes written as escapes."""
    return name.encode("utf-8", "backslashreplace").decode()


@cache
def _tool() -> Tool:
    return Tool.model_construct(
        name=FORMAT_NAME,
        version=tool_version(),
        format_version=FORMAT_VERSION,
        rule_set=catalogue().rule_set,
    )


def _judged(findings: Findings, root: Mapping[str, Any] | None) -> Judged:
    return Judged.model_construct(
        name=_as_text(findings.name)[-200:] if findings.name else None,
        bytes_sha256=hashlib.sha256(findings.data).hexdigest(),
        size_bytes=len(findings.data),
        sha256=digest(root) if root is not None else None,
        kind=_stated(root, "kind"),
        version=_stated(root, "version"),
        id=_stated(root, "id"),
    )


def _stated(root: Mapping[str, Any] | None, member: str) -> str | None:
    """Return what a document says of itself, where that is a short text."""
    item = root.get(member) if root is not None else None
    return item if isinstance(item, str) and 0 < len(item) <= 200 else None


@cache
def _listed(not_run: tuple[tuple[str, NotRunReason], ...]) -> list[RuleNotRun] | None:
    made = [RuleNotRun.model_construct(code=code, reason=reason) for code, reason in not_run]
    return made or None


def pinned(root: Mapping[str, Any]) -> Iterator[NotSupplied]:
    """Yield the documents and attachments that a case pins, as far as it is sound."""
    for name in ("reference_sets", "tolerances"):
        for entry in _objects(root.get(name)):
            pin = entry.get("document")
            if isinstance(pin, dict):
                yield from _not_supplied("document", pin.get("id"), entry.get("id"))
    for entry in _objects(root.get("attachments")):
        yield from _not_supplied("attachment", entry.get("path"), entry.get("id"))


def _objects(item: Any) -> list[dict[str, Any]]:
    return [each for each in item if isinstance(each, dict)] if isinstance(item, list) else []


def _not_supplied(what: Pinned, name: Any, entry_id: Any) -> Iterator[NotSupplied]:
    if isinstance(name, str) and isinstance(entry_id, str):
        yield NotSupplied.model_construct(what=what, name=name, entry_id=entry_id)
