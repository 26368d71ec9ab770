"""A case grows and is never rewritten: revisions with the digests of what they build on, forks, unions, renaming."""

import copy
import hashlib
import random
from typing import Any

import pytest
import rfc8785
from bases import base, of_kind, written
from hypothesis import given
from hypothesis import strategies as st
from measured_cases import Setting, clinic_case

from shadefmt.amending import add_revision, renamed
from shadefmt.checking import check
from shadefmt.documents import loads
from shadefmt.errors import WrongUse
from shadefmt.history import add_entries, ancestry, as_it_was, in_member_order
from shadefmt.merging import merge
from shadefmt.model.case import Case
from shadefmt.referring import ENTRY_LISTS, referrals

Value = dict[str, Any]


def started() -> Value:
    return clinic_case(Setting())


def amended(case: Value, name: str, at: str = "2026-03-05T10:00:00Z", **additions: list[Value]) -> Value:
    """Return a case with one more revision, by default with one more specimen."""
    extra = additions or {"specimens": [{"id": f"specimen-{name}", "kind": "tooth", "tooth": "14"}]}
    return add_revision(case, {"id": name, "party_id": "clinic", "at": at}, extra)


def sha256(value: Value) -> str:
    return hashlib.sha256(rfc8785.dumps(value)).hexdigest()


def digests_hold(case: Value) -> bool:
    """Whether every parent's digest is that of the case as it was, worked out here, by the words of the format."""
    first = case["revisions"][0]["id"]
    by_id = {each["id"]: each for each in case["revisions"]}

    def kept(revision_id: str) -> set[str]:
        parents = by_id[revision_id].get("parents", [])
        return {revision_id}.union(*(kept(each["revision_id"]) for each in parents))

    for revision in case["revisions"]:
        for parent in revision.get("parents", []):
            known = kept(parent["revision_id"])
            was = {}
            for name, item in case.items():
                if name == "revisions":
                    was[name] = [each for each in item if each["id"] in known]
                elif isinstance(item, list) and item and isinstance(item[0], dict):
                    entries = [each for each in item if each.get("revision_id", first) in known]
                    was |= {name: entries} if entries else {}
                else:
                    was[name] = item
            if sha256(was) != parent["sha256"]:
                return False
    return True


def sound(case: Value) -> bool:
    report = check(written(case))
    return not [each for each in report.findings or () if each.severity == "error"]


def test_a_revision_names_what_it_builds_on_and_marks_its_entries() -> None:
    before = started()
    case = amended(before, "second")
    (parent,) = case["revisions"][1]["parents"]
    assert parent == {"revision_id": "clinic-1", "sha256": sha256(before)}
    assert case["specimens"][-1]["revision_id"] == "second"
    assert list(case["specimens"][-1])[:2] == ["id", "revision_id"]
    assert digests_hold(case)
    assert sound(case)


def test_nothing_that_was_there_is_touched() -> None:
    before = started()
    kept = copy.deepcopy(before)
    case = amended(before, "second")
    assert before == kept
    assert as_it_was(case, "clinic-1") == before


def test_the_first_revision_has_no_parents_and_its_entries_no_mark() -> None:
    case = started()
    del case["revisions"]
    case = amended(case, "first")
    assert "parents" not in case["revisions"][0]
    assert "revision_id" not in case["specimens"][-1]
    assert list(case) == [name for name in Case.model_fields if name in case]


@given(st.lists(st.integers(0, 5), min_size=1, max_size=6))
def test_digests_hold_through_any_tree_of_forks_and_their_union(branches: list[int]) -> None:
    versions = [started()]
    for number, choice in enumerate(branches):
        at = f"2026-03-{number + 5:02}T10:00:00Z"
        versions.append(amended(versions[choice % len(versions)], f"revision-{number}", at))
    whole = versions[0]
    for version in versions[1:]:
        united = merge(whole, version).case
        assert united is not None
        whole = united
    assert {each["id"] for each in whole["revisions"]} == {"clinic-1", *(f"revision-{n}" for n in range(len(branches)))}
    assert digests_hold(whole)
    for version in versions:
        assert as_it_was(whole, version["revisions"][-1]["id"]) == version
    closed = amended(whole, "closing", "2026-04-01T10:00:00Z")
    assert digests_hold(closed)
    heads = {each["revision_id"] for each in closed["revisions"][-1]["parents"]}
    assert heads == {each["id"] for each in whole["revisions"]} - parents_of(whole)
    assert sound(closed)


def parents_of(case: Value) -> set[str]:
    return {parent["revision_id"] for each in case["revisions"] for parent in each.get("parents", [])}


@pytest.mark.parametrize("name", of_kind("case"))
def test_any_change_before_a_revision_breaks_its_digest(name: str) -> None:
    case = amended(base(name), "added", "2027-01-01T00:00:00Z") if base(name).get("revisions") else None
    if case is None:
        case = amended(amended(base(name), "first"), "added", "2027-01-01T00:00:00Z")
    assert digests_hold(case)
    changed = copy.deepcopy(case)
    changed["specimens"][0]["kind"] = "stump" if changed["specimens"][0]["kind"] != "stump" else "tooth"
    assert not digests_hold(changed)
    report = check(written(changed))
    assert "revision-digest-differs" in {each.code for each in report.findings or ()}


def test_ancestors_of_forks_and_unions() -> None:
    revisions: list[Value] = [
        {"id": "a"},
        {"id": "b", "parents": [{"revision_id": "a"}]},
        {"id": "c", "parents": [{"revision_id": "a"}]},
        {"id": "d", "parents": [{"revision_id": "b"}, {"revision_id": "c"}]},
        {"id": "e", "parents": [{"revision_id": "nowhere"}]},
        {"id": "f", "parents": [{"revision_id": "g"}]},
        {"id": "g", "parents": [{"revision_id": "f"}]},
    ]
    assert ancestry(revisions, "a") == {"a"}
    assert ancestry(revisions, "b") == {"a", "b"}
    assert ancestry(revisions, "d") == {"a", "b", "c", "d"}
    assert ancestry(revisions, "e") == {"e"}
    assert ancestry(revisions, "f") == {"f", "g"}
    assert ancestry(revisions, "nowhere") == set()


def test_lists_that_become_empty_are_left_out_and_the_root_stays() -> None:
    case = amended(started(), "second", withdrawals=[{"id": "w", "entry_id": "clinic-reading-1", "reason": "moved"}])
    case["weather"] = {"of": ["today"]}
    was = as_it_was(case, "clinic-1")
    assert "withdrawals" not in was
    assert was["weather"] == case["weather"]
    assert [each["id"] for each in was["revisions"]] == ["clinic-1"]


@pytest.mark.parametrize("taken", ["tooth-21", "clinic-1", "clinic-reading-2", "clinic"])
def test_an_id_is_never_used_again(taken: str) -> None:
    with pytest.raises(WrongUse, match=taken):
        add_entries(started(), {"specimens": [{"id": taken, "kind": "tooth"}]})
    with pytest.raises(WrongUse, match=taken):
        amended(started(), "second", specimens=[{"id": taken, "kind": "tooth"}])


def test_a_revision_is_added_once_and_its_id_is_not_that_of_an_entry() -> None:
    with pytest.raises(WrongUse, match="clinic-1"):
        amended(started(), "clinic-1")


def test_a_revision_does_not_take_the_id_of_an_entry() -> None:
    with pytest.raises(WrongUse):
        amended(started(), "tooth-21")


def test_two_entries_added_at_once_have_two_ids() -> None:
    twice = [{"id": "new", "kind": "tooth"}, {"id": "new", "kind": "stump"}]
    with pytest.raises(WrongUse):
        add_entries(started(), {"specimens": twice})


@pytest.mark.parametrize("name", ["revisions", "weather", "format", ""])
def test_only_lists_of_entries_are_added_to(name: str) -> None:
    with pytest.raises(WrongUse, match="no list"):
        add_entries(started(), {name: [{"id": "x"}]})


def test_an_empty_addition_adds_no_list() -> None:
    assert add_entries(started(), {"withdrawals": []}) == started()


@given(st.randoms(use_true_random=False))
def test_members_of_the_root_are_put_in_order_and_unknown_ones_last(chance: random.Random) -> None:
    case = {**started(), "weather": 1, "mood": 2}
    names = list(case)
    chance.shuffle(names)
    ordered = in_member_order({name: case[name] for name in names})
    assert ordered == case
    known = [name for name in ordered if name in Case.model_fields]
    assert known == [name for name in Case.model_fields if name in case]
    assert list(ordered)[: len(known)] == known


@pytest.mark.parametrize("name", of_kind("case"))
def test_renamed_entries_refer_as_before(name: str) -> None:
    value = base(name)
    value.pop("revisions", None)
    for list_name in ENTRY_LISTS:
        for entry in value.get(list_name, []):
            entry.pop("revision_id", None)
    case = loads(written(value))
    made = {**case, **renamed(case, "x-")}
    if "issued_by_id" in made.get("subject", {}):
        made["subject"] = {**made["subject"], "issued_by_id": "x-" + made["subject"]["issued_by_id"]}
    assert "structure" not in {each.stage for each in check(written(made)).findings or ()}
    before, after = (referrals(Case.model_validate(each)) for each in (case, made))
    assert [(each.pointer, each.member, f"x-{each.named}") for each in before] == [
        (each.pointer, each.member, each.named) for each in after
    ]
    assert check(written(made)).totals == check(written(case)).totals


def test_other_cases_and_foreign_data_keep_their_names() -> None:
    case = started()
    other = {"id": "urn:uuid:0c1f6a52-6c2b-4a55-8f0e-7d5f0b1c2d3e"}
    case["relations"] = [{"id": "before", "relation": "continues", "other": other}]
    assert renamed(case, "x-")["relations"] == [{"id": "x-before", "relation": "continues", "other": other}]


def test_a_prefix_that_makes_ids_too_long_is_refused() -> None:
    case = started()
    case["specimens"].append({"id": "i" * 80, "kind": "tooth"})
    with pytest.raises(WrongUse):
        renamed(case, "x-")
