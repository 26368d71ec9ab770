"""What holds entries, cases and parties together: relations, groups, events, courses of treatment, bridges."""

from typing import Annotated

from pydantic import Field

from shadefmt.model.base import (
    Absent,
    Block,
    Decimals,
    DocumentId,
    Entry,
    EntryId,
    NotNegative,
    Number,
    Sha256,
    ShortText,
    Text,
    Timestamp,
)
from shadefmt.model.colours import Lab
from shadefmt.model.context import Layer
from shadefmt.vocabulary import (
    Decision,
    EffectMoment,
    EventKind,
    GroupKind,
    Illuminant,
    Observer,
    PersonRole,
    Relation,
    WorkState,
)


class OtherCase(Block):
    """A case that is not this one. At least one of the members is present."""

    id: Absent[DocumentId] = None
    """Id of the case."""
    sha256: Absent[Sha256] = None
    """Digest of the case as it was known."""
    on_paper: Absent[bool] = None
    """Whether it was never a document of this format."""


class CaseRelation(Entry):
    """How this case stands to another."""

    relation: Relation
    """What this case is of the other."""
    other: OtherCase
    """The other case."""
    note: Absent[Text] = None
    """Why, in words."""


class Group(Entry):
    """Specimens that belong together."""

    kind: GroupKind
    """What they are together."""
    specimen_ids: Annotated[list[EntryId], Field(min_length=2)]
    """The specimens."""
    label: Absent[ShortText] = None
    """What the parties call it."""


class Conclusion(Entry):
    """What several verdicts say together: the worst of them, never a mean."""

    group_id: Absent[EntryId] = None
    """Group that it is about."""
    specimen_id: Absent[EntryId] = None
    """Specimen that it is about."""
    verdict_ids: Annotated[list[EntryId], Field(min_length=1)]
    """Verdicts that it rests on."""
    decision: Decision
    """The worst decision of the verdicts."""


class Event(Entry):
    """Something that happened to the work, the tooth or the case."""

    kind: EventKind
    """What happened."""
    at: Timestamp
    """When."""
    party_id: Absent[EntryId] = None
    """Party where it happened."""
    by_role: Absent[PersonRole] = None
    """Role of the person who did or said it; never a name."""
    specimen_ids: Absent[Annotated[list[EntryId], Field(min_length=1)]] = None
    """Specimens that it happened to; absent means the whole case."""
    state: Absent[WorkState] = None
    """State of the work at that moment."""
    layers: Absent[Annotated[list[Layer], Field(min_length=1)]] = None
    """Materials that the work was made of in the end, from the stump outward."""
    light: Absent[Text] = None
    """Light under which it was looked at, in words."""
    note: Absent[Text] = None
    """What was said or done, in words; never anything that names a person."""


class Course(Entry):
    """A course of treatment that moves the colour of teeth."""

    specimen_ids: Annotated[list[EntryId], Field(min_length=1)]
    """Teeth treated."""
    control_specimen_ids: Absent[Annotated[list[EntryId], Field(min_length=1)]] = None
    """Untreated teeth or check patches that are read at every visit."""
    event_ids: Absent[Annotated[list[EntryId], Field(min_length=1)]] = None
    """Events of the course, in order."""
    note: Absent[Text] = None
    """What was done, in words."""


class Effect(Entry):
    """What a course has done to one zone at one moment."""

    course_id: EntryId
    """The course."""
    moment: EffectMoment
    """When in the course."""
    days: Absent[NotNegative] = None
    """Days since the end of treatment."""
    comparison_id: EntryId
    """Comparison of the colour then with the baseline."""
    index_before_id: Absent[EntryId] = None
    """Index of the baseline."""
    index_after_id: Absent[EntryId] = None
    """Index of the colour then."""
    decimals: Absent[Decimals] = None
    """Decimals that `change` was rounded to."""
    change: Absent[Number] = None
    """Index then minus index of the baseline."""


class BridgePair(Block):
    """One patch read with both instruments."""

    first_id: EntryId
    """Mean or reading with the first instrument."""
    second_id: EntryId
    """Mean or reading with the second instrument."""


class Bridge(Entry):
    """Relates two instruments that read the same patches. It never changes a reading."""

    first_instrument_id: EntryId
    """Instrument that is related to."""
    second_instrument_id: EntryId
    """Instrument that is related."""
    made_at: Timestamp
    """When the patches were read."""
    party_id: Absent[EntryId] = None
    """Party that made it."""
    tooth_like: bool
    """Whether the patches scatter light like teeth; an offset found on opaque tiles does not hold for teeth."""
    illuminant: Illuminant
    """CIE illuminant of the colours."""
    observer: Observer
    """CIE standard observer of the colours."""
    pairs: Annotated[list[BridgePair], Field(min_length=1)]
    """The patches."""
    decimals: Decimals
    """Decimals that `offset` was rounded to."""
    offset: Lab
    """Mean of second minus first."""
