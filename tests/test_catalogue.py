"""The rule catalogue as data: every rule has its function, every place for a parameter is filled, words stay short."""

import json
import re
from string import Formatter
from typing import Any, get_args

import pytest

from shadefmt.catalogue import catalogue, in_words
from shadefmt.jsontext import faults
from shadefmt.model.kinds import KINDS, model_of
from shadefmt.resources import schema_folder
from shadefmt.rules import RULES
from shadefmt.versions import FORMAT_VERSIONS
from shadefmt.vocabulary import Severity, Stage

PUBLISHED: dict[str, Any] = json.loads((schema_folder() / "rules.json").read_bytes())
ENTRIES: list[dict[str, Any]] = PUBLISHED["rules"]
MEMBERS = {
    *("code", "stage", "severity", "section", "kinds", "needs", "title", "message", "why", "remedy", "guard"),
    *("source", "parameters", "asks", "since"),
}
CODES = [each["code"] for each in ENTRIES]


def fields(template: str) -> set[str]:
    """Return the names in braces of a template; formats and conversions are not allowed in one."""
    found = set()
    for _, name, spec, conversion in Formatter().parse(template):
        if name is not None:
            assert not spec, template
            assert conversion is None, template
            found.add(name)
    return found


def test_every_rule_has_a_function_and_every_function_a_rule() -> None:
    assert set(RULES) == {each["code"] for each in ENTRIES if each["stage"] == "rules"}


def test_every_fault_of_syntax_has_an_entry() -> None:
    codes = {item for name, item in vars(faults).items() if name.isupper() and isinstance(item, str)}
    assert codes == {each["code"] for each in ENTRIES if each["stage"] == "syntax"}


def test_codes_are_kebab_case_and_unique() -> None:
    assert len(set(CODES)) == len(CODES) >= 100
    assert not [code for code in CODES if not re.fullmatch(r"[a-z]+(-[a-z0-9]+)+", code)]


def test_an_entry_is_complete() -> None:
    for entry in ENTRIES:
        assert entry.keys() <= MEMBERS
        assert {"code", "stage", "severity", "section", "kinds", "title", "message", "remedy", "source"} <= entry.keys()
        assert entry["stage"] in get_args(Stage)
        assert entry["severity"] in get_args(Severity)
        assert re.fullmatch(r"9\.[0-9]+", entry["section"])
        assert entry.get("since", "1.0") in FORMAT_VERSIONS
        assert set(entry["kinds"]) <= set(KINDS)
        assert entry["kinds"]
        for kind in entry["kinds"]:
            assert set(entry.get("needs", [])) <= set(model_of(kind).model_fields)


def test_words_name_no_parameter_that_is_not_declared() -> None:
    for entry in ENTRIES:
        declared = entry.get("parameters", [])
        assert len(set(declared)) == len(declared)
        for member in ("message", "remedy", "why", "title", "guard"):
            names = fields(entry.get(member, ""))
            assert names <= (set(declared) if member in ("message", "remedy") else set()), member


def test_words_are_sentences_and_short() -> None:
    for entry in ENTRIES:
        assert len(entry["title"]) <= 100
        assert not entry["title"].endswith(".")
        for member in ("message", "remedy", "why", "guard"):
            if member in entry:
                assert re.fullmatch(r"([A-Z{0-9]|[ab]\*).*[.?]", entry[member]), entry[member]
                assert len(entry[member]) <= 300


def test_faults_of_chance_and_plausibility_are_no_errors() -> None:
    said = [
        each
        for each in ENTRIES
        if "false alarm" in each.get("guard", "").lower() or each["source"].startswith(("proposal", "computed by sim"))
    ]
    assert len(said) > 10
    assert not [each["code"] for each in said if each["severity"] == "error"]


def test_entries_are_read_as_published() -> None:
    read = catalogue()
    assert read.rule_set == PUBLISHED["rule_set"]
    assert list(read.rules) == CODES
    for entry in ENTRIES:
        rule = read.rules[entry["code"]]
        assert (rule.title, rule.message, rule.severity) == (entry["title"], entry["message"], entry["severity"])


def test_messages_are_filled() -> None:
    rule = catalogue().rules["syntax-unexpected"]
    assert rule.say({"found": "{x}", "expected": "%s"}) == "Found {x} where %s was expected."


@pytest.mark.parametrize(
    ("item", "words"),
    [(2.0, "2"), (2.5, "2.5"), (-0.0, "0"), (1e300, "1e+300"), (3, "3"), ("a", "a"), (["a", 1.0], "a, 1"), ([], "")],
)
def test_parameters_are_written_as_people_read_them(item: Any, words: str) -> None:
    assert in_words(item) == words
