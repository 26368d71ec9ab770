"""A writer's marks: what is marked is carried, everything else is dropped once, by path, with its count."""

from typing import Any

import pytest

from shadefmt.converters.base import Account
from shadefmt.converters.leaving import Leaving, Reason, pattern_of

REST = Reason("no-place", "no place")
DOCUMENT: dict[str, Any] = {
    "id": "x",
    "names": ["a", "b"],
    "verdicts": [{"id": "v1", "decision": "conforms"}, {"id": "v2"}],
    "readings": [
        {"id": "r1", "zone": "middle", "hydration": "moist", "colours": [{"lab": {"L": 1}}, {"lab": {"L": 2}}]},
        {"id": "r2", "zone": "middle"},
        {"id": "r3", "hydration": "dry"},
    ],
    "a/b": {"c": 1},
}


def fates(account: Account) -> dict[tuple[str, str], int]:
    return {(item["path"], item["fate"]): item["count"] for item in account.items()}


def test_whatever_is_unmarked_is_dropped_by_path_and_counted() -> None:
    account = Account(full=True)
    leaving = Leaving(DOCUMENT, account)
    leaving.wrote(("id",), "header/ID")
    leaving.wrote_members(("readings", 0), {"id": "fields/ID", "zone": ""})
    leaving.wrote(("readings", 0, "colours", 1, "lab"))
    leaving.restated(("readings", 1), "fields", "as a row")
    leaving.leave_rest(REST)
    assert fates(account) == {
        ("/id", "renamed"): 1,
        ("/readings/*/id", "renamed"): 1,
        ("/readings/*/zone", "kept"): 1,
        ("/readings/*/colours/*/lab", "kept"): 1,
        ("/readings/*", "converted"): 1,
        ("/names", "dropped"): 1,
        ("/verdicts/*", "dropped"): 2,
        ("/readings/*/hydration", "dropped"): 1,
        ("/readings/*/colours/*", "dropped"): 1,
        ("/readings/*", "dropped"): 1,
        ("/a~1b", "dropped"): 1,
    }
    places = {each["where"] for item in account.losses for each in item["instances"]}
    assert {"/verdicts/0", "/verdicts/1", "/readings/0/colours/0", "/readings/2", "/a~1b"} <= places


def test_nothing_marked_is_everything_dropped() -> None:
    account = Account()
    Leaving(DOCUMENT, account).leave_rest(REST)
    assert {path for path, fate in fates(account)} == {"/id", "/names", "/verdicts/*", "/readings/*", "/a~1b"}
    assert all(item["code"] == "no-place" for item in account.losses)


def test_a_path_is_counted_once_however_often_it_is_written() -> None:
    account = Account()
    leaving = Leaving(DOCUMENT, account)
    for _ in range(3):
        leaving.wrote(("readings", 0))
        leaving.wrote(("readings", 0, "zone"))
        leaving.wrote_members(("readings", 0), {"zone": ""})
        leaving.left(("readings", 1), Reason("withdrawn", "why"))
    assert fates(account) == {("/readings/*", "kept"): 1, ("/readings/*", "dropped"): 1}


def test_each_rounded_number_is_a_loss_of_its_own() -> None:
    account = Account()
    leaving = Leaving({"values": [1.25, 2.35]}, account)
    leaving.rounded(("values",), Reason("digits", "too many"), old="1.25", new="1.3")
    leaving.rounded(("values",), Reason("digits", "too many"), old="2.35", new="2.4")
    leaving.wrote(("values",))
    leaving.leave_rest(REST)
    assert fates(account) == {("/values", "rounded"): 2}


@pytest.mark.parametrize(
    ("path", "pattern"), [(("readings", 3, "a/b"), "/readings/*/a~1b"), (("x" * 300,), "/" + "x" * 198 + "…")]
)
def test_patterns(path: tuple[str | int, ...], pattern: str) -> None:
    assert pattern_of(path) == pattern


def test_members_that_are_named_by_ids_are_places_in_the_report() -> None:
    document = {"kept": {"reading-1": {"note": "a"}, "reading-2": {"note": "b", "name": "c"}}}
    account = Account()
    leaving = Leaving(document, account, frozenset({("kept",)}))
    leaving.wrote(("kept", "reading-1", "note"))
    leaving.wrote_members(("kept", "reading-2"), {"note": ""})
    leaving.leave_rest(REST)
    assert fates(account) == {("/kept/*/note", "kept"): 2, ("/kept/*/name", "dropped"): 1}
    assert account.losses[0]["instances"][0]["where"] == "/kept/reading-2/name"


def test_what_the_target_needed_and_the_document_did_not_say_is_a_loss() -> None:
    account = Account()
    leaving = Leaving(DOCUMENT, account)
    leaving.defaulted(("readings", 0), Reason("time-assumed", "why"), new="1900")
    assert account.losses[0]["fate"] == "defaulted"
    assert account.losses[0]["instances"] == [{"where": "/readings/0", "after": "1900"}]
