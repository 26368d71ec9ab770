"""Kinds `intake-profile` and `waiver-list`: what one receiver demands of cases, and what it lets pass all the same."""

from typing import Annotated, Literal

from pydantic import Field

from shadefmt.model.base import (
    Absent,
    Block,
    DocumentId,
    EntryId,
    ExtensionName,
    Extensions,
    FormatVersion,
    Positive,
    ShortText,
    Text,
    Timestamp,
)
from shadefmt.model.colours import CopyOf
from shadefmt.model.demands import Demands
from shadefmt.vocabulary import Demand, IntakeWeight, PersonRole


class RuleChange(Block):
    """How much one rule weighs for this receiver. The severity in reports stays what it is."""

    code: ShortText
    """Code of the rule, in the catalogue of rules."""
    weight: IntakeWeight
    """What its findings count as; `error` refuses the case."""
    note: Absent[Text] = None
    """Why, in words."""


class WaiverTerms(Block):
    """Which waivers count under a profile."""

    accepted: bool
    """Whether any does."""
    author: bool
    """Whether a waiver says who gave it, by role or code."""
    days_at_most: Absent[Positive] = None
    """Most days from the giving of a waiver to its last day; then both are needed."""
    never_for: Absent[Annotated[list[ShortText], Field(min_length=1)]] = None
    """Codes of rules that are never waived."""
    never_for_demands: Absent[Annotated[list[Demand], Field(min_length=1)]] = None
    """Demands that are never waived."""


class IntakeProfile(Block):
    """What one receiver demands of cases. It changes nothing about whether a case is valid."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: FormatVersion
    """Version of the format that the document was written to."""
    kind: Literal["intake-profile"]
    """Always `intake-profile`."""
    id: DocumentId
    """Globally unique id of this version of the profile."""
    extensions_required: Absent[Annotated[list[ExtensionName], Field(min_length=1)]] = None
    """Extensions without which the profile must not be relied on."""
    title: ShortText
    """Name in the receiver's words."""
    replaces: Absent[CopyOf] = None
    """Earlier version of the profile."""
    note: Absent[Text] = None
    """What it is for, and what it costs whoever has to meet it."""
    partly_checked_accepted: bool
    """Whether a case is accepted although part of it was not looked at."""
    rules: Absent[Annotated[list[RuleChange], Field(min_length=1)]] = None
    """Rules that weigh more or less than their severity says."""
    demands: Absent[Demands] = None
    """What is demanded beyond the rules."""
    waivers: Absent[WaiverTerms] = None
    """Which waivers count; absent means every one."""
    extensions: Absent[Extensions] = None
    """Foreign data by reverse-DNS name."""


class Waiver(Block):
    """A finding, or a demand not met, that the receiver lets stand. Either `code` or `demand` is present."""

    id: EntryId
    """Name of the waiver, unique in the list."""
    code: Absent[ShortText] = None
    """Code of the rule whose findings are waived."""
    demand: Absent[Demand] = None
    """Demand that is waived."""
    document: Absent[DocumentId] = None
    """Case that it holds for; absent means every case."""
    entry_id: Absent[EntryId] = None
    """Entry of that case that it holds for; absent means the whole case."""
    member: Absent[ShortText] = None
    """Place below that entry, as in a JSON Pointer without its first slash; absent means the whole entry."""
    pointer: Absent[ShortText] = None
    """Place in that case, where it is in no entry."""
    reason: Text
    """Why, in words; never anything that names a person."""
    by_role: Absent[PersonRole] = None
    """Role of the person who gave it."""
    by_code: Absent[ShortText] = None
    """Code by which the receiver knows that person; never a name."""
    at: Absent[Timestamp] = None
    """When it was given."""
    valid_until: Absent[Timestamp] = None
    """Last day on which it holds."""


class WaiverList(Block):
    """What one receiver lets stand. It belongs to the receiver; a case cannot carry its own."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: FormatVersion
    """Version of the format that the document was written to."""
    kind: Literal["waiver-list"]
    """Always `waiver-list`."""
    id: DocumentId
    """Globally unique id of this version of the list."""
    extensions_required: Absent[Annotated[list[ExtensionName], Field(min_length=1)]] = None
    """Extensions without which the list must not be relied on."""
    title: ShortText
    """Name in the receiver's words."""
    replaces: Absent[CopyOf] = None
    """Earlier version of the list."""
    waivers: Annotated[list[Waiver], Field(min_length=1)]
    """The waivers."""
    extensions: Absent[Extensions] = None
    """Foreign data by reverse-DNS name."""
