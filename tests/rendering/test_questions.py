"""Questions to the sender: each belongs to a rule, at most five are asked, the gravest first."""

import re
import string
from typing import Any

import pytest
from shown_cases import as_case, checked, rich, smallest

from shadefmt.catalogue import catalogue
from shadefmt.indexing import CaseView
from shadefmt.model.report import Finding, Report
from shadefmt.rendering.question_texts import TEXTS
from shadefmt.rendering.questions import Questions, questions


@pytest.mark.parametrize("code", TEXTS)
def test_every_question_belongs_to_a_rule_and_knows_its_parameters(code: str) -> None:
    rule = catalogue().rules[code]
    assert rule.severity in ("error", "warning")
    named = {name for _, name, _, _ in string.Formatter().parse(TEXTS[code]) if name}
    assert named <= {*rule.parameters, "entry"}
    assert "?" in TEXTS[code]


def finding(code: str, severity: str, **more: Any) -> Finding:
    stated = {
        "stage": "rules",
        "pointer": "/x",
        "parameters": {},
        "message": "Something is odd.",
        "entry_id": "entry-a",
    }
    return Finding(**{"code": code, "severity": severity, **stated, **more})


def report(*findings: Finding) -> Report:
    return checked(smallest())[1].model_copy(update={"findings": list(findings)})


def asked_of(made: Report) -> Questions:
    return questions(made, CaseView(as_case(smallest())))


def test_notes_are_not_asked_about() -> None:
    assert asked_of(report(finding("made-up", "note"))).asked == []
    assert asked_of(checked(smallest())[1]).asked == []


def test_errors_come_first_and_what_is_left_is_counted() -> None:
    many = [finding(f"warning-{letter}", "warning") for letter in "abcd"] + [
        finding(f"error-{letter}", "error") for letter in "ab"
    ]
    found = asked_of(report(*many))
    assert [each.code for each in found.asked] == ["error-a", "error-b", "warning-a", "warning-b", "warning-c"]
    assert found.left == 1


def test_one_code_is_one_question() -> None:
    dry = {"minutes": 12, "isolation": "dam", "limit": 1}
    asked = asked_of(report(*(finding("isolation-too-long", "warning", parameters=dry) for _ in range(3)))).asked
    assert [each.text for each in asked] == [
        "Can entry-a be read again moist? It was read 12 minutes after isolation. (and 2 more places like it)"
    ]


def test_a_rule_without_a_question_of_its_own_is_asked_about_with_its_message() -> None:
    asked = asked_of(report(finding("made-up", "error"))).asked
    assert asked[0].text == "entry-a: Something is odd. Please look at it and send what is right."


def test_a_report_of_another_rule_set_is_asked_about_all_the_same() -> None:
    """A parameter that this program's question needs may be missing there."""
    asked = asked_of(report(finding("isolation-too-long", "warning"))).asked
    assert "Something is odd." in asked[0].text


def test_questions_hold_nothing_unseen() -> None:
    hostile = finding("made-up", "error", message="a\x1b[31m\u202eb")
    assert "a\\u001b[31m\\u202eb" in asked_of(report(hostile)).asked[0].text


def test_a_real_case_is_asked_about_in_words() -> None:
    texts = [each.text for each in questions(checked(rich())[1], CaseView(as_case(rich()))).asked]
    assert texts[0].startswith("Which outcome is meant in verdict-now?")
    assert all("{" not in each for each in texts)


def test_readings_and_works_are_named_in_words() -> None:
    """The sender knows teeth and days, not the ids in a file."""
    dry = {"minutes": 12, "isolation": "dam", "limit": 1}
    value = rich()
    reading = value["readings"][0]["id"]
    made = report(finding("isolation-too-long", "warning", parameters=dry, entry_id=reading))
    text = questions(made, CaseView(as_case(value))).asked[0].text
    assert re.match(r"Can (tooth|crown) \d\d read on \d+ May 2027 be read again moist\?", text)
    made = report(finding("prescription-target-missing", "warning", parameters={"specimen": "tooth-45"}))
    assert asked_of(made).asked[0].text == "Which colour is tooth 45 to have?"
