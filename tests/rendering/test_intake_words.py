"""A receiver's answer beside the state of the file: two matters, never mixed."""

from typing import Any

from lxml import html
from shown_cases import checked, section, smallest, words

from shadefmt.model.report import DemandNotMet, Finding, Intake, IntakeDocument, LeftOpen, Report
from shadefmt.rendering import case_text, page_html

PROFILE = IntakeDocument(id="urn:example:bench", sha256="0a" * 32, title="Third bench\x1b[1m")


def unmet(demand: str, **more: Any) -> DemandNotMet:
    stated = {"pointer": "/readings/0", "subject": "only", "found": "one reading", "wanted": "three"}
    return DemandNotMet(**{"demand": demand, "message": "only: one reading; asked for: three.", **stated, **more})


def answered(answer: str, **more: Any) -> Report:
    counts = {"findings_against": 0, "demands_against": 0, "waived": 0, "by_waiver": False}
    intake = Intake(**{"answer": answer, "profile": PROFILE, **counts, **more})
    return checked(smallest())[1].model_copy(update={"intake": intake})


def test_the_answer_stands_under_the_state_and_names_its_profile() -> None:
    case, _ = checked(smallest())
    report = answered("refused", demands_against=2, demands_not_met=[unmet("repeats"), unmet("repeats")])
    lines = case_text(case, report).splitlines()
    place = next(at for at, line in enumerate(lines) if line.startswith("FILE SOUND"))
    assert lines[place + 1] == "profile Third bench\\u001b[1m: REFUSED, 2 demands stand against it"


def test_a_case_that_was_held_against_nothing_has_no_answer() -> None:
    case, report = checked(smallest())
    assert "profile" not in case_text(case, report)
    assert "profile" not in page_html(case, report)


def test_the_page_folds_demands_and_says_what_to_do() -> None:
    case, _ = checked(smallest())
    found = [unmet("repeats", remedy="Read again."), unmet("repeats", remedy="Read again."), unmet("sender")]
    page = html.document_fromstring(page_html(case, answered("refused", demands_against=3, demands_not_met=found)))
    start = section(page, "Can work start?")
    said = words(start)
    assert "Under the profile Third bench\\u001b[1m: refused. 3 demands stand against it. A demand is no fault" in said
    items = [words(each) for each in start.findall(".//ul/li")]
    assert len(items) == 2
    assert items[0].startswith("Not met: ")
    assert items[0].endswith("only: one reading; asked for: three. (and 1 more like this) Read again.")
    assert "FILE SOUND" in words(page), "the answer of a receiver leaves the state of the file alone"


def test_what_is_open_and_what_was_waived_is_said() -> None:
    case, _ = checked(smallest())
    waived = [unmet("surface", waiver_id="for-now"), unmet("surface", waiver_id="for-now")]
    opened = [LeftOpen(what="rule", name="attachment-differs", reason="not-supplied")]
    report = answered("undecided", waived=2, demands_not_met=waived, left_open=opened)
    items = [words(each) for each in html.document_fromstring(page_html(case, report)).xpath("//section[2]//ul/li")]
    assert items[0] == "A rule that the profile insists on did not run (attachment-differs)."
    assert items[1].startswith("Waived by for-now: ")
    assert items[1].endswith("(2 times).")


def test_a_waived_finding_stays_in_its_place_and_is_marked() -> None:
    case, report = checked(smallest())
    waived = Finding(
        code="made-up",
        stage="rules",
        severity="warning",
        pointer="",
        parameters={},
        message="Odd.",
        waiver_id="for-now",
    )
    page = html.document_fromstring(page_html(case, report.model_copy(update={"findings": [waived]})))
    assert "The receiver lets it stand: waiver for-now." in words(section(page, "What did the check find?"))
