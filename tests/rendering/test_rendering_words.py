"""Words that people read: every word of the format has one, and none of them promises, blames or reassures."""

import re
from typing import get_args

import pytest
from shown_cases import checked, rich, smallest
from toothnotation import all_teeth

from scripts.print_texts import WORDS_OF_THE_FORMAT, texts
from shadefmt import vocabulary
from shadefmt.catalogue import catalogue
from shadefmt.cli.main import VERBS
from shadefmt.rendering import case_text, page_html, question_texts, report_text, words, work_words
from shadefmt.rendering.account.names import tooth_name
from shadefmt.rendering.file_state import REASONS, SEVERITIES
from shadefmt.rendering.rule_lines import ASKS, KINDS, STAGES

NEVER = re.compile(
    r"(?<![\w-])(?:"
    r"(?:in)?valid|pass(?:es|ed)?|fail(?:s|ed)?|ok|okay|good|perfect|ticks?|cross|match(?:es)?|unacceptable|"
    r"excellent|corrected|calibrated value|at fault|blame[sd]?|guilty|anonym(?:ous|ised)|"
    r"error \d[\d.]*|\d+ ?% sure|in \d+ of \d+ repeats"
    r")(?![\w-])",
    re.IGNORECASE,
)
"""What nobody is to read: verdicts without a limit, promises, school marks, fault, and what pseudonyms are not."""

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
    return NEVER.findall(re.sub(r"\{[^{}]*\}", "", text))


def test_the_list_finds_what_it_is_for() -> None:
    assert never_written("The crown is OK, a perfect match: error 2.4, 95 % sure, nobody is at fault.") == [
        *("OK", "perfect", "match", "error 2.4", "95 % sure", "at fault"),
    ]
    assert not never_written("conditionally-fails, calibration-failed, the reading was matched in validity")


TEXTS = texts()


def test_the_texts_are_those_that_people_meet() -> None:
    said = {each.text for each in TEXTS}
    rules = catalogue().rules.values()
    assert {each.message for each in rules} | {each.remedy for each in rules} | {each.guard for each in rules} <= {
        *said,
        "",
    }
    assert set(question_texts.TEXTS.values()) <= said
    for table in COVERED.values():
        shown = {words for words in table.values() if words not in WORDS_OF_THE_FORMAT and len(words) > 1}
        assert shown <= said
    assert {each.place for each in TEXTS if each.what == "help"} >= {f"shadefmt {verb} --help" for verb in VERBS}
    assert "the row has {len(row)} cells, the table {width} columns" in said, "a refusal of a converter"


def test_every_text_keeps_to_the_list() -> None:
    plain = [(each.place, re.sub(r"default: [\w%()-]+", "", each.text)) for each in TEXTS]
    assert not [(place, text) for place, text in plain if never_written(text)]


def test_what_is_shown_keeps_to_the_list() -> None:
    for value in (rich(), smallest()):
        case, report = checked(value)
        page = re.sub(r"<style>.*?</style>|<[^>]*>", " ", page_html(case, report), flags=re.DOTALL)
        for shown in (page, case_text(case, report), report_text(report, name="shown", verbose=True)):
            assert not never_written(shown), shown
