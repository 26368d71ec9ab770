"""What holds for every report, whatever was checked: read off the report and the bytes, without the checker."""

import hashlib
import json
import re
from collections import Counter
from typing import Any, Final

from validators import by_jsonschema_rs

from shadefmt.jsontext import decode, digest, resolve
from shadefmt.model.report import Finding, Report
from shadefmt.resources import schema_folder

Value = dict[str, Any]

RULES: Final[dict[str, Value]] = {
    each["code"]: each for each in json.loads((schema_folder() / "rules.json").read_bytes())["rules"]
}
"""The published catalogue by code."""

SEVERITIES: Final = ("error", "warning", "note")


def require_sound(report: Report, data: bytes) -> None:
    """Fail where a report breaks one of the promises that every report makes."""
    value = report.to_value()
    Report.model_validate(value)
    assert by_jsonschema_rs("report")(value)
    root = decode(data).value
    _require_outcome(report)
    for finding in report.findings or ():
        _require_of_catalogue(finding)
        _require_placed(finding, root, data)
    _require_ordered(report.findings or [])
    _require_judged(report, data, root)
    _require_rules_accounted(report)


def _require_outcome(report: Report) -> None:
    totals = report.totals
    expected = "invalid" if totals.errors else "incomplete" if report.partly_checked else "valid"
    assert report.outcome == expected
    listed = Counter[str](each.severity for each in report.findings or ())
    whole = (totals.errors, totals.warnings, totals.notes)
    assert all(listed[severity] <= number for severity, number in zip(SEVERITIES, whole, strict=True))


def _require_of_catalogue(finding: Finding) -> None:
    rule = RULES[finding.code]
    assert (finding.stage, finding.severity) == (rule["stage"], rule["severity"])
    assert set(finding.parameters) == set(rule.get("parameters", [])), finding.code
    spoken = set(re.findall(r"\{(\w+)\}", rule["message"] + rule["remedy"]))
    assert spoken <= set(finding.parameters), finding.code


def _require_placed(finding: Finding, root: Any, data: bytes) -> None:
    """The pointer leads somewhere, the entry named holds the place, the place is inside the text."""
    place = finding.position
    assert place is not None
    assert 1 <= place.line <= len(re.split(rb"\r\n|\r|\n", data))
    if finding.stage == "syntax":
        return
    resolve(root, finding.pointer)
    if finding.entry_id is not None:
        assert finding.entry_id in set(_ids(root)), finding.code


def _ids(value: Any) -> list[str]:
    if isinstance(value, dict):
        own = [value["id"]] if isinstance(value.get("id"), str) else []
        return own + [each for item in value.values() for each in _ids(item)]
    return [each for item in value for each in _ids(item)] if isinstance(value, list) else []


def _require_ordered(findings: list[Finding]) -> None:
    ranks = [
        (SEVERITIES.index(each.severity), each.position.line, each.position.column, each.pointer, each.code)
        for each in findings
        if each.position is not None
    ]
    assert ranks == sorted(ranks)


def _require_judged(report: Report, data: bytes, root: Any) -> None:
    judged = report.judged
    assert judged.bytes_sha256 == hashlib.sha256(data).hexdigest()
    assert judged.size_bytes == len(data)
    assert judged.sha256 == (digest(root) if isinstance(root, dict) else None)


def _require_rules_accounted(report: Report) -> None:
    """No rule is listed twice, unknown, or beside findings of its own; none broke."""
    not_run = [each.code for each in report.rules_not_run or ()]
    assert len(set(not_run)) == len(not_run)
    assert all(RULES[code]["stage"] == "rules" for code in not_run)
    assert not [each.code for each in report.rules_not_run or () if each.reason == "failed"]
    assert not (set(not_run) & {each.code for each in report.findings or ()})
