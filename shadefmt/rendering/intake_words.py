"""A receiver's answer in sentences, for the summary and for the page."""

from collections import Counter
from typing import NamedTuple

from shadefmt.model.report import DemandNotMet, Intake
from shadefmt.rendering.file_state import title_of
from shadefmt.rendering.intake_lines import ANSWERS, OPEN, against_words
from shadefmt.rendering.visible import flowing, visible


class Unmet(NamedTuple):
    """A demand that is not met: its title, where, and what to do."""

    demand: str
    title: str
    found: list[DemandNotMet]


def intake_words(intake: Intake) -> str:
    """Return the answer in one line, such as `profile Working bench: REFUSED   2 demands stand against it`."""
    against = against_words(intake).split(". ")[0].rstrip(".")
    return f"profile {flowing(intake.profile.title)}: {ANSWERS[intake.answer]}, {against[:1].lower()}{against[1:]}"


def answer_sentences(intake: Intake) -> tuple[str, str]:
    """Return the answer as a sentence, and what stands against the case."""
    said = f"Under the profile {flowing(intake.profile.title)}: {ANSWERS[intake.answer].lower()}."
    return said, against_words(intake)


def unmet(intake: Intake) -> list[Unmet]:
    """Return the demands not met by demand, those that a waiver lets stand left out."""
    found: dict[str, list[DemandNotMet]] = {}
    for each in intake.demands_not_met or ():
        if each.waiver_id is None:
            found.setdefault(each.demand, []).append(each)
    return [Unmet(demand, title_of(demand), group) for demand, group in found.items()]


def left_open(intake: Intake) -> list[str]:
    """Return what leaves the answer open, in words with the name of each."""
    return [f"{OPEN[each.what]} ({visible(each.name)})" for each in intake.left_open or ()]


def let_stand(intake: Intake) -> list[str]:
    """Return the demands that a waiver lets stand, each once for a waiver, with how often."""
    held = [each for each in intake.demands_not_met or () if each.waiver_id is not None]
    found = Counter(f"waived by {visible(each.waiver_id or '')}: {title_of(each.demand)}" for each in held)
    return [words + (f" ({count} times)" if count > 1 else "") for words, count in found.items()]
