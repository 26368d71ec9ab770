"""Stages, outcomes, order, caps and what did not run, each on one edit of a sound case."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from bases import base, written
from reports import RULES, require_sound
from validators import by_jsonschema

from shadefmt import limits
from shadefmt.checking import check
from shadefmt.jsontext import digest, line_form
from shadefmt.model.report import Report
from shadefmt.rules import RULES as RULES_RUN
from shadefmt.rules.base import Hit, Matter

Value = dict[str, Any]

CASE = "crown"
"""A case of one revision: its root may change without a digest of an earlier state standing against it."""
ALL_RULES = {code for code, rule in RULES.items() if rule["stage"] == "rules"}


def report_on(value: Value, **asked: Any) -> Report:
    data = written(value)
    report = check(data, **asked)
    require_sound(report, data)
    return report


def codes(report: Report) -> list[str]:
    return [each.code for each in report.findings or ()]


def reasons(report: Report) -> dict[str, str]:
    return {each.code: each.reason for each in report.rules_not_run or ()}


def wrong_mean() -> Value:
    """A sound case whose first mean was retyped: one error at least."""
    value = base(CASE)
    value["means"][0]["colour"]["lab"]["L"] += 1
    return value


def asking_for_more() -> Value:
    value = base(CASE)
    value["extensions_required"] = ["org.example.unheard-of"]
    return value


def newer() -> Value:
    return {**base(CASE), "version": "1.7", "weather": "fair"}


def test_a_sound_case_is_valid_and_wholly_looked_at() -> None:
    report = report_on(base(CASE), as_of="2027-01-01")
    assert (report.outcome, report.partly_checked, report.findings) == ("valid", False, None)
    assert set(reasons(report).values()) <= {"not-applicable", "not-supplied"}


def test_an_error_is_invalid() -> None:
    report = report_on(wrong_mean())
    assert (report.outcome, report.partly_checked) == ("invalid", False)
    assert "mean-disagrees-with-readings" in codes(report)


@pytest.mark.parametrize("partly", [asking_for_more, newer])
def test_an_unlooked_at_part_is_incomplete_and_an_error_beside_it_invalid(partly: Any) -> None:
    value = partly()
    report = report_on(value)
    assert (report.outcome, report.partly_checked) == ("incomplete", True)
    value["means"][0]["colour"]["lab"]["L"] += 1
    report = report_on(value)
    assert (report.outcome, report.partly_checked) == ("invalid", True)


def test_warnings_and_notes_leave_a_case_valid() -> None:
    value = base(CASE)
    value["specimens"].append({"id": "unread", "kind": "tooth", "tooth": "38"})
    report = report_on(value)
    assert report.outcome == "valid"
    assert report.totals.errors == 0
    assert report.totals.warnings + report.totals.notes > 0


def test_a_rule_that_breaks_is_listed_and_makes_the_outcome_incomplete(monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(matter: Matter) -> Iterator[Hit]:
        raise ZeroDivisionError
        yield

    monkeypatch.setitem(RULES_RUN, "id-reused", breaks)
    data = written(base(CASE))
    report = check(data)
    assert (report.outcome, report.partly_checked) == ("incomplete", True)
    assert [code for code, reason in reasons(report).items() if reason == "failed"] == ["id-reused"]
    invalid = check(written(wrong_mean()))
    assert (invalid.outcome, invalid.partly_checked) == ("invalid", True)


def test_a_rule_that_breaks_halfway_keeps_what_it_has_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(matter: Matter) -> Iterator[Hit]:
        yield Hit("/means/0/reading_ids", {"reading": "x"}, None)
        raise RecursionError

    monkeypatch.setitem(RULES_RUN, "mean-of-single-reading", breaks)
    report = check(written(base(CASE)))
    assert reasons(report)["mean-of-single-reading"] == "failed"
    assert codes(report) == ["mean-of-single-reading"]
    assert report.partly_checked


@pytest.mark.parametrize(
    ("version", "code", "outcome", "partly"),
    [
        ("1.0", None, "valid", False),
        ("1.1", "version-newer", "incomplete", True),
        ("1.10", "version-newer", "incomplete", True),
        ("2.0", "version-major-unknown", "invalid", True),
        ("0.9", "version-major-unknown", "invalid", True),
        ("1", "version-unstated", "invalid", False),
        ("1.0.0", "version-unstated", "invalid", False),
        ("01.0", "version-unstated", "invalid", False),
        ("1.0\n", "version-unstated", "invalid", False),
        ("１.0", "version-unstated", "invalid", False),
        (1.0, "version-unstated", "invalid", False),
        (None, "version-unstated", "invalid", False),
    ],
)
def test_versions_are_read_as_numbers(version: Any, code: str | None, outcome: str, partly: bool) -> None:
    report = report_on({**base(CASE), "version": version})
    assert codes(report) == ([code] if code else [])
    assert (report.outcome, report.partly_checked) == (outcome, partly)


def test_unknown_members_are_errors_now_and_warnings_in_a_newer_version() -> None:
    now = report_on({**base(CASE), "weather": "fair"})
    assert codes(now) == ["structure-member-unknown"]
    later = report_on(newer())
    assert sorted(codes(later)) == ["structure-member-unknown-newer", "version-newer"]
    assert later.totals.errors == 0
    assert set(reasons(later).values()) <= {"not-applicable", "not-supplied"}


def test_beside_an_unknown_member_the_rest_is_still_looked_at() -> None:
    value = wrong_mean()
    value["readings"][0]["mood"] = "good"
    assert {"structure-member-unknown", "mean-disagrees-with-readings"} <= set(codes(report_on(value)))


def test_a_fault_of_structure_blocks_every_rule() -> None:
    value = wrong_mean()
    value["readings"][0]["zone"] = "somewhere"
    report = report_on(value)
    assert codes(report) == ["structure-word-unknown"]
    assert reasons(report) == dict.fromkeys(
        (code for code in RULES if code in ALL_RULES and "case" in RULES[code]["kinds"]), "blocked"
    )


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "syntax-empty"),
        (b"[]", "version-root-not-object"),
        (b"{}", "version-format-missing"),
        (b'{"format": "other"}', "version-format-missing"),
        (b'{"format": "shadefmt"}', "version-unstated"),
        (b'{"format": "shadefmt", "version": "1.0"}', "version-kind-unknown"),
        (b'{"format": "shadefmt", "version": "1.0", "kind": "rose"}', "version-kind-unknown"),
        (b'{"format": "shadefmt", "version": "1.0", "kind": ["case"]}', "version-kind-unknown"),
        (b'{"format": "shadefmt", "format": "shadefmt"}', "syntax-member-duplicate"),
        (b"{nonsense", "syntax-unexpected"),
        (b'{"a": NaN}', "syntax-number-not-finite"),
        (b'{"a": 1e400}', "syntax-number-not-finite"),
        (b'{"a": 9007199254740992}', "syntax-integer-unsafe"),
        (b'{"a": "\\ud800"}', "syntax-surrogate-lone"),
        (b'{"a": 1', "syntax-text-unfinished"),
        (b"{} {}", "syntax-trailing-content"),
        (b"\xff", "syntax-encoding-not-utf8"),
    ],
)
def test_each_stage_speaks_and_nothing_after_it(data: bytes, code: str) -> None:
    report = check(data)
    require_sound(report, data)
    assert codes(report) == [code]
    assert report.outcome == "invalid"
    assert set(reasons(report)) == ALL_RULES
    assert set(reasons(report).values()) == {"blocked"}


def test_a_byte_order_mark_is_an_error_and_the_rest_is_looked_at() -> None:
    data = b"\xef\xbb\xbf" + written(wrong_mean())
    report = check(data)
    require_sound(report, data)
    assert {"syntax-byte-order-mark", "mean-disagrees-with-readings"} <= set(codes(report))


def test_too_deep_and_too_large_are_never_sound_and_only_partly_checked() -> None:
    deep = b'{"extensions": ' + b"[" * limits.MAX_DEPTH + b"]" * limits.MAX_DEPTH + b"}"
    large = b" " * (limits.MAX_DOCUMENT_BYTES + 1)
    for data, code in ((deep, "syntax-too-deep"), (large, "syntax-too-large")):
        report = check(data)
        assert codes(report) == [code]
        assert report.outcome != "valid"
        assert report.partly_checked


def test_at_the_limit_of_depth_a_document_is_read() -> None:
    inner = limits.MAX_DEPTH - 3
    value = {**base("smallest"), "extensions": {"org.example.deep": {"a": json.loads("[" * inner + "]" * inner)}}}
    assert report_on(value).outcome == "valid"
    value["extensions"]["org.example.deep"]["a"] = json.loads("[" * (inner + 1) + "]" * (inner + 1))
    assert codes(check(written(value))) == ["syntax-too-deep"]


@pytest.mark.parametrize("most", [0, 1, 3, 1000])
def test_a_cap_shortens_the_list_and_nothing_else(most: int) -> None:
    value = wrong_mean()
    for reading in value["readings"]:
        reading["session_id"] = "nowhere"
    whole, capped = report_on(value), report_on(value, max_findings=most)
    assert len(whole.findings or ()) > 3
    assert (capped.totals, capped.outcome, capped.partly_checked) == (whole.totals, whole.outcome, whole.partly_checked)
    assert list(capped.findings or ()) == list(whole.findings or ())[:most]
    assert capped.rules_not_run == whole.rules_not_run


def test_errors_come_before_warnings_before_notes() -> None:
    value = wrong_mean()
    value["specimens"].insert(0, {"id": "unread", "kind": "tooth", "tooth": "38"})
    value["sessions"][0].pop("calibration")
    found = [each.severity for each in report_on(value).findings or ()]
    assert found == sorted(found, key=["error", "warning", "note"].index)
    assert len(set(found)) > 1


def test_the_same_bytes_give_the_same_report() -> None:
    data = written(wrong_mean())
    first, second = (line_form(check(data, as_of="2026-05-01", name="a").to_value()) for _ in range(2))
    assert first == second


def test_a_report_says_what_it_looked_at_and_with_what() -> None:
    value = base(CASE)
    data = written(value)
    report = check(data, name="x" * 300, as_of="2026-05-01")
    require_sound(report, data)
    judged = report.judged
    assert (judged.kind, judged.version, judged.id) == ("case", "1.0", value["id"])
    assert judged.sha256 == digest(value)
    assert report.as_of == "2026-05-01"
    assert report.tool.format_version == "1.0"
    assert by_jsonschema("report")(json.loads(json.dumps(report.to_value())))


def test_rules_that_ask_for_a_moment_run_only_with_one() -> None:
    without, given = report_on(base(CASE)), report_on(base(CASE), as_of="2026-01-01")
    assert reasons(without)["dated-after-check"] == "not-supplied"
    assert "dated-after-check" not in reasons(given)
    assert "dated-after-check" in codes(given)


def test_what_is_pinned_and_not_at_hand_is_listed_and_changes_nothing() -> None:
    value = base(CASE)
    pinned = [
        each["document"] for name in ("reference_sets", "tolerances") for each in value[name] if "document" in each
    ]
    assert pinned
    without = report_on(value)
    assert {each.name for each in without.not_supplied or ()} >= {each["id"] for each in pinned}
    supplied = {each["id"]: each["sha256"] for each in pinned}
    given = report_on(value, documents=supplied)
    assert not [each for each in given.not_supplied or () if each.what == "document"]
    assert (given.outcome, without.outcome) == ("valid", "valid")
    other = report_on(value, documents={**supplied, pinned[0]["id"]: "0" * 64})
    assert codes(other) == ["document-digest-differs"]


@pytest.mark.parametrize("kind", ["guide", "limits", "columns"])
def test_other_kinds_are_judged_by_their_own_rules(kind: str) -> None:
    value = base(kind)
    report = report_on(value)
    assert report.outcome == "valid"
    assert all(value["kind"] in RULES[code]["kinds"] for code in reasons(report))


def test_findings_name_the_entry_around_them() -> None:
    value = base(CASE)
    value["readings"][1]["zone"] = "somewhere"
    value["means"][0]["reading_ids"][0] = "no id!"
    found = {each.pointer: each.entry_id for each in report_on(value).findings or ()}
    assert found["/readings/1/zone"] == value["readings"][1]["id"]
    assert found["/means/0/reading_ids/0"] == value["means"][0]["id"]


def test_positions_are_those_of_the_value() -> None:
    value = base(CASE)
    value["readings"][1]["zone"] = "somewhere"
    text = json.dumps(value, indent=1)
    finding = (check(text.encode()).findings or [])[0]
    assert finding.position is not None
    line = text.split("\n")[finding.position.line - 1]
    assert line[finding.position.column - 1 :].startswith('"somewhere"')
