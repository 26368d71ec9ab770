"""Conditions of CGATS files in the words of the format; whatever is not plainly readable stays unread.

Sources: CIE 15 for the names of geometries (di:8, de:8, 45a:0 ...) and FL2 for what older texts call F2;
ISO 28178 for the keywords. That SCI and SCE stand for specular component included and excluded is common
practice, no source.
"""

import re
from collections.abc import Mapping
from typing import Final, get_args

from shadefmt.jsontext.numbers import integral
from shadefmt.vocabulary import Backing, Geometry, Illuminant, Observer, Origin, SpectralQuantity, SpecularMode

_ILLUMINANTS: Final[Mapping[str, Illuminant]] = {
    **{name: name for name in get_args(Illuminant) if name != "unknown"},
    "F2": "FL2",
    "F7": "FL7",
    "F11": "FL11",
}
_ILLUMINANT: Final = re.compile(
    r"(?:CIE\s+)?(?:STANDARD\s+)?(?:ILLUMINANT\s+)?([A-Z0-9-]+)(?:\s*[/,;\s]\s*(.+))?", re.IGNORECASE
)
_OBSERVER_WORDS: Final = frozenset({"cie", "standard", "observer", "obs", "degree", "degrees", "deg", "°"})
_OBSERVERS: Final[Mapping[frozenset[str], Observer]] = {
    frozenset({"2"}): "2-degree",
    frozenset({"1931"}): "2-degree",
    frozenset({"2", "1931"}): "2-degree",
    frozenset({"10"}): "10-degree",
    frozenset({"1964"}): "10-degree",
    frozenset({"10", "1964"}): "10-degree",
}
_GEOMETRY: Final = re.compile(r"(di|de|d|0|8|45)([acx]?)\s*[/:]\s*(di|de|d|0|8|45)([acx]?)(?:\s*[,;]?\s+(.+))?")
_SPECULAR: Final[Mapping[str, SpecularMode]] = {
    "included": "included",
    "excluded": "excluded",
    "unknown": "unknown",
    "specular included": "included",
    "specular component included": "included",
    "sci": "included",
    "specular excluded": "excluded",
    "specular component excluded": "excluded",
    "sce": "excluded",
}
_APERTURE: Final = re.compile(
    r"(?:(?:Ø|⌀|diameter|diam\.?)\s*)?((?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)(?:e[+-]?[0-9]{1,2})?)\s*"
    r"(mm|millimet(?:re|er)s?)?(?:\s+diameter)?",
    re.IGNORECASE | re.ASCII,
)
_MOST_APERTURE: Final = 1e6
_QUANTITIES: Final[Mapping[str, SpectralQuantity]] = {
    **dict.fromkeys(
        ("reflectance-factor", "reflective", "reflectance", "reflection", "remission"), "reflectance-factor"
    ),
    **dict.fromkeys(
        ("transmittance-factor", "transmissive", "transmittance", "transmission", "transparency"),
        "transmittance-factor",
    ),
}
_LIGHT: Final = frozenset({"emission", "emissive", "emis", "ambient", "display", "projector", "radiance", "irradiance"})


def illuminant_of(text: str) -> tuple[Illuminant | None, Observer | None]:
    """Return the illuminant that a text names, and the observer where it names one too (`D65/10`)."""
    found = _ILLUMINANT.fullmatch(text.strip())
    if found is None:
        return None, None
    illuminant = _ILLUMINANTS.get(found[1].upper())
    observer = observer_of(found[2]) if found[2] else None
    if found[2] and observer is None:
        return None, None
    return illuminant, observer


def observer_of(text: str) -> Observer | None:
    """Return the CIE standard observer that a text names by angle or year, or None."""
    words = re.findall(r"[0-9]+|[^\W\d_]+|°|[^\s\w]", text.casefold().replace("_", " "))
    numbers = frozenset(word for word in words if word.isdigit())
    others = {word for word in words if not word.isdigit()} - {"-", ",", "(", ")"}
    return _OBSERVERS.get(numbers) if others <= _OBSERVER_WORDS else None


def geometry_of(text: str) -> tuple[Geometry | None, SpecularMode | None]:
    """Return the geometry that a text names, and whether gloss is included where it says so too."""
    plain = " ".join(text.casefold().replace("°", " ").split()).replace(" /", "/").replace(" :", ":")
    if plain in ("other", "unknown"):
        return plain, None  # type: ignore[return-value]
    found = _GEOMETRY.fullmatch(plain)
    if found is None:
        return None, None
    specular: SpecularMode | None = None
    for side in (found[1], found[3]):
        if side in ("di", "de"):
            specular = "included" if side == "di" else "excluded"
    if found[5] is not None:
        stated = specular_of(found[5])
        if stated is None or specular not in (None, stated):
            return None, None
        specular = stated
    name = f"{found[1].rstrip('ie')}:{found[3].rstrip('ie')}"
    return (name, specular) if name in get_args(Geometry) else (None, None)  # type: ignore[return-value]


def specular_of(text: str) -> SpecularMode | None:
    """Return whether gloss is included, where a text says so."""
    return _SPECULAR.get(" ".join(text.casefold().split()))


def aperture_of(text: str, *, in_mm: bool = False) -> float | None:
    """Return a diameter in millimetres where a text says one and nothing else.

    Without a unit it is one only where the keyword names the unit (`in_mm`).
    """
    found = _APERTURE.fullmatch(text.strip())
    if found is None or not (found[2] or in_mm):
        return None
    value = integral(float(found[1].replace(",", ".")))
    return value if 0 < value <= _MOST_APERTURE else None


def backing_of(text: str) -> Backing | None:
    """Return the backing where a text says one and nothing else."""
    word = text.strip().casefold()
    for ending in (" backing", " background"):
        word = word.removesuffix(ending)
    word = "grey" if word == "gray" else word
    return word if word in get_args(Backing) else None  # type: ignore[return-value]


def origin_of(text: str) -> Origin | None:
    """Return who made the colours of a table, where a text is the word for it."""
    return text if text in get_args(Origin) else None  # type: ignore[return-value]


def quantity_of(text: str) -> SpectralQuantity | None:
    """Return what spectra are, where a text is a word for it."""
    return _QUANTITIES.get(text.strip().casefold())


def is_light(text: str) -> bool:
    """Return whether a text says that light itself was measured and not what a specimen does to it."""
    return text.strip().casefold() in _LIGHT
