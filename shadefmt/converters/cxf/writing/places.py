"""Where texts may stand in a file, in the order of the XML Schema of CxF3, and what the schema asks of them."""

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Final

from shadefmt.converters.cxf.writing.xmltext import can_stand

Check = Callable[[str], bool]

_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")


def _number(text: str) -> bool:
    return _NUMBER.fullmatch(text) is not None


def _short(text: str) -> bool:
    return re.fullmatch(r"[+-]?[0-9]{1,5}", text) is not None and -32768 <= int(text) <= 32767


def _words(*words: str) -> Check:
    return frozenset(words).__contains__


def _first(text: str) -> bool:
    return _short(text) and 360 <= int(text) <= 400


def _not_below(least: float, most: float = float("inf")) -> Check:
    return lambda text: _number(text) and least <= float(text) <= most


_TRUTH: Final = _words("true", "false", "1", "0")
_AS_TEXT: Final = can_stand

_PHYSICAL: Final[Mapping[str, Check]] = {
    "TargetType": _words("IT8.7/1", "IT8.7/2", "IT8.7/3", "IT8.7/4", "ECI2002", "Other"),
    "TargetType/@OtherType": _AS_TEXT,
    "FinishType": _words("Coated", "Uncoated", "Matte", "Polished", "Glossy", "Satin", "Other"),
    "FinishType/@OtherType": _AS_TEXT,
    "SubstrateType": _words(
        *("Film", "Leather", "Metal", "Paint", "Paper", "Plastic", "Textile", "Tile", "Vinyl", "Wood", "Other")
    ),
    "SubstrateType/@OtherType": _AS_TEXT,
    "Quantity": _number,
    "Quantity/@Units": _AS_TEXT,
    **{
        path: check
        for name in ("Height", "Width", "Length", "Thickness")
        for path, check in ((name, _number), (f"{name}/@Units", _AS_TEXT))
    },
    **{
        path: check for name in ("Gloss", "Opacity") for path, check in ((name, _number), (f"{name}/@Method", _AS_TEXT))
    },
    "CustomAttributeString": _AS_TEXT,
    "CustomAttributeString/@Label": _AS_TEXT,
    "CustomAttributeString/@Method": _AS_TEXT,
    "CustomAttributeValue": _number,
    "CustomAttributeValue/@Label": _AS_TEXT,
    "CustomAttributeValue/@Method": _AS_TEXT,
}
PHYSICAL: Final = {f"PhysicalAttributes/{path}": check for path, check in _PHYSICAL.items()}

_LIGHT: Final = "TristimulusSpec"
_MEASURED: Final = "MeasurementSpec"
_CHOICE: Final = f"{_MEASURED}/GeometryChoice"
_DEVICE: Final = f"{_MEASURED}/Device"

SPECIFICATION: Final[Mapping[str, Check]] = {
    f"{_LIGHT}/Illuminant": _words(
        *("A", "B", "C", "D50", "D55", "D60", "D65", "D75", "E", "F2", "F3", "F7", "F9", "F10", "F11", "F12"),
        *("9300", "TL84", "TL83", "UL30", "UL35", "UL50", "Custom"),
    ),
    f"{_LIGHT}/Illuminant/@Name": _AS_TEXT,
    **{f"{_LIGHT}/Illuminant/@{letter}": _number for letter in "XYZ"},
    f"{_LIGHT}/Observer": _words("2_Degree", "10_Degree", "Custom_CMF"),
    f"{_LIGHT}/Observer/@Name": _AS_TEXT,
    f"{_LIGHT}/Observer/@Angle": _short,
    f"{_LIGHT}/Observer/@Age": _short,
    f"{_LIGHT}/Method": _words("E308_Table5", "E308_Table6", "E308_1nm", "unknown"),
    f"{_MEASURED}/MeasurementType": _words(
        *("Spectrum_Reflectance", "Spectrum_Transmittance", "Spectrum_TotalTransmittance", "Spectrum_Emissive"),
        *("Colorimetric_Reflectance", "Colorimetric_Transmittance", "Colorimetric_Emissive", "Spectrum_Custom"),
    ),
    f"{_CHOICE}/EmissiveMode": _words("EmissiveMode_Diffuser", "EmissiveMode_Reflected", "EmissiveMode_Other"),
    f"{_CHOICE}/SphereGeometry": _words("Specular_Included", "Specular_Excluded", "Diffuse"),
    f"{_CHOICE}/SingleAngle/SingleAngleConfiguration": _words("Annular", "Uniplanar"),
    f"{_CHOICE}/SingleAngle/IlluminationAngle": _number,
    f"{_CHOICE}/SingleAngle/MeasurementAngle": _number,
    f"{_CHOICE}/UnknownGeometry": lambda text: bool(text) and can_stand(text),
    f"{_MEASURED}/WavelengthRange/@StartWL": _first,
    f"{_MEASURED}/WavelengthRange/@Increment": _short,
    f"{_MEASURED}/LuminanceUnitsType": _words("normalized", "fL", "cd/ft2", "cd/m2"),
    f"{_MEASURED}/CalibrationStandard": _AS_TEXT,
    f"{_MEASURED}/Aperture": _AS_TEXT,
    f"{_MEASURED}/Backing": _AS_TEXT,
    f"{_MEASURED}/BandpassCorrected": _TRUTH,
    f"{_DEVICE}/Manufacturer": _AS_TEXT,
    f"{_DEVICE}/Model": _AS_TEXT,
    f"{_DEVICE}/DeviceClass": _words("DeviceClass_Spot", "DeviceClass_Scanning", "DeviceClass_Other"),
    f"{_DEVICE}/DeviceFilter": _words(
        *("Filter_None", "Filter_UVExcluded", "Filter_UVD65", "Filter_Partial", "Filter_Custom")
    ),
    f"{_DEVICE}/DeviceFilter/@FilterDescription": _AS_TEXT,
    f"{_DEVICE}/DeviceFilter/@FilterPosition": _number,
    f"{_DEVICE}/DeviceIllumination": _words(
        *("M0_Incandescent", "M1_Daylight", "M2_UVExcluded", "M3_Polarized", "Flash", "LED", "Ambient", "Custom")
    ),
    f"{_DEVICE}/DeviceIllumination/@CustomType": _AS_TEXT,
    f"{_DEVICE}/DevicePolarization": _TRUTH,
    **PHYSICAL,
}
"""Texts of a specification by path, in order."""

_UNIT: Final = _not_below(0, 1)
_OTHERS: Final[Mapping[str, Mapping[str, Check]]] = {
    "ColorCIELuv": {"L": _not_below(0), "U": _number, "V": _number},
    "ColorEmissiveCIEXYZ": dict.fromkeys("XYZ", _not_below(0)),
    "ColorEmissiveCIExyY": {"x": _UNIT, "y": _UNIT, "Y": _not_below(0)},
    "ColorSRGB": {"MaxRange": _short, **dict.fromkeys("RGB", _short)},
    "ColorAdobeRGB": {"MaxRange": _short, **dict.fromkeys("RGB", _short), "Alpha": _UNIT},
    "ColorDensity": {
        "Density": _number,
        "Status": _words(
            *("A", "E", "I", "M", "T", "SpectralX", "Spectral", "HiFi", "Hex", "Txp", "Ex", "DIN", "DIN-NB"),
            *("PD", "APD"),
        ),
        "Filter": _words("Visual", "Cyan", "Magenta", "Yellow", "Black", "Red", "Green", "Blue", "A", "B"),
        "BaseOffset": _number,
    },
}
_OPTIONAL: Final = frozenset({"MaxRange", "Alpha", "BaseOffset"})


def colour_texts(name: str, texts: Mapping[str, str]) -> dict[str, str] | None:
    """Return the coordinates of a colour that a case has no member for, in order; None where they are not whole."""
    checks = _OTHERS.get(name)
    if checks is None or not set(texts) - {"@ColorSpecification", "@Name"} <= set(checks):
        return None
    found = {path: texts[path] for path in checks if path in texts and checks[path](texts[path])}
    return found if len(found) == sum(path in texts or path not in _OPTIONAL for path in checks) else None


_NEEDED: Final = (
    *((f"PhysicalAttributes/{name}", f"PhysicalAttributes/{name}/@Units") for name in ("Height", "Width", "Length")),
    ("MeasurementSpec/WavelengthRange/@StartWL", "MeasurementSpec/WavelengthRange/@Increment"),
    ("PhysicalAttributes/Thickness", "PhysicalAttributes/Thickness/@Units"),
    *(
        (f"PhysicalAttributes/{name}", f"PhysicalAttributes/{name}/@Label")
        for name in ("CustomAttributeString", "CustomAttributeValue")
    ),
)
"""Elements of physical attributes and the attribute that the schema asks of them."""


def fitting(texts: Mapping[str, str], places: Mapping[str, Check]) -> dict[str, str]:
    """Return the texts that may stand where they are, in the order of the schema."""
    found = {path: texts[path] for path in places if path in texts and places[path](texts[path])}
    for element, needed in _NEEDED:
        if (element in found) != (needed in found):
            found = _without(found, [element.partition("/@")[0]])
    bare = [path.partition("/@")[0] for path in found if "/@" in path and path.partition("/@")[0] not in found]
    return _without(found, [path for path in bare if not path.endswith("WavelengthRange")])


def _without(texts: dict[str, str], elements: Iterable[str]) -> dict[str, str]:
    gone = tuple(elements)
    return {path: text for path, text in texts.items() if path.partition("/@")[0] not in gone}
