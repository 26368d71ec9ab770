"""`ColorValues`: the spectra and colours of one object, as numbers with their decimals."""

from collections.abc import Callable
from typing import Any

from lxml import etree

from shadefmt.converters.cxf import colours, spectra
from shadefmt.converters.cxf.flatten import Flattener, named
from shadefmt.converters.cxf.leaves import leaf_text, plain_texts
from shadefmt.converters.cxf.ledger import Ledger, Paths
from shadefmt.converters.cxf.names import QUALIFIED, Attributes, Elements
from shadefmt.converters.cxf.numbers import numbers_of, plain
from shadefmt.converters.cxf.options import Options
from shadefmt.converters.cxf.parts import ColourPart, ObjectRecord
from shadefmt.errors import Refused

PATH = "Object/ColorValues"

Handler = tuple[Callable[[etree._Element, ObjectRecord, Any], None], Any]

_ASIDE = ("ColorCIELuv", "ColorEmissiveCIEXYZ", "ColorEmissiveCIExyY", "ColorSRGB", "ColorAdobeRGB")
_ASIDE_TOO = ("ColorDensity", "CustomColorSpace", "EmissiveSpectrum")
_FLATTENER = Flattener(
    named([*"LUVXYZxyRGB", "Alpha", "Density", "Status", "Filter", "BaseOffset", "Value", "MaxRange"]),
    ("ColorSpecification", "ProfileSpecification", "Name", "MaxRange", "Label", "StartWL", "MeasureDate"),
)
_PRIVATE = ("PrivateSpectrum", "PrivateColorValues")


class _ColourElement:
    """What reading one kind of colour needs, worked out once."""

    def __init__(self, name: str, kind: colours.ColourKind) -> None:
        self.name = name
        self.kind = kind
        self.path = f"{PATH}/{name}"
        self.attributes = Attributes(self.path, ("ColorSpecification", "Name"))
        self.children = Elements({letter: letter for letter in kind.coordinates})
        self.tags = [QUALIFIED + letter for letter in kind.coordinates]
        self.no_attributes = {letter: Attributes(f"{self.path}/{letter}", ()) for letter in kind.coordinates}
        self.paths = (self.path, *(f"{self.path}/{letter}" for letter in kind.coordinates))


class ValueReader:
    """Reads the children of `ColorValues` into an object's record.

    `known` has for each qualified name what reads the element, and the kind that it reads it as.
    """

    def __init__(self, ledger: Ledger, options: Options) -> None:
        self._ledger = ledger
        self._comma = options.decimal_comma
        reader = spectra.SpectrumReader(ledger, options)
        elements = [_ColourElement(name, kind) for name, kind in colours.KINDS.items()]
        known: dict[str, Handler] = {each.name: (self._colour, each) for each in elements}
        known |= {name: (reader.even, kind) for name, kind in spectra.KINDS.items()}
        known |= {"CustomSpectrum": (reader.custom, "CustomSpectrum")}
        known |= {name: (self._aside, name) for name in _ASIDE + _ASIDE_TOO}
        known |= {name: (self._private, name) for name in _PRIVATE}
        table = Elements(known)
        self._respelled = table.respelled
        self.known = table.exact

    def read_other(self, element: etree._Element, record: ObjectRecord) -> None:
        """Read a child of `ColorValues` whose name is not among the known ones, but may be spelled otherwise.

        Raises:
            Refused: numbers that are not numbers.
        """
        respelled = self._respelled(element.tag)
        if respelled is None:
            self._ledger.drop_unknown(element, PATH, record.where)
            return
        meant, (read, kind) = respelled
        self._ledger.respelling(element.tag, meant, record.where)
        read(element, record, kind)

    def _colour(self, element: etree._Element, record: ObjectRecord, kind: _ColourElement) -> None:
        ledger, where = self._ledger, record.where
        paths: list[Paths] = []
        written = ledger.attributes(element, kind.attributes, where, paths)
        children = list(element)
        found = plain_texts(children) if [child.tag for child in children] == kind.tags else None
        between = element.text
        if found is None or (between and not between.isspace()):
            texts = self._coordinates(element, kind, where)
            found = [texts.get(letter, "") for letter in kind.kind.coordinates]
            if not all(found):
                self._incomplete(kind, list(texts), paths, where)
                return
        part = self._part(kind, written, found, where)
        if part is None:
            self._incomplete(kind, list(kind.kind.coordinates), paths, where)
        else:
            ledger.seen += paths
            record.colours.append(part)

    def _coordinates(self, element: etree._Element, kind: _ColourElement, where: str) -> dict[str, str]:
        ledger = self._ledger
        texts: dict[str, str] = {}
        exact = kind.children.exact
        between = [element.text]
        for child in element:
            letter = exact.get(child.tag) or self._letter(child, kind, where)
            between.append(child.tail)
            if letter is None:
                continue
            if letter in texts:
                raise Refused(f"{kind.name} states {letter} twice", where=where)
            if child.keys():
                ledger.attributes(child, kind.no_attributes[letter], where, ledger.seen)
            text = leaf_text(child, f"{kind.path}/{letter}", ledger, where) if len(child) else child.text
            texts[letter] = text.strip() if text else ""
        ledger.strays(between, kind.path, where)
        return texts

    def _letter(self, child: etree._Element, kind: _ColourElement, where: str) -> str | None:
        respelled = kind.children.respelled(child.tag)
        if respelled is None:
            self._ledger.drop_unknown(child, kind.path, where)
            return None
        self._ledger.respelling(child.tag, f"{kind.name}/{respelled[0]}", where)
        return respelled[0]

    def _part(self, kind: _ColourElement, written: dict[str, str], texts: list[str], where: str) -> ColourPart | None:
        try:
            numbers = numbers_of(" ".join(texts), comma=self._comma)
        except Refused as fault:
            raise Refused(f"{kind.name}: {fault.what}", where=where, remedy=fault.remedy) from None
        if len(numbers.values) != 3:
            raise Refused(f"{kind.name}: a coordinate does not hold exactly one number", where=where)
        if not kind.kind.in_range(numbers.values):
            self._out_of_range(kind, where)
        values, decimals, originals = numbers.values, numbers.decimals, None
        convert = kind.kind.convert
        if convert is not None:
            if kind.kind.member == "xyz" and not colours.is_colour(values):
                return None
            each = [numbers_of(text, comma=self._comma).decimals for text in texts]
            restated, decimals = convert(values, each)
            values = list(restated)
            originals = dict(zip(kind.paths[1:], texts, strict=True))
        first, second, third = plain(values)
        return ColourPart(
            kind.name,
            written.get("ColorSpecification", "").strip(),
            written.get("Name", ""),
            kind.kind.member,
            (first, second, third),
            decimals,
            numbers.cut,
            kind.paths,
            originals,
        )

    def _incomplete(self, kind: _ColourElement, letters: list[str], written: list[Paths], where: str) -> None:
        """Account for a colour that lacks a coordinate or is none: half a colour is left out, not filled up."""
        reason = "not a whole colour: a coordinate is missing or empty, or y is 0"
        for path in (*(path for each in written for path in each), kind.path):
            self._ledger.dropped(path, "colour-incomplete", reason, where=where)
        for letter in letters:
            self._ledger.dropped(f"{kind.path}/{letter}", "colour-incomplete", reason, where=where)

    def _out_of_range(self, kind: _ColourElement, where: str) -> None:
        message = f"a {kind.name} has a coordinate outside the range of CxF3"
        self._ledger.notice("colour-out-of-range", where, message, "Look at the reading")

    def _aside(self, element: etree._Element, record: ObjectRecord, name: str) -> None:
        texts = _FLATTENER.flatten(element, f"{PATH}/{name}", self._ledger, record.where)
        self._ledger.aside.append(tuple(texts.paths))
        number = 1 + sum(key.startswith(f"{name}[") for key in record.other)
        record.other |= {f"{name}[{number}]/{key}": text for key, text in texts.fields.items()}

    def _private(self, element: etree._Element, record: ObjectRecord, name: str) -> None:
        reason = "encrypted by the program that wrote it"
        self._ledger.drop_tree(element, f"{PATH}/{name}", "encrypted", reason, record.where)
        self._ledger.notice(
            "encrypted", record.where, f"a {name} is encrypted and was not read", "Export without encryption"
        )
