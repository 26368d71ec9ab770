"""Readings and what is made of them: computed colours, withdrawals, means."""

from typing import Annotated

from pydantic import Field

from shadefmt.model.base import Absent, Block, Count, Entry, EntryId, NotNegative, Text, Timestamp
from shadefmt.model.colours import Colour, Spectrum, Spread
from shadefmt.vocabulary import (
    Backing,
    Column,
    Hydration,
    Isolation,
    Origin,
    ReadingRole,
    WithdrawalReason,
    WorkState,
    Zone,
)


class VisualChoice(Block):
    """A choice by eye from a reference set."""

    reference_set_id: EntryId
    """Set that was chosen from."""
    chosen_id: Absent[EntryId] = None
    """Reference that was chosen."""
    second_id: Absent[EntryId] = None
    """Second choice, or the other neighbour where the colour lies between two."""
    between: Absent[bool] = None
    """Whether the colour lies between `chosen_id` and `second_id`."""
    none_close: Absent[bool] = None
    """Whether no reference of the set came close."""
    sure: Absent[bool] = None
    """Whether the observer was sure."""


class Reading(Entry):
    """One measurement or choice of one zone of one specimen."""

    session_id: Absent[EntryId] = None
    """Session it belongs to."""
    specimen_id: EntryId
    """Specimen that was read."""
    zone: Zone
    """Where on the specimen."""
    column: Absent[Column] = None
    """Which third from side to side."""
    region: Absent[Text] = None
    """Place in words, where `zone` is `region`."""
    at: Absent[Timestamp] = None
    """When it was taken."""
    order: Absent[Count] = None
    """Place in the order in which the session's readings were taken."""
    repositioned: Absent[bool] = None
    """Whether the instrument was lifted and placed anew before it."""
    guided: Absent[bool] = None
    """Whether a jig or mask held the place."""
    window_fits: Absent[bool] = None
    """Whether the measured area lay wholly within the zone."""
    role: Absent[ReadingRole] = None
    """Absent means `ordinary`."""
    state: Absent[WorkState] = None
    """State of a restoration when it was read."""
    placed_over_id: Absent[EntryId] = None
    """Specimen beneath."""
    medium: Absent[Text] = None
    """What lay between the specimen and what is beneath it, in words."""
    backing: Absent[Backing] = None
    """What lay behind."""
    backing_id: Absent[EntryId] = None
    """The backing, where it is described."""
    hydration: Absent[Hydration] = None
    """State of a tooth's surface."""
    isolation: Absent[Isolation] = None
    """How the tooth was kept dry."""
    minutes_since_isolation: Absent[NotNegative] = None
    """Minutes since isolation began."""
    spectrum: Absent[Spectrum] = None
    """What the instrument measured by wavelength."""
    colours: Absent[Annotated[list[Colour], Field(min_length=1)]] = None
    """Colours, one for each illuminant, observer and origin."""
    visual: Absent[VisualChoice] = None
    """A choice by eye."""
    note: Absent[Text] = None
    """Remark in words; never anything that names a person."""


class ComputedColour(Entry):
    """A colour computed from the spectrum of a reading of an earlier revision."""

    reading_id: EntryId
    """Reading whose spectrum it was computed from."""
    colour: Colour
    """The colour; its `origin` is `computed`."""


class Withdrawal(Entry):
    """States that an earlier entry no longer counts. The entry stays."""

    entry_id: EntryId
    """Entry that no longer counts."""
    reason: WithdrawalReason
    """Why."""
    replaced_by_id: Absent[EntryId] = None
    """Entry that takes its place."""
    note: Absent[Text] = None
    """What happened, in words."""


class Mean(Entry):
    """Arithmetic mean of the stated colours of named readings."""

    reading_ids: Annotated[list[EntryId], Field(min_length=1)]
    """Readings averaged."""
    of_origin: Origin
    """Origin of the colours averaged; illuminant and observer are those of `colour`."""
    colour: Colour
    """The mean; its `origin` is `computed`."""
    spread: Absent[Spread] = None
    """How far the readings lie apart; only with two or more readings."""
