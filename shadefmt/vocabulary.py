"""The closed lists of words that members may hold. One word, one meaning; values are kebab-case.

Symbols of standards keep their form (CIE; geometry of ISO 13655 and ASTM E1164). `unknown` is a word of its own.
"""

from typing import Literal

Illuminant = Literal["A", "C", "D50", "D55", "D65", "D75", "FL2", "FL7", "FL11", "LED-B3", "unknown"]
Observer = Literal["2-degree", "10-degree", "unknown"]
Origin = Literal["instrument", "computed", "copied", "typed"]
DifferenceFormula = Literal["CIELAB", "CIE94", "CIEDE2000"]
CovarianceOf = Literal["reading", "mean"]
SpectralQuantity = Literal["reflectance-factor", "transmittance-factor"]

PrivacyStatus = Literal["identified-context", "pseudonymised", "deidentified"]
DateTreatment = Literal["exact", "shifted", "year", "removed"]
PartyRole = Literal["clinic", "laboratory", "milling-centre", "archive", "manufacturer", "other"]

InstrumentKind = Literal[
    "contact-spectrophotometer",
    "spectrophotometer",
    "spectroradiometer",
    "imaging-spectrophotometer",
    "colorimeter",
    "imaging-colorimeter",
    "camera",
    "other",
]
Geometry = Literal["0:45", "45:0", "d:0", "0:d", "d:8", "8:d", "other", "unknown"]
SpecularMode = Literal["included", "excluded", "unknown"]
CalibrationResult = Literal["passed", "failed", "unknown"]

SpecimenKind = Literal[
    "tooth", "stump", "restoration", "gingiva", "denture-base", "guide-tab", "material-disc", "check-patch"
]
Substrate = Literal["enamel", "dentine", "composite", "metal", "ceramic", "polymer", "other", "unknown"]
Support = Literal["tooth", "implant", "pontic", "mucosa"]
RestorationKind = Literal["crown", "bridge", "veneer", "inlay", "onlay", "filling", "denture", "other"]
MaterialClass = Literal[
    "glass-ceramic",
    "zirconia",
    "metal-ceramic",
    "feldspathic-ceramic",
    "hybrid-ceramic",
    "composite",
    "acrylic",
    "other",
    "unknown",
]
Zone = Literal[
    "whole",
    "cervical",
    "middle",
    "incisal",
    "occlusal",
    "free-gingiva",
    "attached-gingiva",
    "papilla",
    "region",
    "unknown",
]
Column = Literal["mesial", "central", "distal"]
WorkState = Literal[
    "unsintered",
    "sintered",
    "characterised",
    "glazed",
    "polished",
    "tried-in",
    "seated",
    "uncured",
    "cured",
    "unknown",
]
Backing = Literal["black", "white", "grey", "tooth-coloured", "mouth", "none", "unknown", "not-applicable"]
Hydration = Literal["moist", "dry", "rehydrating", "unknown", "not-applicable"]
Isolation = Literal["none", "lips-retracted", "cotton-air", "dam", "unknown", "not-applicable"]
ReadingRole = Literal["ordinary", "control", "check-patch"]
WithdrawalReason = Literal[
    "moved",
    "wrong-zone",
    "wrong-specimen",
    "instrument-fault",
    "duplicate",
    "mistyped",
    "superseded",
    "other",
]

TargetSource = Literal[
    "measured-tooth", "measured-restoration", "chosen-reference", "design-value", "agreed-with-patient"
]
Question = Literal["match", "change", "quality-control", "handover", "symmetry"]
Tissue = Literal["tooth", "gingiva", "denture-base", "skin", "material"]
Grade = Literal[
    "up-to-perceptible",
    "up-to-acceptable",
    "up-to-twice-acceptable",
    "up-to-three-times-acceptable",
    "beyond-acceptable",
    "beyond-three-times-acceptable",
    "change-up-to-perceptible",
    "change-up-to-acceptable",
    "change-above-acceptable",
]
DecisionRule = Literal["simple", "guarded", "four-way-guarded"]
Decision = Literal[
    "conforms",
    "conditionally-conforms",
    "conditionally-fails",
    "does-not-conform",
    "cannot-be-compared",
    "not-judged",
]
Obstacle = Literal[
    "basis-unknown",
    "basis-differs",
    "hydration-differs",
    "geometry-differs",
    "zones-differ",
    "kinds-mixed",
    "instruments-unbridged",
    "uncertainty-missing",
    "colour-missing",
]
UncertaintyMethod = Literal["linear", "bounded", "monte-carlo"]
UncertaintySource = Literal[
    "repeatability",
    "repositioning",
    "inter-instrument",
    "reference",
    "drift",
    "hydration",
    "rounding",
    "other",
]
MatchConclusion = Literal["close", "undecided", "none-close"]
Action = Literal["release", "accept", "accept-under-concession", "reject", "rework"]

AttachmentUse = Literal["shape", "characterisation", "colour", "source-data"]

ToothNotation = Literal["iso-3950", "universal", "palmer"]

AttachmentProcessing = Literal["raw", "camera-processed", "recompressed", "unknown"]
PictureContent = Literal["teeth", "mouth", "face", "work", "document"]
Consent = Literal["yes", "no", "unknown"]
Relation = Literal["remake-of", "continues", "same-subject-as", "replaces"]
LightKind = Literal["daylight", "daylight-simulator", "room-light", "operating-light", "other", "unknown"]
GroupKind = Literal["set", "symmetrical-pair"]
EventKind = Literal[
    "preparation",
    "isolation-started",
    "treatment-started",
    "treatment-visit",
    "treatment-paused",
    "treatment-ended",
    "dispatched",
    "received",
    "tried-in",
    "seated",
    "objection",
    "acceptance",
    "closed",
]
PersonRole = Literal["patient", "prescriber", "assistant", "technician", "other"]
EffectMoment = Literal["during-treatment", "end-of-treatment", "after-settling"]
ColourIndex = Literal["WI_D", "CIE-whiteness", "CIE-tint", "YI-E313", "WIO"]

Severity = Literal["error", "warning", "note"]
Stage = Literal["syntax", "version", "structure", "rules", "intake"]
Outcome = Literal["valid", "invalid", "incomplete"]
Pinned = Literal["document", "attachment"]
NotRunReason = Literal["not-applicable", "off", "blocked", "not-supplied", "limit", "failed"]

IntakeAnswer = Literal["accepted", "refused", "undecided"]
IntakeWeight = Literal["error", "warning", "note", "off"]
Demand = Literal[
    "sources",
    "zones",
    "repeats",
    "spread",
    "spectrum",
    "basis",
    "decimals",
    "geometry",
    "instrument",
    "bridge",
    "calibration",
    "check-patch",
    "barrier",
    "isolation",
    "surface",
    "settling",
    "target",
    "tolerance",
    "verdict",
    "prescription",
    "attachments",
    "documents",
    "age",
    "sender",
]
SourceUse = Literal["accepted", "in-addition", "refused"]
Stability = Literal["instead", "as-well"]
PrescriptionItem = Literal[
    "tooth",
    "due",
    "prescriber",
    "measurer",
    "material-class",
    "thickness",
    "cement",
    "layers",
    "lots",
    "stump",
    "stump-colour",
    "stump-zones",
    "abutment",
    "try-in-reading",
    "work-state",
    "gingiva-target",
    "gingiva-tolerance",
    "texture",
    "picture",
    "two-pictures",
]
OpenMatter = Literal["part", "rule", "demand", "waiver"]

Fate = Literal["kept", "renamed", "rounded", "converted", "defaulted", "dropped"]

TableEncoding = Literal["utf-8", "utf-16", "windows-1252", "iso-8859-1"]
TableDelimiter = Literal["comma", "semicolon", "tab", "vertical-bar"]
TableQuote = Literal["double", "single", "none"]
DecimalMark = Literal["point", "comma"]
ThousandsMark = Literal["point", "comma", "blank", "apostrophe"]
FormulaGuard = Literal["apostrophe"]
DateOrder = Literal["year-month-day", "day-month-year", "month-day-year"]
TimePart = Literal["date", "time"]
SpectralScale = Literal["factor", "percent"]
Sureness = Literal["certain", "likely", "possible"]
TableUnit = Literal["factor", "percent", "nm", "um", "mm", "cm", "min"]
TableMember = Literal[
    "privacy.status",
    "privacy.dates",
    "privacy.keep_until",
    "subject.pseudonym",
    "party.role",
    "party.code",
    "instrument.kind",
    "instrument.geometry",
    "instrument.specular",
    "instrument.aperture_mm",
    "instrument.bandpass_nm",
    "instrument.software_version",
    "instrument.model",
    "specimen.kind",
    "specimen.tooth",
    "specimen.substrate",
    "specimen.support",
    "specimen.restored",
    "specimen.supernumerary",
    "specimen.note",
    "session.started",
    "session.barrier_fitted",
    "session.barrier_per_instructions",
    "session.surface_cleaned",
    "session.verified_on",
    "session.observer_count",
    "session.calibration.at",
    "session.calibration.barrier_fitted",
    "session.calibration.tile",
    "session.calibration.result",
    "reading.zone",
    "reading.column",
    "reading.region",
    "reading.at",
    "reading.order",
    "reading.repositioned",
    "reading.guided",
    "reading.window_fits",
    "reading.role",
    "reading.state",
    "reading.medium",
    "reading.backing",
    "reading.hydration",
    "reading.isolation",
    "reading.minutes_since_isolation",
    "reading.note",
    "reading.colour.illuminant",
    "reading.colour.observer",
    "reading.colour.origin",
    "reading.colour.lab.L",
    "reading.colour.lab.a",
    "reading.colour.lab.b",
    "reading.colour.xyz.X",
    "reading.colour.xyz.Y",
    "reading.colour.xyz.Z",
]
