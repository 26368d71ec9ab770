"""Kind `case`: what is exchanged and archived about one colour task."""

from typing import Annotated, Literal

from pydantic import Field

from shadefmt.model.appearing import BackingDescription, IndexValue, Translucency
from shadefmt.model.base import Absent, Block, DocumentId, ExtensionName, Extensions, FormatVersion
from shadefmt.model.context import (
    Instrument,
    Party,
    Prescription,
    Privacy,
    Revision,
    Session,
    Specimen,
    Subject,
)
from shadefmt.model.judging import (
    Attachment,
    Comparison,
    Disposition,
    EmbeddedReferenceSet,
    EmbeddedTolerance,
    Match,
    Target,
    Verdict,
)
from shadefmt.model.measuring import ComputedColour, Mean, Reading, Withdrawal
from shadefmt.model.relating import Bridge, CaseRelation, Conclusion, Course, Effect, Event, Group


class Case(Block):
    """One colour task: what was measured, how, what was asked and what came of it."""

    format: Literal["shadefmt"]
    """Always `shadefmt`."""
    version: FormatVersion
    """Version of the format that the document was written to."""
    kind: Literal["case"]
    """Always `case`."""
    id: DocumentId
    """Globally unique id of the case, best a random `urn:uuid:`."""
    extensions_required: Absent[Annotated[list[ExtensionName], Field(min_length=1)]] = None
    """Extensions without which the case must not be relied on."""
    privacy: Absent[Privacy] = None
    """What was done so that nobody is named."""
    subject: Absent[Subject] = None
    """Person the case is about, by pseudonym."""
    parties: Absent[Annotated[list[Party], Field(min_length=1)]] = None
    """Organisations that take part."""
    relations: Absent[Annotated[list[CaseRelation], Field(min_length=1)]] = None
    """How this case stands to others."""
    revisions: Absent[Annotated[list[Revision], Field(min_length=1)]] = None
    """Who added what and when, earliest first."""
    instruments: Absent[Annotated[list[Instrument], Field(min_length=1)]] = None
    """Instruments used."""
    specimens: Annotated[list[Specimen], Field(min_length=1)]
    """Things measured or to be made."""
    groups: Absent[Annotated[list[Group], Field(min_length=1)]] = None
    """Specimens that belong together."""
    prescriptions: Absent[Annotated[list[Prescription], Field(min_length=1)]] = None
    """What is to be made."""
    backings: Absent[Annotated[list[BackingDescription], Field(min_length=1)]] = None
    """Backings used."""
    sessions: Absent[Annotated[list[Session], Field(min_length=1)]] = None
    """Sittings with one instrument and one calibration."""
    readings: Absent[Annotated[list[Reading], Field(min_length=1)]] = None
    """Measurements and choices."""
    computed_colours: Absent[Annotated[list[ComputedColour], Field(min_length=1)]] = None
    """Colours computed from spectra of earlier revisions."""
    withdrawals: Absent[Annotated[list[Withdrawal], Field(min_length=1)]] = None
    """Entries that no longer count."""
    means: Absent[Annotated[list[Mean], Field(min_length=1)]] = None
    """Means over readings."""
    bridges: Absent[Annotated[list[Bridge], Field(min_length=1)]] = None
    """Instruments related to one another."""
    indices: Absent[Annotated[list[IndexValue], Field(min_length=1)]] = None
    """Whiteness and yellowness."""
    translucencies: Absent[Annotated[list[Translucency], Field(min_length=1)]] = None
    """Translucencies."""
    targets: Absent[Annotated[list[Target], Field(min_length=1)]] = None
    """Colours to reach."""
    reference_sets: Absent[Annotated[list[EmbeddedReferenceSet], Field(min_length=1)]] = None
    """Copies of the references used."""
    matches: Absent[Annotated[list[Match], Field(min_length=1)]] = None
    """Nearest references."""
    tolerances: Absent[Annotated[list[EmbeddedTolerance], Field(min_length=1)]] = None
    """Copies of the tolerances used."""
    comparisons: Absent[Annotated[list[Comparison], Field(min_length=1)]] = None
    """Differences between colours."""
    verdicts: Absent[Annotated[list[Verdict], Field(min_length=1)]] = None
    """What the tolerances say of the comparisons."""
    conclusions: Absent[Annotated[list[Conclusion], Field(min_length=1)]] = None
    """What verdicts say together."""
    events: Absent[Annotated[list[Event], Field(min_length=1)]] = None
    """What happened."""
    courses: Absent[Annotated[list[Course], Field(min_length=1)]] = None
    """Courses of treatment."""
    effects: Absent[Annotated[list[Effect], Field(min_length=1)]] = None
    """What the courses have done."""
    dispositions: Absent[Annotated[list[Disposition], Field(min_length=1)]] = None
    """What parties did."""
    attachments: Absent[Annotated[list[Attachment], Field(min_length=1)]] = None
    """Files that travel with the case."""
    extensions: Absent[Extensions] = None
    """Foreign data by reverse-DNS name."""
