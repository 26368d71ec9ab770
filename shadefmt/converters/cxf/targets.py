"""Where in a case the elements and attributes of CxF3 go that have members there."""

from shadefmt.converters.cxf.ledger import ASIDE

_VALUES = "Object/ColorValues"
_SPECTRUM = "/readings/*/spectrum"
_COLOURS = "/readings/*/colours"
_MEASUREMENT = "ColorSpecification/MeasurementSpec"
_TRISTIMULUS = "ColorSpecification/TristimulusSpec"


def _spectra() -> dict[str, str]:
    made = {}
    for kind in ("ReflectanceSpectrum", "TransmittanceSpectrum", "CustomSpectrum"):
        made[f"{_VALUES}/{kind}/@Name"] = ASIDE
        made[f"{_VALUES}/{kind}"] = f"{_SPECTRUM}/values"
        made[f"{_VALUES}/{kind}/@StartWL"] = f"{_SPECTRUM}/start_nm"
        made[f"{_VALUES}/{kind}/@Increment"] = f"{_SPECTRUM}/step_nm"
        made[f"{_VALUES}/{kind}/@MeasureDate"] = "/readings/*/at"
    made[f"{_VALUES}/CustomSpectrum/SpectralPoint"] = f"{_SPECTRUM}/values"
    made[f"{_VALUES}/CustomSpectrum/SpectralPoint/@WL"] = f"{_SPECTRUM}/wavelengths_nm"
    return made


def _colours() -> dict[str, str]:
    made = {}
    for kind, member, letters in (("ColorCIELab", "lab", "LAB"), ("ColorCIEXYZ", "xyz", "XYZ")):
        made[f"{_VALUES}/{kind}"] = f"{_COLOURS}/*/{member}"
        made[f"{_VALUES}/{kind}/@Name"] = ASIDE
        for letter in letters:
            name = letter.lower() if letter in "AB" else letter
            made[f"{_VALUES}/{kind}/{letter}"] = f"{_COLOURS}/*/{member}/{name}"
    return made


TARGETS = {
    "CxF/Resources/ObjectCollection": "/readings",
    "Object": "/readings/*",
    "Object/TagCollection/@Name": ASIDE,
    "Object/TagCollection/Tag": "/readings/*, /specimens/*",
    **_spectra(),
    **_colours(),
    f"{_TRISTIMULUS}/Illuminant": f"{_COLOURS}/*/illuminant",
    f"{_TRISTIMULUS}/Observer": f"{_COLOURS}/*/observer",
    f"{_MEASUREMENT}/WavelengthRange/@StartWL": f"{_SPECTRUM}/start_nm",
    f"{_MEASUREMENT}/WavelengthRange/@Increment": f"{_SPECTRUM}/step_nm",
    f"{_MEASUREMENT}/GeometryChoice/SphereGeometry": "/instruments/*/specular",
    f"{_MEASUREMENT}/GeometryChoice/SingleAngle/IlluminationAngle": "/instruments/*/geometry",
    f"{_MEASUREMENT}/GeometryChoice/SingleAngle/MeasurementAngle": "/instruments/*/geometry",
    f"{_MEASUREMENT}/Aperture": "/instruments/*/aperture_mm",
    f"{_MEASUREMENT}/Backing": "/readings/*/backing",
    f"{_MEASUREMENT}/Device/Model": "/instruments/*/model",
}
"""Path in the source to path in the case, `*` standing for every entry."""
