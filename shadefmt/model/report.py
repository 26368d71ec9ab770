"""Kind `report`: what the checker found. The only shape of a finding."""

from typing import Annotated, Any, Literal

from pydantic import Field

from shadefmt.model.base import Absent, Block, Count, DocumentId, EntryId, FormatVersion, Sha256, ShortText, Timestamp
from shadefmt.vocabulary import (
    Demand,
    IntakeAnswer,
    IntakeWeight,
    NotRunReason,
    OpenMatter,
    Outcome,
    Pinned,
    Severity,
    Stage,
)

Parameters = dict[str, Any]
NaturalNumber = Annotated[int, Field(ge=0)]


class Position(Block):
    """A place in the text that was checked."""

    line: Count
    """Line, from 1."""
    column: Count
    """Column in characters, from 1."""


class Cause(Block):
    """A change that would explain a broken link."""

    code: ShortText
    """Kind of change."""
    parameters: Parameters
    """What it would change, and to what."""
    message: str
    """The same in words."""


class Finding(Block):
    """Why the checker speaks, and where."""

    code: ShortText
    """Code of the rule, in the catalogue of rules."""
    stage: Stage
    """Stage that found it."""
    severity: Severity
    """`error`: the file contradicts itself; `warning`: ask before work starts; `note`: worth knowing."""
    pointer: str
    """JSON Pointer (RFC 6901) of the value; the empty string is the whole document."""
    entry_id: Absent[str] = None
    """Id of the entry that holds it, as it stands in the file."""
    parameters: Parameters
    """The facts behind the message."""
    message: str
    """What was found, in words."""
    remedy: Absent[str] = None
    """What to do about it."""
    causes: Absent[Annotated[list[Cause], Field(min_length=1)]] = None
    """Changes that would each explain it."""
    position: Absent[Position] = None
    """Place in the text."""
    intake_weight: Absent[IntakeWeight] = None
    """What it counts as for the receiver, where a profile says otherwise than `severity`."""
    waiver_id: Absent[EntryId] = None
    """Waiver of the receiver's list that lets it stand."""


class RuleNotRun(Block):
    """A rule that did not look, and why."""

    code: ShortText
    """Code of the rule."""
    reason: NotRunReason
    """Why it did not run."""


class Tool(Block):
    """What made the report."""

    name: ShortText
    """Name of the program."""
    version: ShortText
    """Its version."""
    format_version: ShortText
    """Newest version of the format that it knows."""
    rule_set: ShortText
    """Version of its rules."""


class Judged(Block):
    """What was checked."""

    name: Absent[str] = None
    """Name under which it was given."""
    bytes_sha256: Sha256
    """SHA-256 of the bytes."""
    size_bytes: NaturalNumber
    """Number of bytes."""
    sha256: Absent[Sha256] = None
    """SHA-256 of the document in canonical form (RFC 8785); absent where it could not be decoded."""
    kind: Absent[str] = None
    """Kind of document."""
    version: Absent[str] = None
    """Version that it states."""
    id: Absent[str] = None
    """Id that it states."""


class Totals(Block):
    """How many findings of each severity there are."""

    errors: NaturalNumber
    """Errors."""
    warnings: NaturalNumber
    """Warnings."""
    notes: NaturalNumber
    """Notes."""


class NotSupplied(Block):
    """A document or attachment that the case pins but that was not given to the checker."""

    what: Pinned
    """Kind of thing."""
    name: str
    """Its id or path, as it stands in the file."""
    entry_id: str
    """Entry that pins it."""


class IntakeDocument(Block):
    """A document of the receiver that a case was held against."""

    id: DocumentId
    """Its id."""
    sha256: Sha256
    """SHA-256 of the document in canonical form (RFC 8785)."""
    title: ShortText
    """Its name in words."""


class DemandNotMet(Block):
    """Something that the receiver asks for and the case does not have. It is no fault of the file."""

    demand: Demand
    """The demand."""
    pointer: str
    """JSON Pointer (RFC 6901) to what it was asked of; the empty string is the whole document."""
    entry_id: Absent[EntryId] = None
    """Entry that it was asked of."""
    subject: str
    """What it was asked of, by the names in the file."""
    found: str
    """What was found, in words."""
    wanted: str
    """What is asked for, in words."""
    message: str
    """All of it in one sentence."""
    remedy: Absent[str] = None
    """What to do about it."""
    waiver_id: Absent[EntryId] = None
    """Waiver of the receiver's list that lets it stand."""


class LeftOpen(Block):
    """Something that the answer would need and that was not looked at."""

    what: OpenMatter
    """Kind of thing."""
    name: ShortText
    """Code of the rule, word of the demand or id of the waiver; `document` for a part of the document."""
    reason: Absent[NotRunReason] = None
    """Why it was not looked at."""


class Intake(Block):
    """One receiver's answer to a case. It says nothing about whether the file is sound."""

    answer: IntakeAnswer
    """The answer."""
    profile: IntakeDocument
    """Profile that the case was held against."""
    waiver_list: Absent[IntakeDocument] = None
    """Waivers that were at hand."""
    by_waiver: bool
    """Whether the case is accepted only because something was waived."""
    findings_against: NaturalNumber
    """Number of findings that stand against it, listed or not."""
    demands_against: NaturalNumber
    """Number of demands not met that stand against it, listed or not."""
    waived: NaturalNumber
    """Number of findings and demands that stand against it no longer because of a waiver."""
    demands_not_met: Absent[Annotated[list[DemandNotMet], Field(min_length=1)]] = None
    """Demands not met, by place."""
    left_open: Absent[Annotated[list[LeftOpen], Field(min_length=1)]] = None
    """What was not looked at and leaves the answer undecided."""
    findings: Absent[Annotated[list[Finding], Field(min_length=1)]] = None
    """Findings on the waivers; their pointers lead into the waiver list."""


class Report(Block):
    """The outcome of one check of one file."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: FormatVersion
    """Version of the format of the report."""
    kind: Literal["report"]
    """Always `report`."""
    tool: Tool
    """What made it."""
    judged: Judged
    """What was checked."""
    as_of: Absent[Timestamp] = None
    """Moment that time-dependent rules were run for."""
    outcome: Outcome
    """`valid`, `invalid` (at least one error) or `incomplete` (not wholly looked at)."""
    partly_checked: bool
    """Whether part was not looked at because of a limit, a failure or an unknown required extension."""
    totals: Totals
    """Number of findings, listed or not."""
    findings: Absent[Annotated[list[Finding], Field(min_length=1)]] = None
    """Findings, errors first, then by place."""
    rules_not_run: Absent[Annotated[list[RuleNotRun], Field(min_length=1)]] = None
    """Rules that did not run."""
    not_supplied: Absent[Annotated[list[NotSupplied], Field(min_length=1)]] = None
    """Pinned documents and attachments that were not at hand."""
    intake: Absent[Intake] = None
    """One receiver's answer, where the case was held against a profile."""
