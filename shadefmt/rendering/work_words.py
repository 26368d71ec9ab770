"""Words for the work itself and for the state it was read in, in plain English."""

from typing import Final

SPECIMENS: Final = {
    "tooth": "tooth",
    "stump": "stump",
    "restoration": "restoration",
    "gingiva": "gingiva",
    "denture-base": "denture base",
    "guide-tab": "guide tab",
    "material-disc": "material disc",
    "check-patch": "check patch",
}

SUPPORTS: Final = {
    "tooth": "on a tooth",
    "implant": "on an implant",
    "pontic": "as a pontic",
    "mucosa": "on mucosa",
}

RESTORATIONS: Final = {
    "crown": "crown",
    "bridge": "bridge",
    "veneer": "veneer",
    "inlay": "inlay",
    "onlay": "onlay",
    "filling": "filling",
    "denture": "denture",
    "other": "restoration",
}

MATERIALS: Final = {
    "glass-ceramic": "glass ceramic",
    "zirconia": "zirconia",
    "metal-ceramic": "metal ceramic",
    "feldspathic-ceramic": "feldspathic ceramic",
    "hybrid-ceramic": "hybrid ceramic",
    "composite": "composite",
    "acrylic": "acrylic",
    "other": "another material",
    "unknown": "a material that is not known",
}

SUBSTRATES: Final = {
    "enamel": "enamel",
    "dentine": "dentine",
    "composite": "composite",
    "metal": "metal",
    "ceramic": "ceramic",
    "polymer": "polymer",
    "other": "another material",
    "unknown": "not known",
}

STATES: Final = {
    "unsintered": "not yet sintered",
    "sintered": "sintered",
    "characterised": "characterised",
    "glazed": "glazed",
    "polished": "polished",
    "tried-in": "tried in",
    "seated": "seated",
    "uncured": "not yet cured",
    "cured": "cured",
    "unknown": "state not known",
}

BACKINGS: Final = {
    "black": "over black",
    "white": "over white",
    "grey": "over grey",
    "tooth-coloured": "over a tooth-coloured backing",
    "mouth": "in the mouth",
    "none": "over nothing",
    "unknown": "backing not known",
    "not-applicable": "",
}

HYDRATION: Final = {
    "moist": "moist",
    "dry": "dry",
    "rehydrating": "becoming moist again",
    "unknown": "wet or dry not known",
    "not-applicable": "wet or dry does not apply",
}

ISOLATION: Final = {
    "none": "not isolated",
    "lips-retracted": "lips held back",
    "cotton-air": "cotton rolls and air",
    "dam": "rubber dam",
    "unknown": "isolation not known",
    "not-applicable": "isolation does not apply",
}

CALIBRATION: Final = {
    "passed": "accepted by the instrument",
    "failed": "not accepted by the instrument",
    "unknown": "its result is not stated",
}

TARGETS: Final = {
    "measured-tooth": "measured on a tooth",
    "measured-restoration": "measured on a restoration",
    "chosen-reference": "chosen from references",
    "design-value": "a design value",
    "agreed-with-patient": "agreed with the patient",
}

ACTIONS: Final = {
    "release": "released",
    "accept": "accepted",
    "accept-under-concession": "accepted under a concession",
    "reject": "not accepted",
    "rework": "sent for rework",
}

USES: Final = {
    "shape": "shape",
    "characterisation": "characterisation",
    "colour": "colour",
    "source-data": "source data",
}

WITHDRAWALS: Final = {
    "moved": "it moved",
    "wrong-zone": "wrong zone",
    "wrong-specimen": "wrong specimen",
    "instrument-fault": "a fault of the instrument",
    "duplicate": "it is there twice",
    "mistyped": "mistyped",
    "superseded": "replaced by a later one",
    "other": "another reason",
}

PRIVACY: Final = {
    "identified-context": "The file belongs into a system that knows the person.",
    "pseudonymised": "The file is pseudonymised and remains personal data.",
    "deidentified": "The file is de-identified; that is no promise that nobody can be found.",
}

DATES: Final = {
    "exact": "Dates are as they were.",
    "shifted": "All dates were moved by one constant: intervals hold, dates do not.",
    "year": "Only the year of a date holds.",
    "removed": "Dates were left out.",
}

EVENTS: Final = {
    "preparation": "preparation",
    "isolation-started": "isolation began",
    "treatment-started": "treatment began",
    "treatment-visit": "treatment visit",
    "treatment-paused": "treatment paused",
    "treatment-ended": "treatment ended",
    "dispatched": "sent off",
    "received": "received",
    "tried-in": "tried in",
    "seated": "seated",
    "objection": "objection",
    "acceptance": "accepted",
    "closed": "closed",
}

GROUPS: Final = {"set": "a set", "symmetrical-pair": "a symmetrical pair"}

PROCESSING: Final = {
    "raw": "unprocessed",
    "camera-processed": "processed by the camera",
    "recompressed": "compressed again on the way",
    "unknown": "processing not known",
}

SHOWS: Final = {
    "teeth": "teeth",
    "mouth": "the mouth",
    "face": "the face",
    "work": "the work",
    "document": "a document",
}

CONSENT: Final = {
    "yes": "with consent to hand it on",
    "no": "without consent to hand it on",
    "unknown": "consent to hand it on not known",
}
