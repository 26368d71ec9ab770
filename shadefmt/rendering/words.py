"""The format's closed lists of words in plain English. Lamps are described, codes are spelled out."""

from typing import Final

QUADRANTS: Final = {
    **dict.fromkeys("15", "upper right"),
    **dict.fromkeys("26", "upper left"),
    **dict.fromkeys("37", "lower left"),
    **dict.fromkeys("48", "lower right"),
}
"""First digit of an ISO 3950 designation; right and left are the patient's."""

PERMANENT: Final = {
    "1": "central incisor",
    "2": "lateral incisor",
    "3": "canine",
    "4": "first premolar",
    "5": "second premolar",
    "6": "first molar",
    "7": "second molar",
    "8": "third molar",
}
"""Second digit of an ISO 3950 designation, permanent teeth."""

DECIDUOUS: Final = {
    "1": "central incisor",
    "2": "lateral incisor",
    "3": "canine",
    "4": "first molar",
    "5": "second molar",
}
"""Second digit of an ISO 3950 designation, deciduous teeth."""

ZONES: Final = {
    "cervical": "cervical third",
    "middle": "middle third",
    "incisal": "incisal third",
    "occlusal": "occlusal third",
    "whole": "whole surface",
    "free-gingiva": "free gingiva",
    "attached-gingiva": "attached gingiva",
    "papilla": "papilla",
    "region": "a region",
    "unknown": "zone not stated",
}
"""Zones, in the order in which rows are listed: from the gum to the edge, then the rest."""

OUTCOMES: Final = {
    "conforms": "conforms",
    "conditionally-conforms": "inconclusive",
    "conditionally-fails": "inconclusive",
    "does-not-conform": "does not conform",
    "cannot-be-compared": "cannot be compared",
    "not-judged": "not judged",
}
"""The five outcomes that people see, by decision."""

OUTCOME_SENTENCES: Final = {
    "conforms": "Conforms to this limit.",
    "does not conform": "Does not conform to this limit.",
    "inconclusive": "Inconclusive.",
    "cannot be compared": "Cannot be compared.",
    "not judged": "Not judged.",
}

WORST_FIRST: Final = ("does not conform", "inconclusive", "cannot be compared", "not judged", "conforms")
"""Outcomes in the order in which a short list names them."""

OBSTACLES: Final = {
    "basis-unknown": "nothing says for which illuminant and observer a colour holds",
    "basis-differs": "the two colours hold for different illuminants or observers",
    "hydration-differs": "one was read dry, the other moist; a number would describe the drying",
    "geometry-differs": "the two were lit or viewed in different ways",
    "zones-differ": "the two were read in different zones",
    "kinds-mixed": "readings by eye, camera and instrument do not stand for one another",
    "instruments-unbridged": "two instruments were used and nothing relates them",
    "uncertainty-missing": "nothing says how sure the difference is",
    "colour-missing": "one of the two has no colour",
}

RULES: Final = {
    "simple": "simple (the difference alone is held against the limit)",
    "guarded": "guarded (difference and uncertainty together have to stay within the limit)",
    "four-way-guarded": "guarded in four steps (within the uncertainty of the limit nothing is decided)",
}

RULE_NAMES: Final = {"simple": "simple", "guarded": "guarded", "four-way-guarded": "guarded, four steps"}

QUESTIONS: Final = {
    "match": "Does the work have the colour that was asked for?",
    "change": "How far has the colour moved?",
    "quality-control": "Is the work within the agreed limit?",
    "handover": "Is the colour the same after the handover?",
    "symmetry": "Are the two alike?",
}

GRADES: Final = {
    "up-to-perceptible": "at or below the perceptibility limit",
    "up-to-acceptable": "at or below the acceptability limit",
    "up-to-twice-acceptable": "up to twice the acceptability limit",
    "up-to-three-times-acceptable": "up to three times the acceptability limit",
    "beyond-acceptable": "above the acceptability limit",
    "beyond-three-times-acceptable": "more than three times the acceptability limit",
    "change-up-to-perceptible": "change at or below the perceptibility limit",
    "change-up-to-acceptable": "change at or below the acceptability limit",
    "change-above-acceptable": "change above the acceptability limit",
}

LAMPS: Final = {
    "A": "incandescent light",
    "C": "average daylight of the older kind",
    "D50": "daylight at 5000 K",
    "D55": "daylight at 5500 K",
    "D65": "daylight at 6500 K",
    "D75": "daylight at 7500 K",
    "FL2": "cool white fluorescent light",
    "FL7": "broad-band fluorescent daylight",
    "FL11": "three-band fluorescent light at 4000 K",
    "LED-B3": "blue-pumped LED light at 4100 K",
    "unknown": "a light that is not stated",
}
"""CIE illuminants in words (CIE 015:2018)."""

OBSERVERS: Final = {
    "2-degree": "2-degree observer",
    "10-degree": "10-degree observer",
    "unknown": "an observer that is not stated",
}

ORIGINS: Final = {
    "instrument": "as the instrument gave it",
    "computed": "computed",
    "copied": "copied",
    "typed": "typed in",
}

GEOMETRIES: Final = {
    "0:45": "lit from the front, viewed at 45 degrees",
    "45:0": "lit at 45 degrees, viewed from the front",
    "d:0": "diffuse light, viewed from the front",
    "0:d": "lit from the front, collected from all sides",
    "d:8": "diffuse light, viewed at 8 degrees",
    "8:d": "lit at 8 degrees, collected from all sides",
    "other": "another geometry",
    "unknown": "geometry not stated",
}
"""Geometries of ISO 13655 and ASTM E1164 in words."""

SPECULAR: Final = {"included": "gloss included", "excluded": "gloss excluded", "unknown": "gloss not stated"}

INSTRUMENTS: Final = {
    "contact-spectrophotometer": "contact spectrophotometer",
    "spectrophotometer": "spectrophotometer",
    "spectroradiometer": "spectroradiometer",
    "imaging-spectrophotometer": "imaging spectrophotometer",
    "colorimeter": "colorimeter",
    "imaging-colorimeter": "imaging colorimeter",
    "camera": "camera",
    "other": "another kind of instrument",
}

PARTIES: Final = {
    "clinic": "clinic",
    "laboratory": "laboratory",
    "milling-centre": "milling centre",
    "archive": "archive",
    "manufacturer": "manufacturer",
    "other": "another party",
}

LIGHTS: Final = {
    "daylight": "daylight",
    "daylight-simulator": "a daylight simulator",
    "room-light": "room light",
    "operating-light": "the operating light",
    "other": "another light",
    "unknown": "a light that is not known",
}

AREAS: Final = {
    "00": "whole mouth",
    "01": "upper jaw",
    "02": "lower jaw",
    "10": "upper right quadrant",
    "20": "upper left quadrant",
    "30": "lower left quadrant",
    "40": "lower right quadrant",
}
"""Areas of the mouth by ISO 3950 designation."""

UNCERTAINTIES: Final = {
    "repeatability": "repeats",
    "repositioning": "placing anew",
    "inter-instrument": "between instruments",
    "reference": "reference",
    "drift": "drift",
    "hydration": "drying",
    "rounding": "rounding",
    "other": "other",
}

INDICES: Final = {
    "WI_D": "whiteness index (WI_D)",
    "CIE-whiteness": "CIE whiteness",
    "CIE-tint": "CIE tint",
    "YI-E313": "yellowness index (ASTM E313)",
    "WIO": "whiteness index WIO",
}

MOMENTS: Final = {
    "during-treatment": "during treatment",
    "end-of-treatment": "at the end of treatment",
    "after-settling": "after settling",
}

RELATIONS: Final = {
    "remake-of": "a remake of",
    "continues": "the continuation of",
    "same-subject-as": "about the same person as",
    "replaces": "in place of",
}
"""How a case stands to another, as it follows `This case is`."""

PERSONS: Final = {
    "patient": "the patient",
    "prescriber": "the prescriber",
    "assistant": "an assistant",
    "technician": "a technician",
    "other": "another person",
}
