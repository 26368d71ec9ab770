"""Spectra of one object: values as factors, with the grid as far as the spectrum itself states it.

1.0 is the perfect reflecting diffuser; the XML Schema of CxF3 asks for values between -0.1 and 3.
"""

from dataclasses import dataclass
from decimal import Decimal

from lxml import etree

from shadefmt.converters.cxf.leaves import leaf_text, own_text
from shadefmt.converters.cxf.ledger import Ledger, Paths
from shadefmt.converters.cxf.names import Attributes, Elements
from shadefmt.converters.cxf.numbers import Numbers, numbers_of, plain, plain_factors
from shadefmt.converters.cxf.options import Options
from shadefmt.converters.cxf.parts import ObjectRecord, SpectrumPart
from shadefmt.converters.cxf.specifications import wavelength
from shadefmt.converters.cxf.times import odd_date, timestamp_of
from shadefmt.converters.numerals import short
from shadefmt.errors import Refused
from shadefmt.limits import MAX_DECIMALS
from shadefmt.vocabulary import SpectralQuantity

PERCENT_ABOVE = 1.5
"""A median above this looks like percent; common practice, no source."""

_PATH = "Object/ColorValues"
_WRITTEN = ("ColorSpecification", "Name", "StartWL", "MeasureDate", "Increment", "NumPoints")


@dataclass(frozen=True)
class SpectrumKind:
    """One element with a list of values."""

    quantity: SpectralQuantity
    attributes: Attributes


KINDS = {
    "ReflectanceSpectrum": SpectrumKind("reflectance-factor", Attributes(f"{_PATH}/ReflectanceSpectrum", _WRITTEN)),
    "TransmittanceSpectrum": SpectrumKind(
        "transmittance-factor", Attributes(f"{_PATH}/TransmittanceSpectrum", _WRITTEN)
    ),
}
_CUSTOM = Attributes(f"{_PATH}/CustomSpectrum", ("ColorSpecification", "Name", "MeasureDate"))
_POINT = Attributes(f"{_PATH}/CustomSpectrum/SpectralPoint", ("WL",))
_POINTS = Elements({"SpectralPoint": None})


class SpectrumReader:
    """Reads spectra into an object's record."""

    def __init__(self, ledger: Ledger, options: Options) -> None:
        self._ledger = ledger
        self._comma = options.decimal_comma
        self._percent = options.percent
        self._starts: dict[str, float] = {}

    def even(self, element: etree._Element, record: ObjectRecord, kind: SpectrumKind) -> None:
        """Read a spectrum on an even grid, whose values are a list."""
        path = kind.attributes.path
        has_children = len(element) > 0
        text = own_text(element) if has_children else element.text
        numbers = self._numbers(text or "", record.where)
        if len(numbers.values) < 2:
            self._too_short(element, path, record.where)
            return
        if has_children:
            leaf_text(element, path, self._ledger, record.where)
        written = self._ledger.attributes(element, kind.attributes, record.where, self._ledger.seen)
        numbers = self._factors(numbers, path, record.where, self._ledger.seen)
        part = SpectrumPart(
            kind.quantity,
            written.get("ColorSpecification", "").strip(),
            written.get("Name", ""),
            "",
            plain_factors(numbers),
            numbers.decimals,
        )
        if "MeasureDate" in written:
            self._date(part, written["MeasureDate"], path, record.where)
        if "StartWL" in written:
            part.start_nm = self._starts.get(written["StartWL"]) or self._start(written["StartWL"], record.where)
        if "Increment" in written or "NumPoints" in written:
            self._early_attributes(written, part, record.where)
        record.spectra.append(part)

    def custom(self, element: etree._Element, record: ObjectRecord, _name: str) -> None:
        """Read a spectrum of points; which quantity it is, only its specification says."""
        ledger, where = self._ledger, record.where
        points = [child for child in element if self._is_point(child)]
        if len(points) < 2:
            self._too_short(element, _CUSTOM.path, where)
            return
        texts = [leaf_text(point, _POINT.path, ledger, where) for point in points]
        self._others(element, where)
        paths: list[Paths] = [(_POINT.path,)] * len(points)
        written = ledger.attributes(element, _CUSTOM, where, paths)
        places = [ledger.attributes(point, _POINT, where, paths).get("WL", "") for point in points]
        numbers = self._numbers(" ".join(texts), where)
        if len(numbers.values) != len(points) or not all(text.strip() for text in texts):
            raise Refused("a SpectralPoint does not hold exactly one number", where=where)
        numbers = self._factors(numbers, _CUSTOM.path, where, paths)
        wavelengths, values = self._rising(places, numbers.values, where)
        part = SpectrumPart(
            None,
            written.get("ColorSpecification", "").strip(),
            written.get("Name", ""),
            "",
            plain(values),
            numbers.decimals,
            wavelengths_nm=plain(wavelengths),
            paths=tuple(path for each in paths for path in each),
        )
        if "MeasureDate" in written:
            self._date(part, written["MeasureDate"], _CUSTOM.path, where)
        record.spectra.append(part)

    def _rising(self, places: list[str], values: list[float], where: str) -> tuple[list[float], list[float]]:
        wavelengths = [wavelength(place, "WL", where, self._comma) for place in places]
        pairs = sorted(zip(wavelengths, values, strict=True))
        rising = [each for each, _ in pairs]
        if len(set(rising)) != len(rising):
            raise Refused("a CustomSpectrum states a wavelength twice", where=where)
        if rising != wavelengths:
            message = "the points of a CustomSpectrum were put in order of wavelength"
            self._ledger.notice("points-reordered", where, message, "Nothing to do: no number was changed")
        return rising, [value for _, value in pairs]

    def _numbers(self, text: str, where: str) -> Numbers:
        try:
            return numbers_of(text, comma=self._comma)
        except Refused as fault:
            raise Refused(fault.what, where=where, remedy=fault.remedy) from None

    def _factors(self, numbers: Numbers, path: str, where: str, paths: list[Paths]) -> Numbers:
        """Return the values as factors, look at their range, and account for the element.

        Its path is added to `paths` where the values stay as they are.
        """
        values, low, high, _, cut = numbers
        if self._percent:
            return self._from_percent(numbers, path, where)
        if high > PERCENT_ABOVE and sorted(values)[len(values) // 2] > PERCENT_ABOVE:
            message = "values of a spectrum look like percent; CxF3 has factors, where 1 stands for all of the light"
            remedy = "If they are percent, read the file again and say so (percent)"
            self._ledger.notice("looks-like-percent", where, message, remedy)
        elif low <= -0.1 or high >= 3:
            message = "a spectrum has values outside -0.1 to 3, the range of CxF3"
            self._ledger.notice("spectrum-out-of-range", where, message, "Look at the reading")
        self._ledger.cut(path, cut, values, where)
        paths.append((path,))
        return numbers

    def _from_percent(self, numbers: Numbers, path: str, where: str) -> Numbers:
        decimals = min(numbers.decimals + 2, MAX_DECIMALS)
        if numbers.high <= PERCENT_ABOVE:
            message = f"a spectrum read as percent has no value above {PERCENT_ABOVE} %"
            remedy = "If the file has factors, read it again without percent"
            self._ledger.notice("not-like-percent", where, message, remedy)
        self._ledger.account.converted(path, "/readings/*/spectrum/values", "percent to factor")
        values = [round(value / 100, decimals) for value in numbers.values]
        if numbers.decimals + 2 > MAX_DECIMALS:
            exact = [Decimal(short(value)) / 100 for value in numbers.values]
            cut = {
                place: numbers.cut.get(place, short(numbers.values[place]))
                for place, value in enumerate(values)
                if place in numbers.cut or Decimal(short(value)) != exact[place]
            }
            self._ledger.cut(path, cut, values, where)
        return Numbers(values, min(values), max(values), decimals)

    def _date(self, part: SpectrumPart, text: str, path: str, where: str) -> None:
        measured = timestamp_of(text.strip())
        if measured is not None:
            part.measured = measured
        elif text.strip():
            self._ledger.moved_aside(f"{path}/@MeasureDate")
            part.texts = {f"{path}/@MeasureDate": text.strip()}
            odd_date("MeasureDate", where, self._ledger)

    def _start(self, text: str, where: str) -> float:
        """Remembered by its text: it is the same on thousands of spectra."""
        value = self._starts[text] = wavelength(text, "StartWL", where, self._comma)
        return value

    def _early_attributes(self, written: dict[str, str], part: SpectrumPart, where: str) -> None:
        if "Increment" in written:
            part.step_nm = wavelength(written["Increment"], "Increment", where, self._comma)
            message = "a spectrum states its own Increment, which CxF3 has in the specification only; it was used"
            self._ledger.notice("increment-on-spectrum", where, message, "Nothing to do if the wavelengths are right")
        if "NumPoints" in written:
            stated = wavelength(written["NumPoints"], "NumPoints", where, self._comma)
            if stated != len(part.values):
                raise Refused(
                    f"NumPoints says {written['NumPoints']}, but there are {len(part.values)} values",
                    where=where,
                    remedy="Values may be missing anywhere in the list: export the file again",
                )

    def _is_point(self, child: etree._Element) -> bool:
        return child.tag in _POINTS.exact or _POINTS.respelled(child.tag) is not None

    def _others(self, element: etree._Element, where: str) -> None:
        self._ledger.stray(element.text, _CUSTOM.path, where)
        for child in element:
            self._ledger.stray(child.tail, _CUSTOM.path, where)
            if not self._is_point(child):
                self._ledger.drop_unknown(child, _CUSTOM.path, where)

    def _too_short(self, element: etree._Element, path: str, where: str) -> None:
        reason = "fewer than two values are no spectrum"
        self._ledger.drop_tree(element, path, "spectrum-too-short", reason, where)
