"""The summary of a case in the terminal: the receiver's order, outcomes in words, nothing cut in silence."""

import re
from copy import deepcopy
from pathlib import Path
from statistics import median
from typing import Any

import pytest
from shown_cases import checked, rich, smallest

from shadefmt.documents import loads
from shadefmt.model.report import NotSupplied, RuleNotRun
from shadefmt.rendering import case_text
from shadefmt.rendering.account.outcomes import Outcome
from shadefmt.rendering.outcome_lines import _sides
from shadefmt.rendering.visible import columns


def shown(value: dict[str, Any], **more: Any) -> str:
    return case_text(*checked(value), **more)


def sound() -> dict[str, Any]:
    """The rich case without the verdict that contradicts its rule."""
    value = rich()
    value["verdicts"] = [each for each in value["verdicts"] if each["id"] != "verdict-now"]
    return value


def test_the_parts_stand_in_the_receivers_order() -> None:
    text = shown(rich())
    heads = [
        "case vv-Tarn-83q   from tern-steps   tooth 12, upper right lateral incisor",
        "FILE FAULTY",
        "ask the sender",
    ]
    heads += [
        "colour to reach (daylight at 6500 K, 2-degree observer; measured, 3 readings)",
        "\noutcome",
        "not looked at:",
    ]
    heads += ["details: shadefmt show FILE --html OUT"]
    places = [text.index(each) for each in heads]
    assert places == sorted(places)


def test_the_file_state_is_above_the_outcomes_and_both_states_can_hold() -> None:
    case, report = checked(rich())
    partly = report.model_copy(update={"partly_checked": True})
    assert "\nFILE FAULTY, AND ONLY PARTLY CHECKED   1 error, " in case_text(case, partly)
    assert "\nFILE SOUND   no errors, no warnings, no notes" in shown(smallest())


def test_questions_carry_the_code_behind_them_and_the_rest_is_counted() -> None:
    text = shown(rich())
    asked = re.search(r"ask the sender\n(.*?)\n\n", text, re.DOTALL)
    assert asked is not None
    assert re.findall(r"^  ([0-9])  ", asked[1], re.MULTILINE) == ["1", "2", "3", "4", "5"]
    assert "decision-disagrees-with-rule" in asked[1].split("  2  ")[0], "an error is asked about first"
    assert re.search(r"and \d more questions?: see the findings", asked[1])
    assert "ask the sender" not in shown(smallest())


def test_rows_have_numbers_then_give_or_take_then_the_distance_before_the_label() -> None:
    rows = re.findall(r"^  (\w+ third) +([\d. ]+?)  \+-(\d\.\d) *(.*)$", shown(rich()), re.MULTILINE)
    assert [(zone, numbers.split(), spread, close) for zone, numbers, spread, close in rows] == [
        ("cervical third", ["73.10", "2.40", "19.80"], "0.1", "none close (2.54 from Quindle)"),
        ("middle third", ["76.20", "1.10", "15.60"], "0.1", "0.78 from Mossop"),
        ("incisal third", ["77.40", "0.50", "11.20"], "0.1", ""),
    ]


def test_an_undecided_nearest_names_both_and_prefers_none() -> None:
    value = rich()
    value["matches"][0]["conclusion"] = "undecided"
    assert "nearest undecided: 0.78 from Mossop, 0.99 from Tarrel" in " ".join(shown(value).split())


def test_outcomes_are_words_in_capitals_the_worst_first() -> None:
    text = " ".join(shown(rich()).split()).split("together")[0]
    found = re.findall(r"DOES NOT CONFORM|INCONCLUSIVE|CANNOT BE COMPARED|NOT JUDGED|CONFORMS", text)
    assert found == [
        "DOES NOT CONFORM",
        "INCONCLUSIVE",
        "INCONCLUSIVE",
        "CONFORMS",
        "CANNOT BE COMPARED",
        "NOT JUDGED",
    ]
    assert "after settling (24 days after it)" in shown(rich()), "told with its effect, and not a second time"


def test_outcomes_beyond_the_most_are_counted() -> None:
    value = rich()
    del value["effects"]
    assert "and 1 more: 1 conforms" in shown(value)


def test_outcomes_have_difference_give_or_take_limit_whose_and_rule() -> None:
    text = " ".join(shown(sound()).split())
    assert "outcome (limit agreed by tern-steps and slate-yard on 2 February 2027)" in text
    assert "under the limit 1.8 (source on the page); rule guarded, four steps" in text
    assert "DOES NOT CONFORM 2.72 give or take 0.50, darker" in text
    assert "CANNOT BE COMPARED (one was read dry, the other moist" in text


def test_a_stated_outcome_that_the_check_contradicts_is_marked() -> None:
    text = " ".join(shown(rich()).split())
    assert "as the file states it; the file is faulty, so read it with the findings" in text
    assert "the check contradicts it: decision-disagrees-with-rule" in text
    assert "contradicts" not in shown(sound())


def test_a_fault_far_below_is_shown_beside_the_outcome() -> None:
    value = sound()
    value["means"][0]["colour"]["lab"]["L"] = 75.9  # of the readings of 73.1
    text = " ".join(shown(value).split())
    judged = re.search(r"crown 12, cervical third (.*?)(?= crown 12,)", text)
    assert judged is not None
    assert "mean-disagrees-with-readings" in judged[1]
    middle = re.search(r"CANNOT BE COMPARED(.*?)(?= tooth 22)", text)
    assert middle is not None
    assert "mean-disagrees-with-readings" not in middle[1]


def test_a_case_without_comparison_is_not_judged_and_says_why() -> None:
    assert "NOT JUDGED: nothing in the file is compared with a limit" in shown(smallest())


def test_many_rows_are_counted_not_dropped() -> None:
    value = smallest()
    value["readings"] = [{**value["readings"][0], "id": f"reading-{number}"} for number in range(14)]
    text = shown(value)
    assert text.count("occlusal third") == 9
    assert "and 5 more rows on the page" in text


def test_conclusions_effects_and_answers_are_told() -> None:
    text = " ".join(shown(rich()).split())
    assert "together, crown 12: DOES NOT CONFORM" in text
    assert "after settling (24 days after it); whiteness index (WI_D) -4.7" in text
    assert "objection on 3 June 2027, crown 12, by the patient" in text
    assert "accepted on 10 June 2027, crown 12, by the patient" in text


def test_what_was_not_looked_at_is_told_the_gravest_first() -> None:
    case, report = checked(smallest())
    skipped = [RuleNotRun(code="a", reason="not-applicable"), RuleNotRun(code="b", reason="blocked")]
    missing = [
        NotSupplied(what="attachment", name="x.jpg", entry_id="x"),
        NotSupplied(what="document", name="u:x", entry_id="y"),
    ]
    changed = report.model_copy(update={"rules_not_run": skipped, "not_supplied": missing})
    text = " ".join(case_text(case, changed).split())
    assert "not looked at: 1 rule could not run because of what was found before; whether colours" in text
    assert "1 document and 1 attachment that the case names were not supplied" in text


@pytest.mark.parametrize("width", [46, 60, 80, 120])
def test_no_line_is_wider_than_asked(width: int) -> None:
    value = rich()
    value["targets"][0]["zone"] = "region"
    value["reference_sets"][0]["references"][0]["label"] = "歯" * 60
    for each in (value, smallest()):
        assert max(map(columns, shown(each, width=width).splitlines())) <= width


def test_escape_sequences_of_a_file_do_nothing() -> None:
    value = deepcopy(rich())
    value["subject"]["pseudonym"] = "\x1b[31mred\x07\u202e"
    value["tolerances"][0]["source"] = "one\r\ntwo\x9b1m"
    text = shown(value)
    assert not re.search(r"[^\n\x20-\x7e]", text)
    assert "case \\u001b[31mred\\u0007\\u202e" in text


def test_a_usual_case_takes_about_twenty_lines() -> None:
    """One work, three zones, one tolerance, five questions: what a receiver sees at a glance."""
    value = sound()
    for name in ("events", "effects", "courses", "conclusions", "groups", "bridges", "indices", "translucencies"):
        value.pop(name)
    value["verdicts"], value["comparisons"] = value["verdicts"][:3], value["comparisons"][:3]
    assert len(shown(value).splitlines()) <= 36
    assert len(shown(smallest()).splitlines()) <= 14


EXAMPLES = sorted(
    path
    for path in (Path(__file__).parents[2] / "schema/1.0/examples").rglob("*.shade.json")
    if loads(path.read_bytes())["kind"] == "case"
)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name.split(".")[0])
def test_every_example_is_told_in_few_lines(path: Path) -> None:
    """About twenty; a case with two limits, four works, or an objection and its ledger takes some more."""
    assert len(shown(loads(path.read_bytes())).splitlines()) <= 33


def test_half_of_the_examples_take_at_most_twenty_lines() -> None:
    assert median(len(shown(loads(path.read_bytes())).splitlines()) for path in EXAMPLES) <= 20


def test_a_limit_without_agreement_names_its_source() -> None:
    value = sound()
    for each in value["tolerances"]:
        each.pop("agreed_by_ids", None)
        each.pop("agreed_at", None)
    text = " ".join(shown(value).split())
    assert "under the limit 1.8: Paravina et al. 2015" in text
    assert "agreed" not in text.split(" outcome")[1].split("together")[0]


def test_limits_agreed_on_different_days_say_so_each() -> None:
    value = sound()
    first = value["tolerances"][0]
    value["tolerances"].append({**first, "id": "limit-of-march", "limit": 1.2, "agreed_at": "2027-03-02"})
    value["verdicts"][0]["tolerance_id"] = "limit-of-march"
    text = " ".join(shown(value).split())
    assert "under the limit 1.2 (source on the page), agreed by tern-steps and slate-yard on 2 March 2027;" in text
    assert "under the limit 1.8 (source on the page), agreed by tern-steps and slate-yard on 2 February 2027;" in text


def test_both_sides_of_a_comparison_share_what_is_the_same() -> None:
    assert _sides("", _between("tooth 11 read on 3 June", "tooth 11 read on 1 May")) == (
        "tooth 11",
        "3 June against 1 May",
    )
    assert _sides("", _between("crown 11 read on 3 June", "crown 21 read on 3 June")) == (
        "crown 11",
        "against crown 21, 3 June",
    )
    assert _sides("crown 11", _between("crown 11", "a design value")) == ("crown 11", "against a design value")


def _between(subject: str, against: str) -> Outcome:
    return Outcome("one", "not judged", subject, "middle third", against, "")


def test_a_warning_about_what_an_outcome_rests_on_stands_beside_it() -> None:
    path = next(each for each in EXAMPLES if each.name.startswith("returned-as-too-bright"))
    text = " ".join(shown(loads(path.read_bytes())).split())
    assert "CONFORMS 0.51 give or take 0.73, darker and stronger; ask first: isolation-too-long" in text
    assert "DOES NOT CONFORM 2.22 give or take 0.15, lighter, paler and less red restoration 21" in text
    assert "most of the difference arose when the shade was taken" in text
