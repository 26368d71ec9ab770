"""Kind `report`: what the checker found. The only shape of a finding."""

from typing import Annotated, Literal

from pydantic import Field

from shadefmt.model.base import Absent, Block, Count, EntryId, Sha256, ShortText, Text, Timestamp
from shadefmt.vocabulary import NotRunReason, Outcome, Severity, Stage

Parameter = str | float | bool | list[str] | list[float]
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
    params: dict[str, Parameter]
    """What it would change, and to what."""
    message: Text
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
    entry_id: Absent[EntryId] = None
    """Entry that holds it."""
    params: dict[str, Parameter]
    """The facts behind the message."""
    message: Text
    """What was found, in words."""
    remedy: Absent[Text] = None
    """What to do about it."""
    causes: Absent[Annotated[list[Cause], Field(min_length=1)]] = None
    """Changes that would each explain it."""
    position: Absent[Position] = None
    """Place in the text."""


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

    name: Absent[ShortText] = None
    """Name under which it was given."""
    bytes_sha256: Sha256
    """SHA-256 of the bytes."""
    size_bytes: NaturalNumber
    """Number of bytes."""
    sha256: Absent[Sha256] = None
    """SHA-256 of the document in canonical form (RFC 8785); absent where it could not be decoded."""
    kind: Absent[ShortText] = None
    """Kind of document."""
    version: Absent[ShortText] = None
    """Version that it states."""
    id: Absent[ShortText] = None
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

    what: Literal["document", "attachment"]
    """Kind of thing."""
    name: ShortText
    """Its id or path."""
    entry_id: EntryId
    """Entry that pins it."""


class Report(Block):
    """The outcome of one check of one file."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: Literal["1.0"]
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
