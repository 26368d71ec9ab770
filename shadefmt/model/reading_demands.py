"""What a receiver may demand of readings: how, with what and in which state they were taken."""

from typing import Annotated

from pydantic import Field

from shadefmt.model.base import Absent, Block, Count, Decimals, NotNegative, Positive
from shadefmt.vocabulary import (
    Illuminant,
    Isolation,
    Observer,
    Origin,
    SourceUse,
    SpecimenKind,
    Stability,
    Zone,
)


class SourcesDemand(Block):
    """What colours may be read with, beside instruments."""

    camera: SourceUse
    """Readings with a camera."""
    camera_grey_reference: bool
    """Whether a session with a camera states a grey reference."""
    eye: SourceUse
    """Choices by eye."""
    own_copy_suffices: bool
    """Whether a choice by eye stands alone where its reference says which copy was measured and when."""


class ZonesDemand(Block):
    """Which zones have a target. At least one of `front` and `back` is present."""

    front: Absent[Annotated[list[Zone], Field(min_length=1)]] = None
    """Zones of a front tooth."""
    back: Absent[Annotated[list[Zone], Field(min_length=1)]] = None
    """Zones of a back tooth."""
    whole_suffices: bool
    """Whether the zone `whole` stands for all of them."""
    work_too: bool
    """Whether a restoration that was read is read in each of them."""


class RepeatsDemand(Block):
    """How often a zone is read in one session."""

    least: Count
    """Fewest readings of a zone."""
    repositioned: bool
    """Whether the instrument is placed anew for each reading after the first."""
    minutes_at_most: Absent[Positive] = None
    """Longest time from first to last reading of a specimen, in minutes."""
    specimen_kinds: Absent[Annotated[list[SpecimenKind], Field(min_length=1)]] = None
    """Kinds of specimen asked about; absent means teeth and restorations."""


class SpreadDemand(Block):
    """How far repeats may lie apart, in CIEDE2000."""

    mcdm_at_most: Positive
    """Largest mean difference from the mean, corrected for the number of readings."""
    from_others_at_most: Absent[Positive] = None
    """Largest difference of a reading from the mean of the others, for three readings or more."""


class SpectrumDemand(Block):
    """What spectra readings come with."""

    from_nm: Positive
    """Wavelength up to which a spectrum begins, in nanometres."""
    to_nm: Positive
    """Wavelength from which on a spectrum may end, in nanometres."""
    step_nm_at_most: Positive
    """Largest distance of neighbouring wavelengths, in nanometres."""
    specimen_kinds: Absent[Annotated[list[SpecimenKind], Field(min_length=1)]] = None
    """Kinds of specimen asked about; absent means teeth and restorations."""


class BasisDemand(Block):
    """Illuminant and observer that readings have a colour for."""

    illuminant: Illuminant
    """CIE illuminant."""
    observer: Observer
    """CIE standard observer."""
    origins: Absent[Annotated[list[Origin], Field(min_length=1)]] = None
    """Origins that the colour may have; absent means any."""
    spectrum_suffices: bool
    """Whether a spectrum stands for the colour."""
    second_illuminants: Absent[Annotated[list[Illuminant], Field(min_length=1)]] = None
    """Illuminants of which one more colour is stated, for the same observer."""
    specimen_kinds: Absent[Annotated[list[SpecimenKind], Field(min_length=1)]] = None
    """Kinds of specimen asked about; absent means teeth and restorations."""


class DecimalsDemand(Block):
    """How finely colours are stated."""

    least: Decimals
    """Fewest decimals."""


class GeometryDemand(Block):
    """What is known of how instruments light and see."""

    specular: bool
    """Whether it is stated if gloss is included."""
    aperture: bool
    """Whether the aperture is stated."""
    alike: bool
    """Whether all instruments state the same geometry, and the same of gloss."""


class InstrumentDemand(Block):
    """By which instrument a colour was read."""

    software_version: bool
    """Whether the version of its software is stated."""


class BridgeDemand(Block):
    """What relates several instruments of one case."""

    days_at_most: Absent[Positive] = None
    """Most days between a bridge and the readings."""
    tooth_like: bool
    """Whether its patches scatter like teeth."""


class CalibrationDemand(Block):
    """How fresh a calibration is. That it is stated and passed is always asked for."""

    minutes_at_first: Absent[Positive] = None
    """Largest age at the first reading, in minutes."""
    hours_at_last: Absent[Positive] = None
    """Largest age at the last reading, in hours."""


class CheckPatchDemand(Block):
    """A check patch read before and after everything else in a session."""

    difference_at_most: Positive
    """Largest CIEDE2000 between the two readings."""


class BarrierDemand(Block):
    """What is known of the barrier sheath, for sessions in the mouth."""

    alike: bool
    """Whether it is on for calibration and readings alike, or the maker's instructions say otherwise."""


class IsolationAllowance(Block):
    """One way of keeping teeth dry that is accepted."""

    isolation: Isolation
    """The way."""
    minutes_at_most: Absent[NotNegative] = None
    """Longest time since it began, in minutes; absent means that the time is not asked for."""


class IsolationDemand(Block):
    """How teeth may have been kept dry when they were read."""

    allowed: Annotated[list[IsolationAllowance], Field(min_length=1)]
    """The ways accepted."""


class SurfaceDemand(Block):
    """In which state the surface of teeth is read."""

    cleaned: bool
    """Whether plaque and stain were removed."""
    moist: bool
    """Whether the surface was moist."""


class SettlingDemand(Block):
    """How long after whitening a target is read."""

    days_at_least: Positive
    """Fewest days since the last treatment."""
    stability: Absent[Stability] = None
    """Whether two like visits stand for the days or are asked for beside them; absent means neither."""
    visit_days_apart: Absent[Positive] = None
    """Fewest days between the two visits."""
    visits_within: Absent[Positive] = None
    """Largest CIEDE2000 between the two visits."""
