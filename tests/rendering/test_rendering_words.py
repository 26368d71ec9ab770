"""Words that people read: every word of the format has one, and none of them promises, blames or reassures."""

import ast
import json
import re
from pathlib import Path
from typing import get_args

import pytest
from shown_cases import checked, rich, smallest
from toothnotation import all_teeth

from shadefmt import vocabulary
from shadefmt.catalogue import catalogue
from shadefmt.rendering import case_text, explain_text, page_html, report_text, words, work_words
from shadefmt.rendering.account.names import tooth_name
from shadefmt.rendering.file_state import REASONS, SEVERITIES
from shadefmt.rendering.rule_lines import ASKS, KINDS, STAGES
from shadefmt.resources import schema_folder

RENDERING = Path(__file__).resolve().parents[2] / "shadefmt" / "rendering"

NEVER = re.compile(
    r"(?<![\w-])(?:"
    r"(?:in)?valid|pass(?:es|ed)?|fail(?:s|ed)?|ok|okay|good|perfect|ticks?|cross|match(?:es)?|unacceptable|"
    r"excellent|corrected|calibrated value|at fault|blame[sd]?|guilty|anonym(?:ous|ised)|"
    r"error \d[\d.]*|\d+ ?% sure|in \d+ of \d+ repeats"
    r")(?![\w-])",
    re.IGNORECASE,
)
"""What nobody is to read: verdicts without a limit, promises, school marks, fault, and what pseudonyms are not."""

ABOUT_INSTRUMENTS = {"calibration-failed", "calibration-failed-in-verdict"}
"""Rules in which what failed is a calibration, as the instrument itself reported."""


COVERED = {
    "Zone": words.ZONES,
    "Decision": words.OUTCOMES,
    "Obstacle": words.OBSTACLES,
    "DecisionRule": words.RULES,
    "Question": words.QUESTIONS,
    "Grade": words.GRADES,
    "Illuminant": words.LAMPS,
    "Observer": words.OBSERVERS,
    "Origin": words.ORIGINS,
    "Geometry": words.GEOMETRIES,
    "SpecularMode": words.SPECULAR,
    "InstrumentKind": words.INSTRUMENTS,
    "PartyRole": words.PARTIES,
    "LightKind": words.LIGHTS,
    "UncertaintySource": words.UNCERTAINTIES,
    "ColourIndex": words.INDICES,
    "EffectMoment": words.MOMENTS,
    "Relation": words.RELATIONS,
    "PersonRole": words.PERSONS,
    "SpecimenKind": work_words.SPECIMENS,
    "Support": work_words.SUPPORTS,
    "RestorationKind": work_words.RESTORATIONS,
    "MaterialClass": work_words.MATERIALS,
    "Substrate": work_words.SUBSTRATES,
    "WorkState": work_words.STATES,
    "Backing": work_words.BACKINGS,
    "Hydration": work_words.HYDRATION,
    "Isolation": work_words.ISOLATION,
    "CalibrationResult": work_words.CALIBRATION,
    "TargetSource": work_words.TARGETS,
    "Action": work_words.ACTIONS,
    "AttachmentUse": work_words.USES,
    "WithdrawalReason": work_words.WITHDRAWALS,
    "PrivacyStatus": work_words.PRIVACY,
    "DateTreatment": work_words.DATES,
    "EventKind": work_words.EVENTS,
    "GroupKind": work_words.GROUPS,
    "AttachmentProcessing": work_words.PROCESSING,
    "PictureContent": work_words.SHOWS,
    "Consent": work_words.CONSENT,
    "NotRunReason": REASONS,
    "Severity": SEVERITIES,
    "Stage": STAGES,
}


@pytest.mark.parametrize("name", COVERED)
def test_every_word_of_the_format_has_words(name: str) -> None:
    assert set(COVERED[name]) == set(get_args(getattr(vocabulary, name)))


def test_what_rules_ask_for_has_words() -> None:
    assert {rule.asks for rule in catalogue().rules.values() if rule.asks} <= set(ASKS)


def test_every_list_of_rule_names_is_whole() -> None:
    assert set(words.RULE_NAMES) == set(words.RULES)
    assert set(words.OUTCOME_SENTENCES) == set(words.OUTCOMES.values()) == set(words.WORST_FIRST)
    assert {kind for rule in catalogue().rules.values() for kind in rule.kinds} <= set(KINDS)


def test_lamps_are_told_apart_without_their_symbols() -> None:
    said = list(words.LAMPS.values())
    assert len(set(said)) == len(said)
    symbols = set(get_args(vocabulary.Illuminant)) - {"A", "C", "unknown"}
    assert not [each for each in said for symbol in symbols if symbol in each]


def test_teeth_are_named_as_another_library_names_them() -> None:
    """ISO 3950 through `toothnotation`, which says primary where we say deciduous, and first the position."""
    named = {each.fdi_str: tooth_name(each.fdi_str) for each in all_teeth()}
    expected = {
        each.fdi_str: f"{each.arch} {each.side} {'deciduous ' if each.dentition == 'primary' else ''}"
        + each.tooth_type.replace("primary ", "")
        for each in all_teeth()
    }
    assert named == expected
    assert len(set(named.values())) == 52


@pytest.mark.parametrize(
    ("designation", "name"),
    [
        ("11", "upper right central incisor"),
        ("23", "upper left canine"),
        ("36", "lower left first molar"),
        ("48", "lower right third molar"),
        ("51", "upper right deciduous central incisor"),
        ("85", "lower right deciduous second molar"),
    ],
)
def test_teeth_are_named_as_in_anatomy(designation: str, name: str) -> None:
    """Names by quadrant and position as ISO 3950 counts them."""
    assert tooth_name(designation) == name


def never_written(text: str) -> list[str]:
    return NEVER.findall(re.sub(r"\{\w+\}", "", text))


def test_the_list_finds_what_it_is_for() -> None:
    assert never_written("The crown is OK, a perfect match: error 2.4, 95 % sure, nobody is at fault.") == [
        *("OK", "perfect", "match", "error 2.4", "95 % sure", "at fault"),
    ]
    assert not never_written("conditionally-fails, calibration-failed, the reading was matched in validity")


def test_published_rules_keep_to_the_list() -> None:
    published = json.loads((schema_folder() / "rules.json").read_bytes())
    offending = {
        each.get("code", each.get("demand"))
        for each in published["rules"] + published["demands"]
        for member in ("title", "message", "why", "remedy")
        if never_written(each.get(member, ""))
    }
    assert offending <= ABOUT_INSTRUMENTS


def written_strings(path: Path) -> list[str]:
    """The strings of a module that may be shown: neither docstrings nor words of the format nor names."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    documentation = {
        id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    known = {word for name in COVERED for word in get_args(getattr(vocabulary, name))}
    known |= set(get_args(vocabulary.Outcome))
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if id(node) not in documentation and node.value not in known
    ]


@pytest.mark.parametrize("path", sorted(RENDERING.rglob("*.py")), ids=lambda each: str(each.relative_to(RENDERING)))
def test_strings_of_rendering_keep_to_the_list(path: Path) -> None:
    assert not [(each, never_written(each)) for each in written_strings(path) if never_written(each)]


def test_what_is_shown_keeps_to_the_list() -> None:
    for value in (rich(), smallest()):
        case, report = checked(value)
        page = re.sub(r"<style>.*?</style>|<[^>]*>", " ", page_html(case, report), flags=re.DOTALL)
        for shown in (page, case_text(case, report), report_text(report, name="shown", verbose=True)):
            assert not never_written(shown), shown


@pytest.mark.parametrize("code", sorted(catalogue().rules))
def test_explanations_keep_to_the_list(code: str) -> None:
    if code not in ABOUT_INSTRUMENTS:
        assert not never_written(explain_text(catalogue().rules[code]))


@pytest.mark.parametrize("word", sorted(catalogue().demands))
def test_explanations_of_demands_keep_to_the_list(word: str) -> None:
    assert not never_written(explain_text(catalogue().demands[word]))
