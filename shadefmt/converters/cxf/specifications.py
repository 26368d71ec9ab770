"""`ColorSpecification`: what readings of one kind have in common, read once and linked afterwards."""

from dataclasses import dataclass

from lxml import etree

from shadefmt.converters.cxf import conditions
from shadefmt.converters.cxf.flatten import Flattener, Texts, named
from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.numbers import number_of
from shadefmt.errors import Refused
from shadefmt.vocabulary import Backing, Geometry, Illuminant, Observer, SpecularMode

PATH = "ColorSpecification"

_ATTRIBUTES = (
    *("Id", "Name", "X", "Y", "Z", "Angle", "Age", "StartWL", "Increment", "WLStart", "List_Increment", "WL"),
    *(
        "FilterDescription",
        "FilterPosition",
        "CustomType",
        "Notation",
        "Units",
        "Label",
        "Method",
        "OtherType",
    ),
    "ImageFileName",
)
PHYSICAL = (
    *("TargetType", "FinishType", "SubstrateType", "Quantity", "Height", "Width", "Length", "Thickness"),
    *("Gloss", "Opacity", "CustomAttributeString", "CustomAttributeValue", "Image"),
)
_ELEMENTS = (
    *("TristimulusSpec", "Illuminant", "CustomIlluminant", "SPDList", "SpectralPoint", "Observer", "Method"),
    *(
        "MeasurementSpec",
        "MeasurementType",
        "GeometryChoice",
        "EmissiveMode",
        "SphereGeometry",
        "SingleAngle",
    ),
    *("SingleAngleConfiguration", "IlluminationAngle", "MeasurementAngle", "UnknownGeometry", "MultiAngle"),
    *("BRDFAngle", "Aspecular", "Azimuth", "WavelengthRange", "LuminanceUnitsType", "CalibrationStandard"),
    *("Aperture", "Backing", "BandpassCorrected", "Device", "Manufacturer", "Model", "SerialNumber"),
    *("DeviceClass", "DeviceFilter", "DeviceIllumination", "DevicePolarization", "PhysicalAttributes"),
    *("Specular_Included", "Specular_Excluded", "Diffuse"),  # as elements: not in the schema, but written
    *PHYSICAL,
)
IMAGES = {"Image": ("image", "pictures are not carried; attach them to the case if they matter")}
_FLATTENER = Flattener(named(_ELEMENTS), _ATTRIBUTES, IMAGES)

_MEASUREMENT = "MeasurementSpec/"
_SERIAL = "MeasurementSpec/Device/SerialNumber"
_SPHERE = "MeasurementSpec/GeometryChoice/SphereGeometry"
_SINGLE = (
    *("@Id", "TristimulusSpec/Illuminant", "TristimulusSpec/Observer", "MeasurementSpec/MeasurementType"),
    *("MeasurementSpec/WavelengthRange/@StartWL", "MeasurementSpec/WavelengthRange/@Increment", _SPHERE),
    *("MeasurementSpec/Aperture", "MeasurementSpec/Backing", _SERIAL),
)
_NOT_A_CONDITION = ("MeasurementType", "WavelengthRange", "LuminanceUnitsType")
_NOT_THE_INSTRUMENT = ("Backing", "CalibrationStandard")


@dataclass(frozen=True)
class Specification:
    """One specification: its texts by path, and what the format has words for.

    `measurement` are the conditions by path, `instrument` those of the instrument alone; equal sets mean equal
    conditions. `illuminant` and `observer` are None where the file states none.
    """

    id: str
    where: str
    fields: dict[str, str]
    measurement: frozenset[tuple[str, str]]
    instrument: frozenset[tuple[str, str]]
    measurement_type: str
    start_nm: float | None
    step_nm: float | None
    illuminant: Illuminant
    observer: Observer
    tristimulus: bool
    geometry: Geometry | None
    specular: SpecularMode | None
    aperture_mm: float | None
    backing: Backing | None
    model: str


@dataclass(frozen=True)
class SpecificationReader:
    """Reads `ColorSpecification` elements."""

    ledger: Ledger
    comma: bool

    def read(self, element: etree._Element) -> Specification:
        """Return one specification.

        Raises:
            Refused: without an id, or with a wavelength that is not a number.
        """
        where = f"line {element.sourceline}, ColorSpecification {(element.get('Id') or '').strip()[:60]}".strip()
        texts = _FLATTENER.flatten(element, PATH, self.ledger, where)
        name = texts.fields.pop("@Id", "").strip()
        if not name:
            raise Refused("a ColorSpecification without Id", where=where, remedy="Nothing can refer to it")
        serial = self._without_serial(texts, where)
        fields = texts.fields
        self._check_single(fields, where)
        self._specular_as_element(texts, where)
        if serial:
            fields = {**fields, _SERIAL: serial}
        measurement = _conditions(fields, _NOT_A_CONDITION)
        read: set[str] = {"@Id"}
        made = Specification(
            id=name,
            where=where,
            fields=texts.fields,
            measurement=measurement,
            instrument=_conditions(dict(measurement), _NOT_THE_INSTRUMENT),
            measurement_type=fields.get("MeasurementSpec/MeasurementType", ""),
            start_nm=self._wavelength(fields, "StartWL", read, where),
            step_nm=self._wavelength(fields, "Increment", read, where),
            illuminant=self._illuminant(fields, read, where),
            observer=self._observer(fields, read, where),
            tristimulus=any(path.startswith("TristimulusSpec") for path in fields),
            geometry=_geometry(fields, read),
            specular=_specular(fields, read),
            aperture_mm=_aperture(fields, read),
            backing=_backing(fields, read),
            model=_model(fields, read),
        )
        self._account(texts, read)
        return made

    def _check_single(self, fields: dict[str, str], where: str) -> None:
        for path in _SINGLE:
            if f"{path}[2]" in fields:
                raise Refused(f"{path} is stated twice", where=where, remedy="Have it stated once")

    def _specular_as_element(self, texts: Texts, where: str) -> None:
        """Some writers make the word for a sphere a child element instead of text."""
        for word in ("Specular_Included", "Specular_Excluded", "Diffuse"):
            if f"{PATH}/{_SPHERE}/{word}" in texts.paths and _SPHERE not in texts.fields:
                texts.fields[_SPHERE] = word
                self.ledger.respelling(f"SphereGeometry/{word}", f"SphereGeometry with the text {word}", where)

    def _account(self, texts: Texts, read: set[str]) -> None:
        for path in texts.paths:
            below = path[len(PATH) + 1 :]
            (self.ledger.seen if below in read or not below else self.ledger.aside).append((path,))

    def _without_serial(self, texts: Texts, where: str) -> str:
        serial = texts.fields.pop(_SERIAL, "")
        path = f"{PATH}/{_SERIAL}"
        if path in texts.paths:
            texts.paths.remove(path)
            reason = "a serial number can lead to a person; instruments have opaque ids"
            self.ledger.dropped(path, "serial-number", reason, where=where)
        return serial

    def _wavelength(self, fields: dict[str, str], attribute: str, read: set[str], where: str) -> float | None:
        for parent in ("MeasurementSpec/WavelengthRange", "WavelengthRange"):  # the second in early files
            path = f"{parent}/@{attribute}"
            if path in fields:
                read |= {parent, path}
                return wavelength(fields[path], attribute, where, self.comma)
        return None

    def _illuminant(self, fields: dict[str, str], read: set[str], where: str) -> Illuminant:
        path = "TristimulusSpec/Illuminant"
        text = fields.get(path)
        known = conditions.illuminant_of(text, fields.get(f"{path}/@Name", "")) if text else None
        if known:
            read |= {"TristimulusSpec", path}
            return known
        if text or any(each.startswith("TristimulusSpec/CustomIlluminant") for each in fields):
            self._unknown("illuminant", text or "a custom illuminant", path, where)
        return "unknown"

    def _observer(self, fields: dict[str, str], read: set[str], where: str) -> Observer:
        path = "TristimulusSpec/Observer"
        text = fields.get(path)
        known = conditions.observer_of(text, fields.get(f"{path}/@Name", "")) if text else None
        if known:
            read |= {"TristimulusSpec", path}
            return known
        if text:
            self._unknown("observer", text, path, where)
        return "unknown"

    def _unknown(self, what: str, text: str, path: str, where: str) -> None:
        reason = f"the format has no word for this {what}; as written in the extension"
        self.ledger.lost(
            f"{PATH}/{path}",
            "defaulted",
            f"{what}-outside-vocabulary",
            reason,
            where=where,
            old=text,
            new="unknown",
        )


def wavelength(text: str, attribute: str, where: str, comma: bool) -> float:
    """Return a wavelength or step in nanometres.

    Raises:
        Refused: not a number, or not above zero.
    """
    try:
        value = number_of(text, comma=comma)
    except Refused as fault:
        raise Refused(f"{attribute}: {fault.what}", where=where, remedy=fault.remedy) from None
    if value <= 0:
        raise Refused(f"{attribute} is {text.strip()}, not a wavelength in nanometres", where=where)
    return value


def _conditions(fields: dict[str, str], without: tuple[str, ...]) -> frozenset[tuple[str, str]]:
    return frozenset(
        (path, text)
        for path, text in fields.items()
        if path.startswith(_MEASUREMENT) and not path[len(_MEASUREMENT) :].startswith(without)
    )


def _geometry(fields: dict[str, str], read: set[str]) -> Geometry | None:
    choice = "MeasurementSpec/GeometryChoice"
    single = f"{choice}/SingleAngle"
    illumination, measurement = f"{single}/IlluminationAngle", f"{single}/MeasurementAngle"
    if illumination in fields and measurement in fields:
        read |= {choice, single, illumination, measurement}
        return conditions.geometry_of(fields[illumination], fields[measurement])
    below = [path[len(choice) + 1 :] for path in fields if path.startswith(choice)]
    if any(path.startswith(("MultiAngle", "EmissiveMode")) for path in below):
        return "other"
    return "unknown" if below else None


def _specular(fields: dict[str, str], read: set[str]) -> SpecularMode | None:
    known = conditions.specular_of(fields.get(_SPHERE, ""))
    if known:
        read |= {_SPHERE, "MeasurementSpec/GeometryChoice"}
    return known


def _aperture(fields: dict[str, str], read: set[str]) -> float | None:
    path = "MeasurementSpec/Aperture"
    known = conditions.aperture_of(fields.get(path, ""))
    if known:
        read.add(path)
    return known


def _backing(fields: dict[str, str], read: set[str]) -> Backing | None:
    path = "MeasurementSpec/Backing"
    known = conditions.backing_of(fields.get(path, ""))
    if known:
        read.add(path)
    return known


def _model(fields: dict[str, str], read: set[str]) -> str:
    path = "MeasurementSpec/Device/Model"
    text = fields.get(path, "")
    if 0 < len(text) <= 200:
        read |= {path, "MeasurementSpec/Device"}
        return text
    return ""
