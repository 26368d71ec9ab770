"""What does not fit a model, in the words of the catalogue: code, place, and what was meant."""

from typing import Any

import pytest
from bases import base

from shadefmt.model.case import Case
from shadefmt.structure import Fault, structured

Value = dict[str, Any]
Steps = tuple[str | int, ...]

LAB: Steps = ("readings", 0, "colours", 0, "lab")


def faults(steps: Steps, item: Any, **options: Any) -> list[Fault]:
    """Return the faults of a sound case in which one value was exchanged."""
    value = base("crown")
    above: Any = value
    for step in steps[:-1]:
        above = above[step]
    above[steps[-1]] = item
    return structured(value, "case", **options).faults


@pytest.mark.parametrize(
    ("steps", "item", "code", "pointer", "params"),
    [
        (
            (*LAB, "L"),
            "75",
            "structure-type-wrong",
            "/readings/0/colours/0/lab/L",
            {"expected": "a number", "found": '"75"'},
        ),
        (
            (*LAB, "L"),
            True,
            "structure-type-wrong",
            "/readings/0/colours/0/lab/L",
            {"expected": "a number", "found": "true"},
        ),
        (
            (*LAB, "L"),
            None,
            "structure-type-wrong",
            "/readings/0/colours/0/lab/L",
            {"expected": "a number", "found": "null"},
        ),
        (
            LAB,
            [75, 1, 2],
            "structure-type-wrong",
            "/readings/0/colours/0/lab",
            {"expected": "an object", "found": "a list"},
        ),
        (("readings",), {}, "structure-type-wrong", "/readings", {"expected": "a list", "found": "an object"}),
        (
            ("readings", 0, "order"),
            1.5,
            "structure-type-wrong",
            "/readings/0/order",
            {"expected": "a whole number", "found": "1.5"},
        ),
        (
            ("readings", 0, "repositioned"),
            1,
            "structure-type-wrong",
            "/readings/0/repositioned",
            {"expected": "true or false", "found": "1"},
        ),
        (("readings", 0, "id"), 3, "structure-type-wrong", "/readings/0/id", {"expected": "a text", "found": "3"}),
        (("readings", 0, "zone"), "Middle", "structure-word-unknown", "/readings/0/zone", {"found": '"Middle"'}),
        (("readings", 0, "id"), "a b", "structure-text-malformed", "/readings/0/id", {"found": '"a b"'}),
        (("readings", 0, "id"), "a\n", "structure-text-malformed", "/readings/0/id", {"found": '"a\\n"'}),
        (("readings", 0, "id"), "a" * 81, "structure-too-long", "/readings/0/id", {"found": 81, "most": 80}),
        (("readings",), [], "structure-too-few", "/readings", {"found": 0, "least": 1}),
        (("readings", 0, "note"), "", "structure-too-few", "/readings/0/note", {"found": 0, "least": 1}),
        (
            ("readings", 0, "order"),
            0,
            "structure-number-out-of-range",
            "/readings/0/order",
            {"found": "0", "expected": "at least 1"},
        ),
        (
            (*LAB, "L"),
            2e6,
            "structure-number-out-of-range",
            "/readings/0/colours/0/lab/L",
            {"expected": "at most 1e+06"},
        ),
        (
            ("tolerances", 0, "limit"),
            0,
            "structure-number-out-of-range",
            "/tolerances/0/limit",
            {"expected": "greater than 0"},
        ),
        (("extensions",), {"Bad": {}}, "structure-text-malformed", "/extensions", {"found": '"Bad"'}),
        (
            ("extensions",),
            {"org.example.a": 3},
            "structure-type-wrong",
            "/extensions/org.example.a",
            {"expected": "an object"},
        ),
        (("mood",), 1, "structure-member-unknown", "", {"member": "mood", "version": "1.0"}),
        (("readings", 0, "Zone"), 1, "structure-member-unknown", "/readings/0", {"member": "Zone"}),
        (("specimens", 0), {}, "structure-member-missing", "/specimens/0", {"member": "id"}),
    ],
)
def test_each_fault_is_called_by_its_name(
    steps: Steps, item: Any, code: str, pointer: str, params: dict[str, Any]
) -> None:
    found = faults(steps, item)[0]
    assert (found.code, found.pointer) == (code, pointer)
    assert found.params.items() >= params.items()


def test_words_that_are_allowed_are_listed() -> None:
    (found,) = faults(("readings", 0, "hydration"), "wet")
    assert found.params["allowed"] == "moist, dry, rehydrating, unknown, not-applicable"


def test_all_faults_are_found_in_one_go() -> None:
    found = faults(("specimens", 0), {"kind": "rose", "tooth": "19", "area_mm2": "x"})
    assert sorted((each.code, each.pointer) for each in found) == [
        ("structure-member-missing", "/specimens/0"),
        ("structure-member-unknown", "/specimens/0"),
        ("structure-text-malformed", "/specimens/0/tooth"),
        ("structure-word-unknown", "/specimens/0/kind"),
    ]


def test_unknown_members_alone_are_set_aside() -> None:
    value = base("crown")
    value["mood"], value["readings"][0]["mood"] = 1, {"deep": [1]}
    made = structured(value, "case")
    assert isinstance(made.root, Case)
    assert made.root.to_value() == base("crown")
    assert {(each.code, each.pointer) for each in made.faults} == {
        ("structure-member-unknown", "/readings/0"),
        ("structure-member-unknown", ""),
    }
    assert value["mood"] == 1


def test_beside_another_fault_nothing_is_made() -> None:
    value = base("crown")
    value["mood"], value["readings"][0]["zone"] = 1, "nowhere"
    assert structured(value, "case").root is None


def test_in_a_newer_version_unknown_members_have_another_code() -> None:
    (found,) = faults(("mood",), 1, newer=True)
    assert found.code == "structure-member-unknown-newer"


def test_names_are_escaped_in_pointers() -> None:
    value = base("smallest")
    value["extensions"] = {"org.example.a": {}}
    value["specimens"][0]["a/b~c"] = 1
    (found,) = structured(value, "case").faults
    assert found.params["member"] == "a/b~c"
    assert found.pointer == "/specimens/0"


@pytest.mark.parametrize("item", ["x" * 1000, "é" * 1000, 10**15, "\x00\u202e"])
def test_what_is_shown_of_a_value_is_short(item: Any) -> None:
    (found,) = faults(("readings", 0, "zone"), item)
    assert len(found.params["found"]) <= 60
