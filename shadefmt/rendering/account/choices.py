"""References in words: the distance before the label, and choices by eye as they were made."""

from typing import NamedTuple

from shadefmt.indexing import CaseView
from shadefmt.model.judging import Match
from shadefmt.model.measuring import VisualChoice
from shadefmt.rendering.account.names import ABSENT
from shadefmt.rendering.figures import as_given
from shadefmt.rendering.visible import flowing, visible


class Nearest(NamedTuple):
    """The nearest reference of one set in words, with the runner-up and without, and the title of the set."""

    words: str
    short: str
    set_title: str


def label(view: CaseView, reference_id: str | None) -> str:
    """Return what the owner of a set calls a reference."""
    reference = view.find(reference_id, "references")
    if reference is not None:
        return flowing(reference.label)
    return visible(reference_id) if reference_id else ABSENT


def nearest(view: CaseView, *of_ids: str | None) -> list[Nearest]:
    """Return the nearest references that the case states for any of the colours named."""
    wanted = {each for each in of_ids if each is not None}
    matches = [each for each in view.case.matches or () if each.of_id in wanted and each.id not in view.withdrawn]
    return [_nearest(view, each) for each in matches]


def set_title(view: CaseView, set_id: str) -> str:
    """Return the name of a reference set in its owner's words."""
    embedded = view.find(set_id, "reference_sets")
    return flowing(embedded.title) if embedded is not None else visible(set_id)


def _nearest(view: CaseView, match: Match) -> Nearest:
    title = set_title(view, match.reference_set_id)
    first = f"{as_given(match.nearest_difference, match.decimals)} from {label(view, match.nearest_id)}"
    if match.conclusion == "none-close":
        return Nearest(f"none close ({first})", f"none close ({first})", title)
    undecided = "nearest undecided: " if match.conclusion == "undecided" else ""
    if match.runner_up_id is None:
        return Nearest(f"{undecided}{first}", f"{undecided}{first}", title)
    second = label(view, match.runner_up_id)
    if match.runner_up_difference is not None:
        second = f"{as_given(match.runner_up_difference, match.decimals)} from {second}"
    if undecided:  # a single label would say more than the readings do
        return Nearest(f"{undecided}{first}, {second}", f"{undecided}{first}, {second}", title)
    return Nearest(f"{first}, next {second}", first, title)


def choice_words(view: CaseView, choice: VisualChoice) -> str:
    """Return a choice by eye as a sentence says it."""
    if choice.none_close:
        words = "none close"
    elif choice.between and choice.second_id is not None:
        words = f"between {label(view, choice.chosen_id)} and {label(view, choice.second_id)}"
    else:
        words = label(view, choice.chosen_id)
        if choice.second_id is not None:
            words += f", second choice {label(view, choice.second_id)}"
    if choice.sure is not None:
        words += ", sure" if choice.sure else ", not sure"
    return f"chosen by eye: {words}"
