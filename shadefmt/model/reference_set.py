"""Kinds `reference-set` and `tolerance`: documents that cases embed copies of."""

from typing import Annotated, Literal

from pydantic import Field

from shadefmt.model.base import (
    Absent,
    Block,
    DocumentId,
    ExtensionName,
    Extensions,
    FormatVersion,
    ShortText,
    Text,
    Timestamp,
)
from shadefmt.model.colours import CopyOf, NamedColour
from shadefmt.model.judging import ToleranceContent


class ReferenceSet(Block):
    """A named, versioned set of colours: shade guide, material stock, house standard. Order means nothing."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: FormatVersion
    """Version of the format that the document was written to."""
    kind: Literal["reference-set"]
    """Always `reference-set`."""
    id: DocumentId
    """Globally unique id of this version of the set."""
    extensions_required: Absent[Annotated[list[ExtensionName], Field(min_length=1)]] = None
    """Extensions without which the set must not be relied on."""
    title: ShortText
    """Name of the set in its owner's words."""
    edition: Absent[ShortText] = None
    """Edition in its owner's words."""
    replaces: Absent[CopyOf] = None
    """Earlier version of the set."""
    valid_from: Absent[Timestamp] = None
    """First day of use."""
    valid_until: Absent[Timestamp] = None
    """Last day of use."""
    source: Absent[Text] = None
    """Where the colours come from: who measured which copies with what."""
    references: Annotated[list[NamedColour], Field(min_length=1)]
    """The references."""
    extensions: Absent[Extensions] = None
    """Foreign data by reverse-DNS name."""


class _ToleranceHead(Block):
    """What every document begins with, here before the content that a case embeds."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: FormatVersion
    """Version of the format that the document was written to."""
    kind: Literal["tolerance"]
    """Always `tolerance`."""
    id: DocumentId
    """Globally unique id of this version of the tolerance."""
    extensions_required: Absent[Annotated[list[ExtensionName], Field(min_length=1)]] = None
    """Extensions without which the tolerance must not be relied on."""
    title: ShortText
    """Name in words."""


class Tolerance(ToleranceContent, _ToleranceHead):
    """How differences are judged, as a document of its own."""

    extensions: Absent[Extensions] = None
    """Foreign data by reverse-DNS name."""
