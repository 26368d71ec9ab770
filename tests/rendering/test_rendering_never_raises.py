"""Whatever fits the model can be shown: optional parts left out, values exchanged, references that lead nowhere."""

import random
from functools import cache
from typing import Any

from edited_cases import edited_cases
from hypothesis import given
from hypothesis import strategies as st
from lxml import html
from model_values import Shape
from mutations import Steps, sites
from shown_cases import as_case, checked, rich

from shadefmt.checking import check
from shadefmt.jsontext import file_form
from shadefmt.model.case import Case
from shadefmt.model.report import Report
from shadefmt.rendering import case_text, page_html, report_text
from shadefmt.rendering.visible import columns


@cache
def removable() -> list[Steps]:
    """Places in the rich case that its model lets be absent, and entries of its lists."""
    everything = sites(rich(), Shape(Case, {}))
    found = [each for each in everything if each.steps and not (each.steps[0] == "extensions" and len(each.steps) > 1)]
    return [each.steps for each in found if isinstance(each.steps[-1], int) or not each.needed]


def thinned(chance: random.Random, removals: int) -> dict[str, Any]:
    """The rich case without some of what may be absent; places of every depth are as likely, though most are deep."""
    value = rich()
    by_depth: dict[int, list[Steps]] = {}
    for steps in removable():
        by_depth.setdefault(len(steps), []).append(steps)
    chosen = {chance.choice(by_depth[chance.choice(sorted(by_depth))]) for _ in range(removals)}
    for steps in sorted(chosen, key=lambda each: [str(step).zfill(4) for step in each], reverse=True):
        remove(value, steps)
    return value


def remove(value: Any, steps: Steps) -> None:
    """Take one place away, later ones first; lists keep what their models need."""
    for step in steps[:-1]:
        value = value[step]
    least = 2 if steps[-2:-1] == ("specimen_ids",) else 1
    if not isinstance(value, list) or len(value) > least:
        del value[steps[-1]]


def require_shown(case: Case, report: Report) -> None:
    for width in (40, 80):
        text = case_text(case, report, width=width)
        assert text.endswith("\n")
        assert max(map(columns, text.splitlines())) <= width
    page = page_html(case, report)
    page.encode("utf-8")
    parsed = html.document_fromstring(page)
    assert len(parsed.xpath("//section")) == 10
    assert all(each.text_content().strip() for each in parsed.xpath("//section/div"))
    assert report_text(report, name="shown").startswith("shown\nFILE ")


@given(st.integers(0, 2**32), st.integers(1, 30))
def test_any_part_may_be_absent(seed: int, removals: int) -> None:
    require_shown(*checked(thinned(random.Random(seed), removals)))


@given(edited_cases())
def test_any_case_that_fits_its_model_can_be_shown(value: dict[str, Any]) -> None:
    require_shown(as_case(value), check(file_form(value)))


def test_a_report_of_another_file_does_no_harm() -> None:
    case, _ = checked(rich())
    require_shown(case, check(b'{"format": "shadefmt"}'))


def test_entries_that_refer_to_themselves_or_in_a_circle_are_shown() -> None:
    value = rich()
    value["targets"][0]["supersedes_id"] = value["targets"][0]["id"]
    value["targets"][1]["supersedes_id"] = value["targets"][2]["id"]
    value["targets"][2]["supersedes_id"] = value["targets"][1]["id"]
    value["specimens"][0]["part_of_id"] = "tooth-11"
    require_shown(*checked(value))


def test_all_ids_may_be_the_same() -> None:
    def renamed(item: Any, name: str = "") -> Any:
        if isinstance(item, dict):
            return {key: renamed(each, key) for key, each in item.items()}
        if isinstance(item, list):
            return [renamed(each, name) for each in item]
        return "same" if name in ("id",) or name.endswith(("_id", "_ids")) else item

    value = {**renamed(rich()), "id": "urn:example:same"}
    for name in ("reference_sets", "tolerances"):
        value[name][0]["document"]["id"] = "urn:example:pinned"
    value.pop("relations")
    require_shown(*checked(value))
