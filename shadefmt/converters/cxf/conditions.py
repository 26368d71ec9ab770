"""Measurement conditions of CxF3 in the words of the format; whatever is not plainly readable stays unread.

Words of CxF3 from its public XML Schema; CIE 15:2018 calls the fluorescent illuminants F1 to F12 FL1 to FL12.
"""

import re
from collections.abc import Mapping

from shadefmt.converters.cxf.numbers import plain
from shadefmt.vocabulary import Backing, Geometry, Illuminant, InstrumentKind, Observer, SpecularMode

ILLUMINANTS: Mapping[str, Illuminant] = {
    "A": "A",
    "C": "C",
    "D50": "D50",
    "D55": "D55",
    "D65": "D65",
    "D75": "D75",
    "F2": "FL2",
    "F7": "FL7",
    "F11": "FL11",
}
"""Illuminants of CxF3 that the format has a word for."""
_CUSTOM: Mapping[str, Illuminant] = {"LED-B3": "LED-B3", "unknown": "unknown"}
_OBSERVERS: Mapping[str, Observer] = {"2_degree": "2-degree", "10_degree": "10-degree"}
_SPECULAR: Mapping[str, SpecularMode] = {"specular_included": "included", "specular_excluded": "excluded"}
_ANGLES: Mapping[tuple[float, float], Geometry] = {(45.0, 0.0): "45:0", (0.0, 45.0): "0:45"}
_BACKINGS: Mapping[str, Backing] = {
    "black": "black",
    "white": "white",
    "grey": "grey",
    "gray": "grey",
    "none": "none",
    "tooth-coloured": "tooth-coloured",
    "mouth": "mouth",
    "unknown": "unknown",
    "not-applicable": "not-applicable",
}
_SPECTRAL = "spectrum_"
_COLORIMETRIC = "colorimetric_"
_APERTURE = re.compile(
    r"(?:(?:Ø|⌀|diameter|diam\.?)\s*)?([0-9]{1,3}(?:[.,][0-9]{1,3})?)\s*(?:mm|millimet(?:re|er)s?)"
    r"(?:\s+diameter)?",
    re.IGNORECASE | re.ASCII,
)


def illuminant_of(text: str, name: str = "") -> Illuminant | None:
    """Return the illuminant, or None for one outside the vocabulary.

    `name` is that of a custom one: it counts where CxF3 has no word for the illuminant.
    """
    return ILLUMINANTS.get(text.strip().upper()) or (_CUSTOM.get(name) if text == "Custom" else None)


def observer_of(text: str, name: str = "") -> Observer | None:
    """Return the observer, or None for one outside the vocabulary.

    `name` is that of a custom one: with `unknown` the file itself says that nobody knows.
    """
    if (text, name) == ("Custom_CMF", "unknown"):
        return "unknown"
    return _OBSERVERS.get(text.strip().casefold().replace(" ", "_"))


def specular_of(text: str) -> SpecularMode | None:
    """Return whether gloss was included, from the word for a sphere."""
    return _SPECULAR.get(text.strip().casefold())


def geometry_of(illumination: str, measurement: str) -> Geometry:
    """Return the geometry of one pair of angles in degrees from the normal."""
    try:
        return _ANGLES.get((float(illumination), float(measurement)), "other")
    except ValueError:
        return "unknown"


def aperture_of(text: str) -> float | None:
    """Return a diameter in millimetres where a text says one and nothing else."""
    found = _APERTURE.fullmatch(text.strip())
    return (plain([float(found[1].replace(",", "."))])[0] or None) if found else None


def backing_of(text: str) -> Backing | None:
    """Return the backing where a text says one and nothing else."""
    word = text.strip().casefold()
    for ending in (" backing", " background"):
        word = word.removesuffix(ending)
    return _BACKINGS.get(word)


def kind_of(measurement_types: list[str]) -> InstrumentKind:
    """Return the most general kind of instrument that makes such measurements."""
    words = [word.strip().casefold() for word in measurement_types]
    if any(word.startswith(_SPECTRAL) for word in words):
        return "spectrophotometer"
    if words and all(word.startswith(_COLORIMETRIC) for word in words):
        return "colorimeter"
    return "other"
