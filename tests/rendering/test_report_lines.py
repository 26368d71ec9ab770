"""What a report says in the terminal: the state first, everything folded, nothing left out in silence."""

import re
from typing import Any

import pytest
from shown_cases import checked, rich, smallest

from shadefmt.catalogue import catalogue
from shadefmt.checking import check
from shadefmt.jsontext import file_form
from shadefmt.model.report import Cause, Finding, NotSupplied, Position, Report, RuleNotRun, Totals
from shadefmt.rendering import explain_text, report_text
from shadefmt.rendering.report_lines import because
from shadefmt.rendering.visible import columns


def finding(code: str = "made-up", severity: str = "error", **more: Any) -> Finding:
    stated = {"pointer": "/means/0", "parameters": {}, "message": "Two numbers differ.", "stage": "rules"}
    members = {"code": code, "severity": severity, **stated, **more}
    return Finding(**{name: item for name, item in members.items() if item is not None})


def report(**more: Any) -> Report:
    """The report on a sound case, changed."""
    return checked(smallest())[1].model_copy(update=more)


@pytest.mark.parametrize(
    ("outcome", "partly", "errors", "state"),
    [
        ("valid", False, 0, "FILE SOUND"),
        ("invalid", False, 2, "FILE FAULTY"),
        ("incomplete", True, 0, "FILE ONLY PARTLY CHECKED"),
        ("invalid", True, 1, "FILE FAULTY, AND ONLY PARTLY CHECKED"),
    ],
)
def test_the_state_stands_on_a_line_of_its_own(outcome: str, partly: bool, errors: int, state: str) -> None:
    totals = Totals(errors=errors, warnings=1, notes=0)
    shown = report_text(report(outcome=outcome, partly_checked=partly, totals=totals), name="a.shade.json")
    noun = {0: "no errors", 1: "1 error", 2: "2 errors"}[errors]
    assert shown.splitlines()[:3] == ["a.shade.json", state, f"{noun}, 1 warning, no notes"]


def test_findings_of_one_code_are_folded_and_counted() -> None:
    many = [finding(pointer=f"/means/{number}", remedy="Look again.") for number in range(12)]
    totals = Totals(errors=12, warnings=0, notes=0)
    changed = report(findings=many, totals=totals, outcome="invalid")
    shown = report_text(changed, name="x")
    assert "and 9 more like this" in shown
    assert shown.count("at /means/") == 3
    assert shown.count("Look again.") == 1
    whole = report_text(changed, name="x", verbose=True)
    assert whole.count("at /means/") == 12
    assert "more like this" not in whole


def test_errors_come_before_warnings_before_notes() -> None:
    mixed = [
        finding("c-note", "note"),
        finding("b-warning", "warning"),
        finding("a-error"),
        finding("d-warning", "warning"),
    ]
    totals = Totals(errors=1, warnings=2, notes=1)
    shown = report_text(report(findings=mixed, totals=totals, outcome="invalid"), name="x")
    assert re.findall(r"^(\w+): .*\[(.*)\]$", shown, re.MULTILINE) == [
        ("error", "a-error"),
        ("warning", "b-warning"),
        ("warning", "d-warning"),
        ("note", "c-note"),
    ]


def test_a_finding_names_its_place_in_three_ways() -> None:
    placed = finding(entry_id="mean-a", position=Position(line=7, column=12))
    shown = report_text(report(findings=[placed]), name="x")
    assert "at line 7, column 12, /means/0, entry mean-a" in shown
    assert "at the whole document" in report_text(report(findings=[finding(pointer="")]), name="x")


def test_one_cause_is_named_and_several_are_listed() -> None:
    causes = [
        Cause(code="scale", parameters={}, message="The spectrum is in percent."),
        Cause(code="b", parameters={}, message="L was retyped."),
    ]
    one = report_text(report(findings=[finding(causes=causes[:1])]), name="x")
    assert "probably because the spectrum is in percent." in one
    both = report_text(report(findings=[finding(causes=causes)]), name="x")
    assert "any of these would explain it:\n    - The spectrum is in percent.\n    - L was retyped." in both
    assert "probably" not in both


def test_a_cause_keeps_a_symbol_that_begins_it() -> None:
    assert because("L* was retyped.") == "L* was retyped."
    assert because("It is another.") == "it is another."
    assert because("") == ""


def test_what_was_capped_is_said() -> None:
    shown = report_text(report(findings=[finding()], totals=Totals(errors=5, warnings=0, notes=0)), name="x")
    assert "4 findings are counted but not listed." in shown


def test_rules_that_did_not_run_are_counted_by_reason_and_listed_when_asked() -> None:
    reasons = {"a-limit": "limit", "a-broken": "failed", "a-off": "off", "b-off": "off", "a-none": "not-applicable"}
    skipped = [RuleNotRun(code=code, reason=reason) for code, reason in reasons.items()]
    shown = report_text(report(rules_not_run=skipped), name="x")
    assert "1 rule stopped at a limit of the program" in shown
    assert "1 rule did not finish" in shown
    assert "2 rules were switched off" in shown
    assert "1 rule has nothing to look at in this file" in shown
    assert "a-broken" in shown, "what went wrong in the program is named at once"
    assert "a-off" not in shown
    assert set(reasons) <= set(
        re.findall(r"[ab]-\w+", report_text(report(rules_not_run=skipped), name="x", verbose=True))
    )


def test_what_was_not_supplied_is_named() -> None:
    missing = [NotSupplied(what="document", name="urn:example:set", entry_id="set-a")]
    assert "The document urn:example:set was not supplied (entry set-a)." in report_text(
        report(not_supplied=missing), name="x"
    )


def test_controls_and_escape_sequences_of_a_file_do_nothing() -> None:
    hostile = finding(message="red \x1b[31m\r\nname\u202e", pointer="/a\x1b[2J", remedy="\x9b0m")
    shown = report_text(report(findings=[hostile]), name="\x1b]0;title\x07.json", verbose=True)
    assert not re.search(r"[^\n\x20-\x7e]", shown.replace("\n", ""))
    assert "\\u001b[31m\\u000d\\u000aname\\u202e" in shown


@pytest.mark.parametrize("width", [40, 60, 80, 132])
def test_no_line_but_the_name_of_the_file_is_wider_than_asked(width: int) -> None:
    name = "a case with a name that is quite long.shade.json"
    first, *lines = report_text(checked(rich())[1], name=name, width=width, verbose=True).splitlines()
    assert first == name, "the name stays whole, so that it can be copied"
    assert max(map(columns, lines)) <= width


def test_digests_are_short_unless_all_is_asked_for() -> None:
    long = finding(message=f"The digest is {'0f' * 32}.")
    assert f"{'0f' * 6}..." in report_text(report(findings=[long]), name="x")
    assert "0f" * 32 in report_text(report(findings=[long]), name="x", width=120, verbose=True)


def test_a_file_that_is_no_json_is_reported_too() -> None:
    shown = report_text(check(b"{"), name="cut.shade.json")
    assert shown.startswith("cut.shade.json\nFILE FAULTY")
    assert "rules could not run because of what was found before" in shown
    assert "SHA-256 of the bytes" in shown


@pytest.mark.parametrize("code", sorted(catalogue().rules))
def test_every_rule_can_be_explained(code: str) -> None:
    rule = catalogue().rules[code]
    shown = explain_text(rule)
    flat = " ".join(shown.split())
    assert shown.splitlines()[0] == code
    assert " ".join(rule.title.split()) in flat
    assert f"{rule.severity}: " in shown
    assert f"section {rule.section}" in shown
    assert " ".join(rule.source.split()) in flat
    for text in (rule.why, rule.guard):
        assert " ".join(text.split()) in flat
    assert "{" not in shown
    assert max(map(columns, shown.splitlines())) <= 80


@pytest.mark.parametrize("word", sorted(catalogue().demands))
def test_every_demand_can_be_explained(word: str) -> None:
    demand = catalogue().demands[word]
    shown = explain_text(demand)
    flat = " ".join(shown.split())
    assert shown.splitlines()[0] == word
    assert all(" ".join(text.split()) in flat for text in (demand.title, demand.remedy, demand.source))
    assert "section 9.14" in shown
    assert max(map(columns, shown.splitlines())) <= 80


def test_the_same_report_gives_the_same_text() -> None:
    data = file_form(rich())
    assert report_text(check(data), name="x") == report_text(check(data), name="x")
