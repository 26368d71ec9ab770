"""What stands beside a proposed mapping: why each column was taken for what it is, and what a person decides."""

from typing import Annotated

from pydantic import Field

from shadefmt.model.base import Absent, Block, Count, ShortText, Text
from shadefmt.vocabulary import Sureness, TableMember


class FoundColumn(Block):
    """What speaks for one column of the table."""

    column: Absent[ShortText] = None
    """Text of its header."""
    column_number: Count
    """Its number from the left, from 1."""
    member: Absent[TableMember] = None
    """Member that it was taken for; absent for a band of a spectrum and for what nothing was made of."""
    sureness: Sureness
    """How sure that is: `certain` where header and cells say it, `likely` where one does, `possible` else."""
    reason: Text
    """Why, in words."""
    seen: Absent[Annotated[list[ShortText], Field(min_length=1)]] = None
    """Some of its texts or, where they may name a person, none."""


class OpenQuestion(Block):
    """What the table does not say, and a person who knows it fills in."""

    place: ShortText
    """Where in the mapping the answer goes, as a JSON Pointer."""
    question: Text
    """What is asked, and what the table shows of it."""
    answers: Absent[Annotated[list[ShortText], Field(min_length=1)]] = None
    """Values that there are."""


class MappingProposal(Block):
    """Evidence for a proposed mapping. Whoever confirms the mapping takes it out."""

    rows_seen: Count
    """Rows of the table that were looked at."""
    findings: Absent[Annotated[list[Text], Field(min_length=1)]] = None
    """What was found of the file as a whole: encoding, delimiter, marks, lines above and below."""
    columns: Absent[Annotated[list[FoundColumn], Field(min_length=1)]] = None
    """What was found of each column."""
    questions: Absent[Annotated[list[OpenQuestion], Field(min_length=1)]] = None
    """What is left to decide."""
