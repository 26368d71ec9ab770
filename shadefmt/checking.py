"""The checker: bytes in, report out. Syntax, version, structure, rules, each stage where the one before allows.

Nothing is repaired, nothing is fetched, no clock is read: the same bytes, documents and moment give the same
report.
"""

import re
from collections.abc import Mapping
from functools import cache
from typing import Any, Final

from shadefmt.bundles import Attachments, FileFacts
from shadefmt.catalogue import RuleEntry, catalogue
from shadefmt.jsontext import Decoded, decode
from shadefmt.model.kinds import KINDS
from shadefmt.model.report import Position, Report
from shadefmt.reporting import Findings, pinned, report_of
from shadefmt.rules import RULES
from shadefmt.rules.base import Hit, Matter, Supplied
from shadefmt.structure import structured
from shadefmt.versions import FORMAT_MAJOR, FORMAT_MINOR, FORMAT_NAME, FORMAT_VERSION, is_later
from shadefmt.vocabulary import NotRunReason

KNOWN_EXTENSIONS: Final[frozenset[str]] = frozenset({"org.shadefmt.cxf", "org.shadefmt.table"})
"""Extensions that this program writes and understands."""

_VERSION: Final = re.compile(r"(0|[1-9][0-9]{0,2})\.(0|[1-9][0-9]{0,2})")
_LIMITS: Final = frozenset({"syntax-too-large", "syntax-too-deep"})


def check(
    data: bytes,
    *,
    documents: Mapping[str, str] | None = None,
    attachments: Attachments | None = None,
    previous: dict[str, Any] | None = None,
    as_of: str | None = None,
    max_findings: int | None = None,
    name: str | None = None,
) -> Report:
    """Check one document.

    `documents` maps the ids of documents at hand to their digests; what a case pins is compared with them.
    `attachments` gives access to the files of the bundle (`bundles.beside`, `bundles.zip_bundle`), of which only those
    that the case names are read. `previous` is an earlier version of the case; what changed in it is reported.
    `as_of` is the moment that time-dependent rules are run for; without it they are listed as not run.
    `max_findings` caps the listing, never the totals or the outcome; `name` is only repeated in the report. Never
    raises for any bytes.
    """
    findings = Findings(data, name)
    decoded = decode(data)
    for fault in decoded.faults:
        place = Position.model_construct(line=fault.line, column=fault.column)
        findings.add(fault.code, Hit(fault.pointer or "", fault.params), place)
        findings.partly |= fault.code in _LIMITS
    files: dict[str, FileFacts] = {}
    root = decoded.value if decoded.has_value and isinstance(decoded.value, dict) else None
    kind = _version_stage(findings, decoded) if decoded.has_value else None
    if root is not None and kind is not None:
        files = _files(root, attachments)
        _structure_and_rules(findings, root, kind, Supplied(documents or {}, files, previous, as_of))
    else:
        findings.not_run = {each.code: "blocked" for each in _rules_of(None)}
    return report_of(findings, root, supplied={*(documents or ()), *files}, as_of=as_of, max_findings=max_findings)


def _version_stage(findings: Findings, decoded: Decoded) -> str | None:
    """Return the kind of a document that can be looked at further, None where it cannot."""
    root = decoded.value
    if not isinstance(root, dict):
        findings.add("version-root-not-object", Hit("", {"found": _kind_of_value(root)}))
        return None
    if root.get("format") != FORMAT_NAME:
        findings.add("version-format-missing", Hit("", {"found": _shown(root, "format")}))
        return None
    stated = root.get("version")
    shape = _VERSION.fullmatch(stated) if isinstance(stated, str) else None
    if shape is None:
        findings.add("version-unstated", Hit("", {"found": _shown(root, "version")}))
        return None
    params = {"stated": stated, "known": FORMAT_VERSION}
    if int(shape[1]) != FORMAT_MAJOR:
        findings.add("version-major-unknown", Hit("/version", params))
        findings.partly = True
        return None
    if int(shape[2]) > FORMAT_MINOR:
        findings.add("version-newer", Hit("/version", params))
        findings.partly = True
    kind = root.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        findings.add("version-kind-unknown", Hit("", {"found": _shown(root, "kind"), "known": list(KINDS)}))
        return None
    return kind


def _structure_and_rules(findings: Findings, root: dict[str, Any], kind: str, supplied: Supplied) -> None:
    made = structured(root, kind, newer=findings.partly)
    for fault in made.faults:
        findings.add(fault.code, Hit(fault.pointer, fault.params, _entry_id(root, fault.pointer)))
    if made.root is None:
        findings.not_run = {each.code: "blocked" for each in _rules_of(kind)}
        return
    for index, name in enumerate(root.get("extensions_required", [])):
        if name not in KNOWN_EXTENSIONS:
            hit = Hit(f"/extensions_required/{index}", {"extension": name})
            findings.add("extension-required-unknown", hit)
            findings.partly = True
    _run_rules(findings, Matter(root, made.root, made.known, supplied), kind)


def _run_rules(findings: Findings, matter: Matter, kind: str) -> None:
    codes, not_run = _applicable(kind, matter.value["version"], frozenset(matter.value), matter.supplied.missing)
    failed: dict[str, NotRunReason] = {}
    for code in codes:
        try:
            for hit in RULES[code](matter):
                findings.add(code, hit)
        except Exception:  # a rule that breaks must not look like a pass, nor take the others with it
            failed[code] = "failed"
    findings.not_run = {**not_run, **failed}
    findings.partly |= bool(failed)


def _files(root: dict[str, Any], attachments: Attachments | None) -> dict[str, FileFacts]:
    """Return what is at the paths that a case names."""
    named = [each.name for each in pinned(root) if each.what == "attachment"]
    found = {path: attachments(path) for path in named} if attachments is not None else {}
    return {path: facts for path, facts in found.items() if facts is not None}


@cache
def _rules_of(kind: str | None) -> tuple[RuleEntry, ...]:
    """Return the rules for a kind of document, or for all."""
    rules = catalogue().rules.values()
    return tuple(each for each in rules if each.stage == "rules" and (kind is None or kind in each.kinds))


@cache
def _applicable(
    kind: str, version: str, present: frozenset[str], missing: frozenset[str]
) -> tuple[tuple[str, ...], dict[str, NotRunReason]]:
    """Return the codes to run for a kind, version and root members, and why the others have nothing to look at."""
    not_run: dict[str, NotRunReason] = {}
    for rule in _rules_of(kind):
        if not rule.needs <= present or is_later(rule.since, version):
            not_run[rule.code] = "not-applicable"
        elif rule.asks in missing:
            not_run[rule.code] = "not-supplied"
    return tuple(each.code for each in _rules_of(kind) if each.code not in not_run), not_run


def _entry_id(value: Any, pointer: str) -> str | None:
    """Return the id of the innermost entry around a place."""
    found = None
    for step in pointer.split("/")[1:]:
        if isinstance(value, dict):
            value = value.get(step.replace("~1", "/").replace("~0", "~"))
        elif isinstance(value, list) and step.isdigit() and int(step) < len(value):
            value = value[int(step)]
        if isinstance(value, dict) and isinstance(value.get("id"), str):
            found = value["id"]
    return found


def _kind_of_value(value: Any) -> str:
    names = {list: "a list", dict: "an object", str: "a text", bool: "true or false", int: "a number"}
    return names.get(type(value), "null" if value is None else "a number")


def _shown(root: dict[str, Any], member: str) -> str:
    if member not in root:
        return "missing"
    item = root[member]
    return f'"{item}"'[:60] if isinstance(item, str) else _kind_of_value(item)
