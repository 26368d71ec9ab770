"""One table of CGATS text: header keywords, field names, and how texts and numbers are written."""

import re
from collections.abc import Mapping
from typing import Any, Final

from shadefmt.converters.cgats.shapes import CONDITIONS, Shape
from shadefmt.converters.numerals import short

TAB: Final = "\t"

GEOMETRIES: Final[Mapping[str, str]] = {
    **{name: name.replace(":", "/") for name in ("0:45", "45:0", "d:0", "0:d", "d:8", "8:d")},
    "other": "other",
    "unknown": "unknown",
}
KEYWORDS: Final[Mapping[str, str]] = {
    "geometry": "MEASUREMENT_GEOMETRY",
    "specular": "SPECULAR_COMPONENT",
    "aperture_mm": "APERTURE",
    "model": "INSTRUMENTATION",
}
"""Keyword of each member of an instrument that is written."""

COORDINATES: Final[Mapping[str, Mapping[str, str]]] = {
    "lab": {"L": "LAB_L", "a": "LAB_A", "b": "LAB_B"},
    "xyz": {"X": "XYZ_X", "Y": "XYZ_Y", "Z": "XYZ_Z"},
}
"""Coordinates of a colour and the fields that hold them."""

_OWN: Final = frozenset(
    {
        *("CASE_ID", "SPECULAR_COMPONENT", "APERTURE", "COLOUR_ORIGIN", "SPECTRAL_QUANTITY", "SPECTRAL_NORM"),
        *("SPECTRAL_BANDS", "SPECTRAL_START_NM", "SPECTRAL_END_NM", "SPECTRAL_STEP_NM"),
    }
)
"""Keywords that ISO 28178 does not have (from memory); each is declared by KEYWORD before it is used."""

_NOT_ONE_LINE: Final = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")


def one_line(text: str) -> bool:
    """Return whether a text can stand in a quoted string: no line ends, no control characters."""
    return not _NOT_ONE_LINE.search(text)


def quoted(text: str) -> str:
    """Return a text as a string of CGATS, quotes inside it doubled."""
    return '"' + text.replace('"', '""') + '"'


def spectral_names(shape: Shape) -> list[str] | None:
    """Return the names of the spectral fields, wavelengths in them; None where names cannot say them.

    On an even grid a name may round its wavelength: start and step are stated beside it.
    """
    places = [f"{wave:.6f}".rstrip("0").rstrip(".") for wave in shape.waves]
    exact = shape.grid is not None or [float(place) for place in places] == [float(wave) for wave in shape.waves]
    if not exact or len(set(places)) < len(places) or not all(100 <= float(place) < 10000 for place in places):
        return None
    return [f"SPECTRAL_NM{place}" for place in places]


def header_lines(shape: Shape) -> list[str]:
    """Return the keywords of a table and their values."""
    lines = []
    for name, value in zip(CONDITIONS, shape.conditions, strict=True):
        if value is not None and (name != "model" or one_line(value)):
            lines += _keyword(KEYWORDS[name], _condition(name, value))
    if shape.backing is not None:
        lines += _keyword("SAMPLE_BACKING", shape.backing)
    if shape.members:
        if shape.illuminant != "unknown":
            lines += _keyword("WEIGHTING_FUNCTION", f"ILLUMINANT, {shape.illuminant}")
        if shape.observer != "unknown":
            lines += _keyword("WEIGHTING_FUNCTION", f"OBSERVER, {str(shape.observer).replace('-', ' ')}")
        lines += _keyword("COLOUR_ORIGIN", str(shape.origin))
    if shape.waves:
        lines += _keyword("SPECTRAL_QUANTITY", str(shape.quantity)) + _keyword("SPECTRAL_NORM", "1")
        lines += _keyword("SPECTRAL_BANDS", str(len(shape.waves)))
        if shape.grid is not None:
            lines += _keyword("SPECTRAL_START_NM", short(shape.grid[0]))
            lines += _keyword("SPECTRAL_END_NM", short(shape.waves[-1]))
            lines += _keyword("SPECTRAL_STEP_NM", short(shape.grid[1]))
    return lines


def case_line(identity: str) -> list[str]:
    """Return the keyword that names the case."""
    return _keyword("CASE_ID", identity)


def declared(names: list[str]) -> list[str]:
    """Return the lines that declare fields which the standard does not have."""
    return [f"KEYWORD{TAB}{quoted(name)}" for name in names]


def _keyword(keyword: str, value: str) -> list[str]:
    line = f"{keyword}{TAB}{quoted(value)}"
    return [*declared([keyword]), line] if keyword in _OWN else [line]


def _condition(name: str, value: Any) -> str:
    if name == "geometry":
        return GEOMETRIES[value]
    return f"{short(value)} mm" if name == "aperture_mm" else str(value)
