"""The cases of conformance/import and conformance/export run with this package, and the cases themselves looked at."""

from collections import defaultdict
from typing import Any

import pytest
from conformance_support import Case, cases, run_export, run_import

from shadefmt.converters.formats import READ, WRITTEN

IMPORT, EXPORT = list(cases("import")), list(cases("export"))
RUN = {"import": run_import, "export": run_export}


@pytest.mark.parametrize("case", IMPORT + EXPORT, ids=[each.id for each in IMPORT + EXPORT])
def test_case(case: Case) -> None:
    assert RUN[case.kind](case) is None


@pytest.mark.parametrize("name", READ)
def test_every_format_that_is_read_has_a_file_that_is_taken_and_one_that_is_refused(name: str) -> None:
    refused = {bool(each.content["expect"].get("refused")) for each in IMPORT if each.content["format"] == name}
    assert refused == {True, False}


@pytest.mark.parametrize("name", WRITTEN)
def test_every_format_that_is_written_has_a_case_that_is_written_and_one_that_is_refused(name: str) -> None:
    refused = {bool(each.content["expect"].get("refused")) for each in EXPORT if each.content["format"] == name}
    assert refused == {True, False}


def test_every_fate_that_loses_is_met() -> None:
    fates = {loss[1] for each in IMPORT + EXPORT for loss in each.content["expect"].get("losses", ())}
    assert fates == {"rounded", "defaulted", "dropped"}


WRONG: dict[str, Any] = {
    "refuses everything": {"refused": True},
    "says that nothing is lost": {"losses": []},
    "moves a number": {"readings": [], "rows": []},
}
"""What wrong implementations would be right about, and in what."""


@pytest.mark.parametrize("name", WRONG)
def test_wrong_expectations_are_caught(name: str) -> None:
    caught: dict[str, int] = defaultdict(int)
    for case in IMPORT + EXPORT:
        stated = case.content["expect"]
        spoiled = (
            WRONG[name]
            if "refused" in WRONG[name]
            else {**stated, **{k: v for k, v in WRONG[name].items() if k in stated}}
        )
        if spoiled != stated:
            assert RUN[case.kind](case._replace(content={**case.content, "expect": spoiled})) is not None, case.id
            caught[case.kind] += 1
    assert caught.keys() == {"import", "export"}
