"""How a colour is known: measured, chosen, agreed; in full for a page and in few words for a short summary."""

from typing import NamedTuple

from shadefmt.indexing import CaseView, Located
from shadefmt.model.judging import Target
from shadefmt.model.measuring import Mean, Reading
from shadefmt.rendering.account.choices import choice_words
from shadefmt.rendering.account.names import colour_name, read_on, specimen_name
from shadefmt.rendering.dates import date_words
from shadefmt.rendering.figures import counted
from shadefmt.rendering.visible import flowing
from shadefmt.rendering.words import ORIGINS
from shadefmt.rendering.work_words import BACKINGS, HYDRATION, STATES, TARGETS


class Known(NamedTuple):
    """How a colour is known, in full and in few words, part by part so that rows can say once what they share."""

    words: str
    short: tuple[str, ...]


def of_target(view: CaseView, target: Target) -> Known:
    """Return what a target rests on and when it was set."""
    source = view.entries.get(target.source_id) if target.source_id is not None else None
    when = _model(view, target)
    when += f"; set on {date_words(target.set_at)}" if target.set_at is not None else ""
    words = TARGETS[target.source_kind]
    if target.source_kind == "chosen-reference":
        return Known(_chosen(view, source) + when, ("chosen",))
    if source is None:
        return Known(words + when, (words,))
    count = _count(view, source)
    counts = "".join(f", {each}" for each in count)
    if target.source_kind in ("design-value", "agreed-with-patient"):
        return Known(f"{words}, after {colour_name(view, source)}{counts}{when}", (words,))
    return Known(f"measured: {colour_name(view, source)}{counts}{when}", ("measured", *count))


def _model(view: CaseView, target: Target) -> str:
    """Return which specimen was the model and why, where the target says so."""
    if target.model_specimen_id is None:
        return ""
    reason = f" ({flowing(target.model_reason)})" if target.model_reason is not None else ""
    return f"; model {specimen_name(view, target.model_specimen_id)}{reason}"


def _chosen(view: CaseView, source: Located | None) -> str:
    if source is None:
        return TARGETS["chosen-reference"]
    if isinstance(source.entry, Reading) and source.entry.visual is not None:
        return choice_words(view, source.entry.visual)
    return f"chosen: {colour_name(view, source)}"


def _count(view: CaseView, source: Located) -> list[str]:
    readings = view.readings_behind(source)
    return [counted(len(readings), "reading")] if readings else []


def of_mean(view: CaseView, mean: Mean) -> Known:
    """Return of how many readings a mean is, who made their numbers, and when they were taken."""
    count = counted(len(mean.reading_ids), "reading")
    on = _on(view, view.readings_of(mean))
    return Known(", ".join([f"mean of {count}", ORIGINS[mean.of_origin], *on]), (count, *on))


def _on(view: CaseView, readings: list[Reading]) -> list[str]:
    """Return when readings were taken and what sets them apart: state, backing, a tooth that was not moist."""
    words = [read_on(view, readings)]
    words += [STATES[each.state] for each in readings if each.state is not None]
    words += [HYDRATION[each.hydration] for each in readings if each.hydration in ("dry", "rehydrating")]
    words += [BACKINGS[each.backing] for each in readings if each.backing is not None]
    return list(filter(None, dict.fromkeys(words)))


def of_reading(view: CaseView, reading: Reading, coloured: bool) -> Known:
    """Return what a single reading is: a measurement, a spectrum without colours, a choice by eye."""
    on = _on(view, [reading])
    words = "one reading" if coloured else "one reading of the spectrum, no colour computed"
    if reading.visual is not None:
        words = choice_words(view, reading.visual) + (", beside a reading" if coloured else "")
    return Known(", ".join([words, *on]), (words, *on))
