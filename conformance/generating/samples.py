"""For each kind of value of the specification's tables one right value, and one that is wrong in one way."""

import re
from typing import Any, Final, NamedTuple

from generating.tables import Member, Tables

SIMPLE: Final[dict[str, tuple[Any, Any, str]]] = {
    "*entry id*": ("some-id", "no id", "structure-text-malformed"),
    "*document id*": ("urn:example:some-id", "no id", "structure-text-malformed"),
    "*digest*": ("0" * 64, "0" * 63, "structure-text-malformed"),
    "*text*": ("some words", "", "structure-too-few"),
    "*short text*": ("some words", "x" * 201, "structure-too-long"),
    "*string*": ("some words", 5, "structure-type-wrong"),
    "*timestamp*": ("2026-05-04", "yesterday", "structure-text-malformed"),
    "*tooth*": ("11", "19", "structure-text-malformed"),
    "*area*": ("10", "50", "structure-text-malformed"),
    "*extension name*": ("org.example.oven", "oven", "structure-text-malformed"),
    "*yes/no*": (True, "yes", "structure-type-wrong"),
    "*number*": (1.5, "1.5", "structure-type-wrong"),
    "*positive*": (1.5, 0, "structure-number-out-of-range"),
    "*not negative*": (0.5, -0.1, "structure-number-out-of-range"),
    "*factor*": (1, 0, "structure-number-out-of-range"),
    "*count*": (1, 0, "structure-number-out-of-range"),
    "*natural number*": (0, -1, "structure-number-out-of-range"),
    "*decimals*": (2, 11, "structure-number-out-of-range"),
}
"""Right value, wrong value, and the code that says what is wrong, by kind of value."""

FREE_OBJECT: Final = {"org.example.oven": {"run": 1}}
"""Right as extensions, which are not empty."""

PARAMETERS: Final = {"stated": 1.5, "found": "some words", "list": ["one"], "true": True}
"""Right as parameters, which may be empty."""


class Wrong(NamedTuple):
    """A wrong value, the code that says so, and where below the member."""

    value: Any
    code: str
    below: str = ""


def sample(tables: Tables, value: str) -> Any:
    """A right value of a kind.

    Raises:
        ValueError: the kind is not known here.
    """
    if value in SIMPLE:
        return SIMPLE[value][0]
    if found := re.fullmatch(r"list of (.+?)(?:, ([0-9]+) or more)?", value):
        item = re.sub(r"^ids of .*", "*entry id*", re.sub(r"^words of ", "word of ", found[1]))
        return [sample(tables, item)] * int(found[2] or 2)
    if value.startswith("id of "):
        return SIMPLE["*entry id*"][0]
    if found := re.fullmatch(r"(?:word of )?`([^`]+)`(?: or `[^`]+`)?", value):
        return _named(tables, found[1])
    if value == "object":
        return FREE_OBJECT
    if found := re.fullmatch(r"\*number\*, ([0-9]+) to [0-9]+", value):
        return int(found[1])
    raise ValueError(f"no sample for the kind of value {value!r}")


def _named(tables: Tables, name: str) -> Any:
    if name in tables.objects:
        members = tables.objects[name].members
        return {each.name: PARAMETERS if _may_be_empty(each) else sample(tables, each.value) for each in members}
    return tables.words[name][0] if name in tables.words else name


def wrong(tables: Tables, member: Member) -> Wrong:
    """A value that a member must not have."""
    value = member.value
    if value in SIMPLE:
        return Wrong(SIMPLE[value][1], SIMPLE[value][2])
    if value.startswith("list of words of "):
        return Wrong(["no-such-word"], "structure-word-unknown", "/0")
    if value.startswith("list of "):
        return Wrong([], "structure-too-few")
    if value == "object" and not _may_be_empty(member):
        return Wrong({}, "structure-too-few")
    if value.startswith("id of "):
        return Wrong(*SIMPLE["*entry id*"][1:])
    if value.startswith("word of ") or " or `" in value:
        return Wrong("no-such-word", "structure-word-unknown")
    if found := re.fullmatch(r"\*number\*, [0-9]+ to ([0-9]+)", value):
        return Wrong(int(found[1]) + 1, "structure-number-out-of-range")
    return Wrong("some words", "structure-type-wrong")


def _may_be_empty(member: Member) -> bool:
    return member.value == "object" and member.name == "parameters"
