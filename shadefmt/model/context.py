"""Who, with what, of what: parties, revisions, instruments, specimens, prescriptions, sessions."""

from typing import Annotated

from pydantic import Field

from shadefmt.model.base import (
    Absent,
    Area,
    Block,
    Entry,
    EntryId,
    Positive,
    Sha256,
    ShortText,
    Text,
    Timestamp,
    Tooth,
)
from shadefmt.vocabulary import (
    CalibrationResult,
    DateTreatment,
    Geometry,
    InstrumentKind,
    LightKind,
    MaterialClass,
    PartyRole,
    PrivacyStatus,
    RestorationKind,
    SpecimenKind,
    SpecularMode,
    Substrate,
    Support,
)


class Privacy(Block):
    """What was done so that the document does not name a person."""

    status: PrivacyStatus
    """How far the link to a person was removed; pseudonymised data is still personal data."""
    dates: DateTreatment
    """How far dates and times can be trusted."""
    keep_until: Absent[Timestamp] = None
    """Day until which the record is to be kept."""


class Subject(Block):
    """The person the case is about, by an opaque pseudonym only."""

    pseudonym: ShortText
    """Random or keyed pseudonym; never a record number, name or bare hash of one."""
    issued_by_id: Absent[EntryId] = None
    """Party that issued the pseudonym and alone can resolve it."""


class Party(Entry):
    """An organisation that takes part, by an opaque id and its role. No persons."""

    role: PartyRole
    """What the party does in this case."""
    code: Absent[ShortText] = None
    """Code by which the receiver knows the party."""


class Producer(Block):
    """Software that wrote a revision."""

    name: ShortText
    """Name of the software."""
    version: ShortText
    """Its version."""


class ParentRevision(Block):
    """A revision that another builds on."""

    revision_id: EntryId
    """The parent."""
    sha256: Sha256
    """Digest of the document as it was at the parent: its entries and those of its ancestors only."""


class Revision(Block):
    """Who added entries and when."""

    id: EntryId
    """Name of the revision."""
    party_id: Absent[EntryId] = None
    """Party that added the entries."""
    at: Timestamp
    """When they were added."""
    parents: Absent[Annotated[list[ParentRevision], Field(min_length=1)]] = None
    """Revisions that this one builds on; absent on the first, two or more after a merge."""
    producer: Absent[Producer] = None
    """Software that wrote it."""
    note: Absent[Text] = None
    """What changed and why, in words."""


class Instrument(Entry):
    """An instrument by an opaque stable id, with what decides whether its numbers compare."""

    kind: InstrumentKind
    """Kind of instrument."""
    geometry: Absent[Geometry] = None
    """Illumination and viewing geometry, as in ISO 13655 and ASTM E1164."""
    specular: Absent[SpecularMode] = None
    """Whether gloss is included."""
    aperture_mm: Absent[Positive] = None
    """Diameter of the measured area, in millimetres."""
    bandpass_nm: Absent[Positive] = None
    """Full width at half maximum of the bandpass, in nanometres."""
    software_version: Absent[ShortText] = None
    """Version of the software that turned signals into numbers."""
    model: Absent[ShortText] = None
    """The user's own words for the instrument; free text, never parsed."""


class Specimen(Entry):
    """The thing measured."""

    kind: SpecimenKind
    """What it is."""
    tooth: Absent[Tooth] = None
    """Tooth it is, stands on or replaces, in ISO 3950 designation."""
    area: Absent[Area] = None
    """Area of the mouth that it covers, in ISO 3950 designation, where it is more than one tooth."""
    substrate: Absent[Substrate] = None
    """What a stump is made of."""
    support: Absent[Support] = None
    """What carries a restoration."""
    restored: Absent[bool] = None
    """Whether a tooth carries a filling or crown where it is read."""
    supernumerary: Absent[bool] = None
    """Whether it is an extra tooth beside the designated one."""
    part_of_id: Absent[EntryId] = None
    """Specimen that this one is a part of."""
    reference_id: Absent[EntryId] = None
    """Reference that a guide tab or material disc stands for."""
    note: Absent[Text] = None
    """Remark in words; never anything that names a person."""


class Layer(Block):
    """One material of a work. At least `reference_id` or `material` is present."""

    reference_id: Absent[EntryId] = None
    """Reference that stands for the material."""
    material: Absent[ShortText] = None
    """The material in the maker's words; free text, never parsed."""
    lot: Absent[ShortText] = None
    """Production lot."""
    thickness_mm: Absent[Positive] = None
    """Thickness planned, in millimetres."""


class Prescription(Entry):
    """What is to be made."""

    specimen_id: EntryId
    """The restoration to be made."""
    restoration: RestorationKind
    """Kind of restoration."""
    material_class: Absent[MaterialClass] = None
    """Class of material."""
    thickness_mm: Absent[Positive] = None
    """Least planned thickness, in millimetres."""
    stump_specimen_id: Absent[EntryId] = None
    """What it will stand on."""
    layers: Absent[Annotated[list[Layer], Field(min_length=1)]] = None
    """Materials planned, from the stump outward."""
    cement: Absent[ShortText] = None
    """Cement or try-in medium planned."""
    due: Absent[Timestamp] = None
    """When it is needed."""
    texture: Absent[Text] = None
    """Surface texture, gloss and characterisation in words."""
    attachment_ids: Absent[Annotated[list[EntryId], Field(min_length=1)]] = None
    """Pictures and files that belong to it."""


class Calibration(Block):
    """Calibration that the session's readings rest on."""

    at: Timestamp
    """When it was done."""
    tile: Absent[ShortText] = None
    """Tile it was done on, in the user's words; free text, never parsed."""
    barrier_fitted: Absent[bool] = None
    """Whether the barrier sheath was on the instrument."""
    result: CalibrationResult
    """What the instrument reported."""


class ViewingLight(Block):
    """Light under which colours were chosen by eye."""

    kind: LightKind
    """What gave the light."""
    colour_temperature_K: Absent[Positive] = None
    """Correlated colour temperature, in kelvin."""
    rendering_index: Absent[Annotated[float, Field(ge=0, le=100)]] = None
    """CIE general colour rendering index."""
    illuminance_lx: Absent[Positive] = None
    """Illuminance at the tooth, in lux."""


class Session(Entry):
    """One sitting with one instrument or observer and one calibration."""

    instrument_id: Absent[EntryId] = None
    """Instrument used; absent for readings by eye."""
    party_id: Absent[EntryId] = None
    """Party that measured."""
    started: Absent[Timestamp] = None
    """When the sitting began."""
    verified_on: Absent[Timestamp] = None
    """When the instrument was last verified against standards."""
    barrier_fitted: Absent[bool] = None
    """Whether the barrier sheath was on during the readings."""
    barrier_per_instructions: Absent[bool] = None
    """Whether the maker's instructions allow reading with another barrier state than the calibration's."""
    surface_cleaned: Absent[bool] = None
    """Whether plaque and stain had been removed."""
    observer_count: Absent[Annotated[int, Field(ge=1)]] = None
    """Number of people who chose by eye."""
    colour_vision_checked: Absent[Timestamp] = None
    """When their colour vision was last checked; the date only, never the result."""
    light: Absent[ViewingLight] = None
    """Light under which they chose."""
    grey_reference: Absent[bool] = None
    """Whether a grey reference lies in the pictures that colours were taken from."""
    calibration: Absent[Calibration] = None
    """The calibration that holds for the sitting."""
