"""Kind `loss-report`: what a conversion kept, changed, defaulted or could not carry."""

from typing import Annotated, Literal

from pydantic import Field

from shadefmt.model.base import Absent, Block, Count, FormatVersion, Sha256, ShortText, Text
from shadefmt.model.report import NaturalNumber
from shadefmt.vocabulary import Fate


class LossInstance(Block):
    """One place in the source."""

    where: ShortText
    """Line, cell or element."""
    before: Absent[str] = None
    """What stood there, cut after 200 characters."""
    after: Absent[str] = None
    """What became of it."""


class LossItem(Block):
    """What happened to everything that a path pattern names."""

    path: ShortText
    """Path in the source, `*` standing for every number in a list."""
    fate: Fate
    """What happened."""
    count: Count
    """How often."""
    to: Absent[ShortText] = None
    """Path in the target."""
    code: Absent[ShortText] = None
    """Kind of loss, for allowing it by name."""
    reason: Absent[Text] = None
    """Why, in words."""
    instances: Absent[Annotated[list[LossInstance], Field(min_length=1)]] = None
    """The first instances."""


class SourceFile(Block):
    """What was converted."""

    file_format: ShortText
    """Format by name, such as `cxf3` or `table`."""
    sha256: Sha256
    """SHA-256 of its bytes."""
    size_bytes: NaturalNumber
    """Number of bytes."""


class LossReport(Block):
    """The account of one conversion."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: FormatVersion
    """Version of the format of the loss report."""
    kind: Literal["loss-report"]
    """Always `loss-report`."""
    source: SourceFile
    """What was converted."""
    target_format: ShortText
    """Format that it was converted to."""
    lossless: bool
    """Whether nothing was dropped, rounded or defaulted."""
    documents: NaturalNumber
    """Number of documents made."""
    readings: NaturalNumber
    """Number of readings made."""
    items: Absent[Annotated[list[LossItem], Field(min_length=1)]] = None
    """What happened, by path; losses first."""
