"""Specifications of the file: the conditions of a reading in the words of CxF3, each set of them once."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.cxf import conditions
from shadefmt.converters.cxf.writing.places import SPECIFICATION, fitting
from shadefmt.converters.cxf.writing.xmltext import PREFIX, attribute, can_stand, elements, is_name
from shadefmt.converters.numerals import short

Texts = dict[str, str]

_ILLUMINANTS: Final[Mapping[str, str]] = {word: name for name, word in conditions.ILLUMINANTS.items()}
_OBSERVERS: Final = {"2-degree": "2_Degree", "10-degree": "10_Degree"}
_TYPES: Final = {
    "reflectance-factor": ("Spectrum_Reflectance",),
    "transmittance-factor": ("Spectrum_Transmittance", "Spectrum_TotalTransmittance"),
    "": (
        *("Colorimetric_Reflectance", "Colorimetric_Transmittance"),
        *("Spectrum_Reflectance", "Spectrum_Transmittance", "Spectrum_TotalTransmittance"),
    ),
}
"""Types of measurement, the one that is written unless the source of the case had another; "" without spectrum."""
_ANGLES: Final = {"45:0": ("45", "0"), "0:45": ("0", "45")}
_SPHERES: Final = frozenset({"d:8", "8:d", "d:0", "0:d"})
_SPECULAR: Final = {"included": "Specular_Included", "excluded": "Specular_Excluded"}
_LIGHT: Final = "TristimulusSpec"
_MEASURED: Final = "MeasurementSpec"
_CHOICE: Final = f"{_MEASURED}/GeometryChoice"
_SINGLE: Final = f"{_CHOICE}/SingleAngle"
_SPHERE: Final = f"{_CHOICE}/SphereGeometry"

ASSUMED: Final = "Annular"
"""Arrangement of the illumination of 45:0 and 0:45 where the case does not know it: CxF3 asks for one."""


@dataclass(frozen=True)
class Conditions:
    """What one specification is to say. `source` are the texts of the specification that it came from, if any."""

    basis: tuple[str, str] | None
    quantity: str
    grid: tuple[int, int] | None
    backing: str | None
    device: Mapping[str, Any]
    source: Mapping[str, str]


def texts_of(asked: Conditions) -> tuple[Texts, bool]:
    """Return the texts of a specification by path, in order, and whether an arrangement was assumed."""
    own, assumed = _geometry(asked.device, asked.source)
    own |= _light(asked.basis, asked.source) if asked.basis else {}
    types = _TYPES[asked.quantity]
    stated = asked.source.get(f"{_MEASURED}/MeasurementType", "")
    own[f"{_MEASURED}/MeasurementType"] = stated if stated in types else types[0]
    if asked.grid:
        own[f"{_MEASURED}/WavelengthRange/@StartWL"] = str(asked.grid[0])
        own[f"{_MEASURED}/WavelengthRange/@Increment"] = str(asked.grid[1])
    elif not asked.quantity:
        own |= {path: text for path, text in asked.source.items() if path.startswith(f"{_MEASURED}/WavelengthRange/@")}
    aperture, backing = f"{_MEASURED}/Aperture", f"{_MEASURED}/Backing"
    size = asked.device.get("aperture_mm")
    own |= _stated(aperture, size, f"{short(size)} mm" if size else "", conditions.aperture_of, asked.source)
    own |= _stated(backing, asked.backing, asked.backing or "", conditions.backing_of, asked.source)
    model = asked.device.get("model")
    if model and can_stand(model):
        own[f"{_MEASURED}/Device/Model"] = model
    return fitting({**_extras(asked.source), **own}, SPECIFICATION), assumed


def said_of(device: Mapping[str, Any], texts: Mapping[str, str]) -> set[str]:
    """Return the members of an instrument that a specification says exactly; the others need tags."""
    said = set()
    if device.get("geometry") in _ANGLES and f"{_SINGLE}/IlluminationAngle" in texts:
        said.add("geometry")
    if "specular" in device and conditions.specular_of(texts.get(_SPHERE, "")) == device["specular"]:
        said.add("specular")
    aperture = device.get("aperture_mm")
    if aperture is not None and conditions.aperture_of(texts.get(f"{_MEASURED}/Aperture", "")) == aperture:
        said.add("aperture_mm")
    model = device.get("model")
    if model is not None and " ".join(model.split()) == model == texts.get(f"{_MEASURED}/Device/Model"):
        said.add("model")
    return said


def _geometry(device: Mapping[str, Any], source: Mapping[str, str]) -> tuple[Texts, bool]:
    geometry, specular = device.get("geometry"), device.get("specular")
    if geometry in _ANGLES:
        stated = source.get(f"{_SINGLE}/SingleAngleConfiguration", "")
        known = stated in ("Annular", "Uniplanar")
        first, second = _ANGLES[geometry]
        return {
            f"{_SINGLE}/SingleAngleConfiguration": stated if known else ASSUMED,
            f"{_SINGLE}/IlluminationAngle": first,
            f"{_SINGLE}/MeasurementAngle": second,
        }, not known
    sphere = source.get(_SPHERE, "")
    if specular in _SPECULAR and (geometry in _SPHERES or conditions.specular_of(sphere) == specular):
        return {_SPHERE: _SPECULAR[specular]}, False
    if sphere == "Diffuse" and specular is None and geometry == "unknown":
        return {_SPHERE: sphere}, False
    emissive = source.get(f"{_CHOICE}/EmissiveMode")
    if emissive and geometry == "other":
        return {f"{_CHOICE}/EmissiveMode": emissive}, False
    stated = source.get(f"{_CHOICE}/UnknownGeometry", "") if geometry == "unknown" else ""
    return {f"{_CHOICE}/UnknownGeometry": stated or geometry or "not stated"}, False


def _light(basis: tuple[str, str], source: Mapping[str, str]) -> Texts:
    illuminant, observer = basis
    light, eye, method = f"{_LIGHT}/Illuminant", f"{_LIGHT}/Observer", f"{_LIGHT}/Method"
    own = {light: _ILLUMINANTS.get(illuminant, "Custom"), eye: _OBSERVERS.get(observer, "Custom_CMF")}
    for path, word, read in ((light, illuminant, conditions.illuminant_of), (eye, observer, conditions.observer_of)):
        stated = source.get(path, "")
        if SPECIFICATION[path](stated) and (read(stated, source.get(f"{path}/@Name", "")) or "unknown") == word:
            own[path] = stated
            own |= {key: text for key, text in source.items() if key.startswith(f"{path}/@")}
        elif own[path].startswith("Custom"):
            own[f"{path}/@Name"] = word
    if basis == ("unknown", "unknown") and light not in source:
        return {}
    stated = source.get(method, "")
    own[method] = stated if SPECIFICATION[method](stated) else "unknown"
    return own


def _stated(path: str, value: Any, text: str, read: Any, source: Mapping[str, str]) -> Texts:
    """What a case says at a path, in the words of its source where they say the same."""
    stated = source.get(path, "")
    if stated and can_stand(stated) and read(stated) == value:
        return {path: stated}
    return {path: text} if text else {}


def _extras(source: Mapping[str, str]) -> Texts:
    """What a specification said beyond what a case has members for."""
    kept = (f"{_MEASURED}/{name}" for name in ("LuminanceUnitsType", "CalibrationStandard", "BandpassCorrected"))
    below = (f"{_MEASURED}/Device/", "PhysicalAttributes/")
    names = frozenset(kept)
    return {
        path: text
        for path, text in source.items()
        if path in names or (path.startswith(below) and path != f"{_MEASURED}/Device/Model")
    }


@dataclass
class Specifications:
    """The specifications of a file, by content, in order of first use."""

    _ids: dict[tuple[tuple[str, str], ...], str] = field(default_factory=dict)
    _taken: set[str] = field(default_factory=set)

    def id_of(self, texts: Mapping[str, str], wished: str = "") -> str:
        """Return the id of the specification that says these texts; a new one has the wished id where it can."""
        key = tuple(texts.items())
        known = self._ids.get(key)
        if known is None:
            number = len(self._ids) + 1
            known = wished if is_name(wished) else f"spec-{number}"
            while known in self._taken:
                known, number = f"spec-{number}", number + 1
            self._ids[key] = known
            self._taken.add(known)
        return known

    def lines(self) -> list[str]:
        """Return the lines of all specifications."""
        made = []
        for texts, identity in self._ids.items():
            made.append(f"   <{PREFIX}:ColorSpecification{attribute('Id', identity)}>")
            made += [*elements(dict(texts), "    "), f"   </{PREFIX}:ColorSpecification>"]
        return made
