"""Spectra, colours and spreads: the numbers, each with what makes it mean something."""

from typing import Annotated

from pydantic import Field

from shadefmt.model.base import (
    Absent,
    Block,
    Count,
    Decimals,
    DocumentId,
    EntryId,
    Factor,
    NotNegative,
    Number,
    Positive,
    Sha256,
    ShortText,
    Timestamp,
)
from shadefmt.vocabulary import (
    CovarianceOf,
    DifferenceFormula,
    Illuminant,
    Observer,
    Origin,
    SpectralQuantity,
)


class Lab(Block):
    """CIE 1976 L*a*b* coordinates (ISO/CIE 11664-4)."""

    L: Number
    """Lightness L*."""
    a: Number
    """Coordinate a*: positive towards red, negative towards green."""
    b: Number
    """Coordinate b*: positive towards yellow, negative towards blue."""


class Xyz(Block):
    """CIE tristimulus values, Y of the perfect reflecting diffuser being 100 (ISO/CIE 11664-3)."""

    X: Number
    """Tristimulus value X."""
    Y: Number
    """Tristimulus value Y."""
    Z: Number
    """Tristimulus value Z."""


class Colour(Block):
    """One colour for one illuminant and observer. At least one of `lab` and `xyz` is present."""

    illuminant: Illuminant
    """CIE illuminant that the numbers hold for; with `unknown` nothing is compared."""
    observer: Observer
    """CIE standard observer that the numbers hold for; with `unknown` nothing is compared."""
    decimals: Decimals
    """Decimals that every number of this block was rounded to."""
    origin: Origin
    """Who made the numbers: the instrument, a computation, a copy of another entry, a person typing."""
    lab: Absent[Lab] = None
    """CIELAB coordinates."""
    xyz: Absent[Xyz] = None
    """Tristimulus values; white is the column sum of the weighting factors."""


class Spectrum(Block):
    """Spectral data on an even grid (`start_nm`, `step_nm`) or on stated `wavelengths_nm`."""

    quantity: SpectralQuantity
    """What the values are; factors, so that 1 is the perfect reflecting diffuser."""
    start_nm: Absent[Positive] = None
    """Wavelength of the first value, in nanometres."""
    step_nm: Absent[Positive] = None
    """Distance between neighbouring values, in nanometres."""
    wavelengths_nm: Absent[Annotated[list[Positive], Field(min_length=2)]] = None
    """Wavelength of each value, in nanometres, rising; used instead of `start_nm` and `step_nm`."""
    decimals: Decimals
    """Decimals that every value was rounded to."""
    values: Annotated[list[Number], Field(min_length=2)]
    """The values in order of wavelength, as factors (0.65 is 65 %)."""


class Spread(Block):
    """How far the readings behind a mean lie apart."""

    formula: DifferenceFormula
    """Colour-difference formula of `mcdm`."""
    k_L: Factor
    """Lightness factor of the formula."""
    k_C: Factor
    """Chroma factor of the formula."""
    k_H: Factor
    """Hue factor of the formula."""
    decimals: Decimals
    """Decimals that every number of this block was rounded to."""
    mcdm: Absent[NotNegative] = None
    """Mean colour difference from the exact mean of the stated readings (ASTM E2214)."""
    covariance_of: Absent[CovarianceOf] = None
    """Whether the variances are those of one reading or of the mean; divisor n - 1 either way."""
    var_L: Absent[NotNegative] = None
    """Variance of L*."""
    var_a: Absent[NotNegative] = None
    """Variance of a*."""
    var_b: Absent[NotNegative] = None
    """Variance of b*."""
    cov_La: Absent[Number] = None
    """Covariance of L* and a*."""
    cov_Lb: Absent[Number] = None
    """Covariance of L* and b*."""
    cov_ab: Absent[Number] = None
    """Covariance of a* and b*."""


class CopyOf(Block):
    """Pins an embedded copy to the document that it was taken from."""

    id: DocumentId
    """Id of the document."""
    sha256: Sha256
    """SHA-256 of the document in canonical form (RFC 8785), lower-case hexadecimal."""


class NamedColour(Block):
    """One member of a reference set."""

    id: EntryId
    """Name of the reference, unique in the document."""
    label: ShortText
    """What the owner of the set calls it; free text, never parsed."""
    colour: Colour
    """Its colour."""
    lot: Absent[ShortText] = None
    """Production lot that was measured."""
    copy_label: Absent[ShortText] = None
    """Which physical copy was measured, in the owner's words."""
    measured_on: Absent[Timestamp] = None
    """When it was measured."""
    readings_averaged: Absent[Count] = None
    """Number of readings behind the colour."""
    discs: Absent[Count] = None
    """Number of discs or copies read."""
    thickness_mm: Absent[Positive] = None
    """Thickness of the discs, in millimetres."""
    firings: Absent[Count] = None
    """Number of firings of the discs."""
    between_discs: Absent[NotNegative] = None
    """Mean CIEDE2000 of the discs from their mean."""
    within_disc: Absent[NotNegative] = None
    """Mean CIEDE2000 of repeats on one disc from their mean."""
