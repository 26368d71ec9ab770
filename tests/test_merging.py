"""Two versions of one case become one, whichever comes first, or say what stands between them."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from shadefmt.amending import add_revision
from shadefmt.checking import check
from shadefmt.history import as_it_was
from shadefmt.jsontext import digest, file_form
from shadefmt.merging import merge

EXAMPLE = Path(__file__).resolve().parent.parent / "schema" / "1.0" / "examples" / "front-crown.shade.json"


def example() -> dict[str, Any]:
    case: dict[str, Any] = json.loads(EXAMPLE.read_bytes())
    return case


def amended(case: dict[str, Any], name: str, at: str, party: str = "lab") -> dict[str, Any]:
    revision = {"id": name, "party_id": party, "at": at}
    withdrawal = {"id": f"withdrawal-{name}", "entry_id": "reading-8", "reason": "moved"}
    return add_revision(case, revision, {"withdrawals": [withdrawal]})


def forks() -> tuple[dict[str, Any], dict[str, Any]]:
    case = example()
    return amended(case, "lab-2", "2026-05-15T09:00:00+02:00"), amended(
        case, "clinic-2", "2026-05-15T08:00:00+02:00", "clinic"
    )


def test_a_case_merged_with_itself_is_itself() -> None:
    assert merge(example(), example()).case == example()


def test_a_case_merged_with_its_past_is_itself() -> None:
    case = example()
    assert merge(case, as_it_was(case, "clinic-1")).case == case
    assert merge(as_it_was(case, "clinic-1"), case).case == case


def test_two_forks_unite_whichever_comes_first() -> None:
    one, other = forks()
    united = merge(one, other).case
    assert united is not None
    assert merge(other, one).case == united
    assert [each["id"] for each in united["revisions"]] == ["clinic-1", "lab-1", "clinic-2", "lab-2"]
    assert {each["id"] for each in united["withdrawals"]} == {
        "withdrawal-1",
        "withdrawal-clinic-2",
        "withdrawal-lab-2",
    }


def test_digests_of_both_forks_still_hold_and_a_new_revision_builds_on_both() -> None:
    one, other = forks()
    united = merge(one, other).case
    assert united is not None
    for fork, name in ((one, "lab-2"), (other, "clinic-2")):
        assert digest(as_it_was(united, name)) == digest(fork)
    joined = add_revision(united, {"id": "lab-3", "at": "2026-05-16T09:00:00+02:00"}, {})
    assert [each["revision_id"] for each in joined["revisions"][-1]["parents"]] == ["clinic-2", "lab-2"]
    codes = {each.code for each in check(file_form(joined)).findings or ()}
    assert not codes & {"revision-digest-differs", "revision-parent-later", "revision-without-parent"}


def changed(where: tuple[Any, ...], item: Any) -> dict[str, Any]:
    case = copy.deepcopy(example())
    inner: Any = case
    for step in where[:-1]:
        inner = inner[step]
    inner[where[-1]] = item
    return case


@pytest.mark.parametrize(
    ("where", "item", "code", "pointer"),
    [
        (("id",), "urn:uuid:00000000-0000-4000-8000-000000000000", "merge-other-case", "/id"),
        (("readings", 1, "zone"), "incisal", "merge-entry-differs", "/readings/1"),
        (("revisions", 1, "at"), "2026-05-15T15:30:00+02:00", "merge-entry-differs", "/revisions/1"),
        (("subject", "pseudonym"), "other", "merge-root-differs", "/subject"),
        (("revisions", 0, "id"), "other-1", "merge-begins-differently", "/revisions/0"),
    ],
)
def test_contradictions_are_named_and_nothing_is_chosen(
    where: tuple[Any, ...], item: Any, code: str, pointer: str
) -> None:
    merged = merge(example(), changed(where, item))
    assert merged.case is None
    assert (code, pointer) in [(each.code, each.pointer) for each in merged.conflicts]


def test_a_root_member_on_one_side_only_is_a_contradiction() -> None:
    lone = {name: item for name, item in example().items() if name != "extensions"}
    for one, other in ((lone, example()), (example(), lone)):
        assert [each.pointer for each in merge(one, other).conflicts] == ["/extensions"]


def test_a_rewritten_entry_is_seen_against_the_earlier_version() -> None:
    old = example()
    new = changed(("readings", 1, "colours", 0, "lab", "L"), 74.25)
    del new["withdrawals"]
    report = check(file_form(new), previous=old)
    found = {(each.code, each.pointer) for each in report.findings or ()}
    assert {("previous-entry-changed", "/readings/1"), ("previous-entry-vanished", "")} <= found
    same = check(file_form(old), previous=old)
    assert not [each for each in same.findings or () if each.code.startswith("previous-")]
