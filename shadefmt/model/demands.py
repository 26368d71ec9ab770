"""What a receiver may demand of a case: a closed list, each demand with its own limits, none with an expression."""

from typing import Annotated

from pydantic import Field

from shadefmt.model.base import Absent, Block, Count, Positive
from shadefmt.model.reading_demands import (
    BarrierDemand,
    BasisDemand,
    BridgeDemand,
    CalibrationDemand,
    CheckPatchDemand,
    DecimalsDemand,
    GeometryDemand,
    InstrumentDemand,
    IsolationDemand,
    RepeatsDemand,
    SettlingDemand,
    SourcesDemand,
    SpectrumDemand,
    SpreadDemand,
    SurfaceDemand,
    ZonesDemand,
)
from shadefmt.vocabulary import (
    AttachmentProcessing,
    AttachmentUse,
    DecisionRule,
    MaterialClass,
    PartyRole,
    PrescriptionItem,
    RestorationKind,
    Support,
    TargetSource,
    WorkState,
)


class TargetDemand(Block):
    """What a prescription aims at, and what is known of it."""

    source_kinds: Absent[Annotated[list[TargetSource], Field(min_length=1)]] = None
    """What targets may rest on; absent means anything."""
    set_by: bool
    """Whether the party that set it is stated."""
    set_at: bool
    """Whether it is stated when it was set."""
    model: bool
    """Whether the model is stated, where a tooth or restoration was measured."""


class ToleranceDemand(Block):
    """By what limits the work is to be judged."""

    source: bool
    """Whether a publication or agreement is named."""
    agreed_before_reading: bool
    """Whether it was agreed before what it judges was read."""
    decision_rules: Absent[Annotated[list[DecisionRule], Field(min_length=1)]] = None
    """Decision rules accepted; absent means any."""
    coverage_factor_at_least: Absent[Positive] = None
    """Smallest coverage factor."""
    components: bool
    """Whether comparisons that were judged state the components of their uncertainty."""


class VerdictDemand(Block):
    """Finished work is judged."""

    states: Annotated[list[WorkState], Field(min_length=1)]
    """States of work that, once read in, are judged."""
    readings_at_least: Absent[Count] = None
    """Fewest readings behind each side of a numeric verdict."""


class OrderDemand(Block):
    """Items that some prescriptions state: those that all members present hold for."""

    restorations: Absent[Annotated[list[RestorationKind], Field(min_length=1)]] = None
    """Kinds of restoration."""
    material_classes: Absent[Annotated[list[MaterialClass], Field(min_length=1)]] = None
    """Classes of material."""
    supports: Absent[Annotated[list[Support], Field(min_length=1)]] = None
    """What carries the work."""
    front: Absent[bool] = None
    """Whether it is for a front tooth, or for another."""
    thinner_than_mm: Absent[Positive] = None
    """Thickness that it stays under, in millimetres; a thickness not stated counts as less."""
    items: Annotated[list[PrescriptionItem], Field(min_length=1)]
    """What these prescriptions state."""


class PrescriptionDemand(Block):
    """What an order states."""

    needed: bool
    """Whether a case has a prescription."""
    orders: Absent[Annotated[list[OrderDemand], Field(min_length=1)]] = None
    """Items by kind of work."""


class AttachmentsDemand(Block):
    """Files that are at hand and are those that were sent."""

    uses: Absent[Annotated[list[AttachmentUse], Field(min_length=1)]] = None
    """Uses of the files asked for; absent means every attachment."""
    processing: Absent[Annotated[list[AttachmentProcessing], Field(min_length=1)]] = None
    """What may have been done to pictures meant for colour; absent means anything."""
    consent: bool
    """Whether consent is stated for pictures that show a face or mouth."""


class DocumentsDemand(Block):
    """Documents that the case pins are at hand. At least one member is true."""

    reference_sets: bool
    """Whether those of its reference sets are."""
    tolerances: bool
    """Whether those of its tolerances are."""


class AgeDemand(Block):
    """How old readings are when work is ordered."""

    days_at_most: Positive
    """Most days between a reading behind a target and the prescription."""


class SenderDemand(Block):
    """Who sends the case."""

    code: bool
    """Whether a party states its code."""
    roles: Absent[Annotated[list[PartyRole], Field(min_length=1)]] = None
    """Roles of which one party has one; absent means any."""


class Demands(Block):
    """Everything demanded. At least one member is present."""

    sources: Absent[SourcesDemand] = None
    """What colours are read with."""
    zones: Absent[ZonesDemand] = None
    """Zones."""
    repeats: Absent[RepeatsDemand] = None
    """Repeats of a zone."""
    spread: Absent[SpreadDemand] = None
    """Spread of repeats."""
    spectrum: Absent[SpectrumDemand] = None
    """Spectra."""
    basis: Absent[BasisDemand] = None
    """Illuminant and observer."""
    decimals: Absent[DecimalsDemand] = None
    """Decimals."""
    geometry: Absent[GeometryDemand] = None
    """Geometry of instruments."""
    instrument: Absent[InstrumentDemand] = None
    """Identity of instruments."""
    bridge: Absent[BridgeDemand] = None
    """Relation of instruments."""
    calibration: Absent[CalibrationDemand] = None
    """Calibration."""
    check_patch: Absent[CheckPatchDemand] = None
    """Check patch."""
    barrier: Absent[BarrierDemand] = None
    """Barrier sheath."""
    isolation: Absent[IsolationDemand] = None
    """Isolation."""
    surface: Absent[SurfaceDemand] = None
    """Surface of teeth."""
    settling: Absent[SettlingDemand] = None
    """Time after whitening."""
    target: Absent[TargetDemand] = None
    """Targets."""
    tolerance: Absent[ToleranceDemand] = None
    """Tolerances."""
    verdict: Absent[VerdictDemand] = None
    """Verdicts."""
    prescription: Absent[PrescriptionDemand] = None
    """Prescriptions."""
    attachments: Absent[AttachmentsDemand] = None
    """Attachments."""
    documents: Absent[DocumentsDemand] = None
    """Pinned documents."""
    age: Absent[AgeDemand] = None
    """Age of readings."""
    sender: Absent[SenderDemand] = None
    """Sender."""
