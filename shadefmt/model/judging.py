"""Targets, reference sets, tolerances, comparisons, verdicts and what a party does with them."""

from typing import Annotated

from pydantic import Field

from shadefmt.model.base import (
    Absent,
    Block,
    Decimals,
    Entry,
    EntryId,
    Factor,
    NotNegative,
    Number,
    Positive,
    Sha256,
    ShortText,
    Text,
    Timestamp,
)
from shadefmt.model.colours import Colour, CopyOf, NamedColour
from shadefmt.vocabulary import (
    Action,
    AttachmentProcessing,
    AttachmentUse,
    Consent,
    Decision,
    DecisionRule,
    DifferenceFormula,
    Grade,
    Illuminant,
    MatchConclusion,
    Observer,
    Obstacle,
    PictureContent,
    Question,
    TargetSource,
    Tissue,
    UncertaintyMethod,
    UncertaintySource,
    Zone,
)


class Target(Entry):
    """The colour to reach, for one specimen and zone."""

    specimen_id: EntryId
    """Specimen that is to have the colour."""
    zone: Zone
    """Zone it holds for."""
    source_kind: TargetSource
    """What the target rests on."""
    source_id: Absent[EntryId] = None
    """Mean, reading, computed colour or reference that it was taken from."""
    model_specimen_id: Absent[EntryId] = None
    """Specimen chosen as the model."""
    model_reason: Absent[Text] = None
    """Why this one, where others would have served."""
    set_at: Absent[Timestamp] = None
    """When it was set."""
    set_by_id: Absent[EntryId] = None
    """Party that set it."""
    supersedes_id: Absent[EntryId] = None
    """Earlier target that this one replaces."""
    colour: Colour
    """The colour to reach."""


class EmbeddedReferenceSet(Entry):
    """The references that the case uses, copied from a reference-set document."""

    title: ShortText
    """Name of the set in its owner's words."""
    extract: bool
    """Whether only some references of the set were copied."""
    document: Absent[CopyOf] = None
    """Document that it was copied from."""
    references: Annotated[list[NamedColour], Field(min_length=1)]
    """The references."""


class Match(Entry):
    """The nearest reference to a colour, with its distance and the runner-up."""

    of_id: EntryId
    """Mean, reading, computed colour or target that was looked up."""
    reference_set_id: EntryId
    """Embedded reference set that was searched."""
    illuminant: Illuminant
    """CIE illuminant of all colours compared."""
    observer: Observer
    """CIE standard observer of all colours compared."""
    formula: DifferenceFormula
    """Colour-difference formula."""
    k_L: Factor
    """Lightness factor of the formula."""
    k_C: Factor
    """Chroma factor of the formula."""
    k_H: Factor
    """Hue factor of the formula."""
    decimals: Decimals
    """Decimals that the differences were rounded to."""
    nearest_id: EntryId
    """Reference at the smallest difference."""
    nearest_difference: NotNegative
    """That difference."""
    runner_up_id: Absent[EntryId] = None
    """Reference at the second smallest difference."""
    runner_up_difference: Absent[NotNegative] = None
    """That difference."""
    close_up_to: Absent[Positive] = None
    """Largest difference that still counts as close."""
    conclusion: Absent[MatchConclusion] = None
    """Whether the nearest is close, and whether the repeats tell it from the runner-up."""
    margin: Absent[NotNegative] = None
    """Difference of the runner-up minus that of the nearest."""
    margin_expanded: Absent[NotNegative] = None
    """Expanded uncertainty of `margin` from the repeats, coverage factor 2."""
    position: Absent[Annotated[float, Field(ge=0, le=1)]] = None
    """Foot of the colour on the CIELAB segment from the nearest (0) to the runner-up (1)."""
    residual: Absent[NotNegative] = None
    """Difference of the colour from that foot."""


class GradeLimit(Block):
    """One grade of a tolerance."""

    grade: Grade
    """The grade."""
    at_most: Absent[Positive] = None
    """Largest difference with this grade; absent on the last grade."""


class ToleranceContent(Block):
    """How a difference is judged, and who says so."""

    formula: DifferenceFormula
    """Colour-difference formula that the limits belong to."""
    k_L: Factor
    """Lightness factor of the formula."""
    k_C: Factor
    """Chroma factor of the formula."""
    k_H: Factor
    """Hue factor of the formula."""
    tissue: Tissue
    """What the limits were found for."""
    source: Absent[Text] = None
    """Publication or agreement that the limits come from."""
    region: Absent[Text] = None
    """Teeth or zones that it was agreed for, in words."""
    question: Absent[Question] = None
    """Question that the grades answer; absent means `match`."""
    grades: Absent[Annotated[list[GradeLimit], Field(min_length=1)]] = None
    """Grades in rising order of their limits; a difference equal to a limit has the better grade."""
    limit: Positive
    """Largest difference that conforms."""
    decision_rule: DecisionRule
    """How uncertainty enters the decision."""
    coverage_factor: Absent[Positive] = None
    """Coverage factor of the expanded uncertainty that the rule uses."""


class EmbeddedTolerance(ToleranceContent, Entry):
    """A tolerance as it was agreed for this case."""

    title: Absent[ShortText] = None
    """Name in words."""
    document: Absent[CopyOf] = None
    """Document that it was copied from."""
    agreed_by_ids: Absent[Annotated[list[EntryId], Field(min_length=1)]] = None
    """Parties that agreed it."""
    agreed_at: Absent[Timestamp] = None
    """When they agreed it."""


class UncertaintyComponent(Block):
    """One contribution to an uncertainty."""

    source: UncertaintySource
    """Where it comes from."""
    standard_uncertainty: NotNegative
    """Its standard uncertainty, in units of the difference."""


class Uncertainty(Block):
    """Expanded uncertainty of a difference (JCGM 100)."""

    coverage_factor: Positive
    """Factor between combined standard uncertainty and `expanded`."""
    decimals: Decimals
    """Decimals that `expanded` was rounded to."""
    expanded: NotNegative
    """Coverage factor times the root sum of squares of the components."""
    method: UncertaintyMethod
    """How it was found."""
    components: Absent[Annotated[list[UncertaintyComponent], Field(min_length=1)]] = None
    """What it is made of."""


class Direction(Block):
    """Trial minus standard, coordinate by coordinate."""

    decimals: Decimals
    """Decimals that every number of this block was rounded to."""
    delta_L: Number
    """Difference in lightness L*; positive is lighter."""
    delta_a: Number
    """Difference in a*; positive is redder."""
    delta_b: Number
    """Difference in b*; positive is yellower."""
    delta_C: Number
    """Difference in chroma C*ab; positive is stronger."""
    delta_H: Number
    """Difference in hue H*ab; positive is counter-clockwise, for teeth from red towards yellow."""


class Comparison(Entry):
    """Difference of two colours under a stated formula."""

    question: Question
    """What is asked of the difference."""
    standard_id: EntryId
    """Target, mean, reading, computed colour or reference that is compared against."""
    trial_id: EntryId
    """Mean, reading or computed colour that is compared."""
    illuminant: Illuminant
    """CIE illuminant of both colours."""
    observer: Observer
    """CIE standard observer of both colours."""
    formula: DifferenceFormula
    """Colour-difference formula."""
    k_L: Factor
    """Lightness factor of the formula."""
    k_C: Factor
    """Chroma factor of the formula."""
    k_H: Factor
    """Hue factor of the formula."""
    decimals: Decimals
    """Decimals that `difference` was rounded to."""
    difference: NotNegative
    """The difference between the stated colours."""
    direction: Absent[Direction] = None
    """Which way the trial lies from the standard."""
    uncertainty: Absent[Uncertainty] = None
    """How sure the difference is."""


class Verdict(Entry):
    """What a tolerance's rule says of a comparison."""

    comparison_id: EntryId
    """The comparison judged."""
    tolerance_id: Absent[EntryId] = None
    """The tolerance used; absent when not judged."""
    grade: Absent[Grade] = None
    """Where the difference itself lies; never outranks the decision."""
    decision: Decision
    """What the tolerance's decision rule says."""
    obstacles: Absent[Annotated[list[Obstacle], Field(min_length=1)]] = None
    """Why it cannot be compared."""


class Disposition(Entry):
    """What a party then does."""

    specimen_id: EntryId
    """Specimen it is done with."""
    verdict_ids: Absent[Annotated[list[EntryId], Field(min_length=1)]] = None
    """Verdicts that were looked at."""
    party_id: Absent[EntryId] = None
    """Party that decided."""
    action: Action
    """What is done."""
    note: Absent[Text] = None
    """Why, in words."""


class Attachment(Entry):
    """A file that travels with the case."""

    path: ShortText
    """Path inside the bundle, with forward slashes, below its root."""
    media_type: ShortText
    """Media type (RFC 6838)."""
    use: Absent[Annotated[list[AttachmentUse], Field(min_length=1)]] = None
    """What it may be used for."""
    processing: Absent[AttachmentProcessing] = None
    """What was done to a picture since it was taken."""
    shows: Absent[Annotated[list[PictureContent], Field(min_length=1)]] = None
    """What can be seen in a picture."""
    consent: Absent[Consent] = None
    """Whether the person agreed to the picture being passed on."""
    size_bytes: Annotated[int, Field(ge=0)]
    """Size in bytes."""
    sha256: Sha256
    """SHA-256 of the bytes, lower-case hexadecimal."""
