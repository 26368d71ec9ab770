"""The values of one reading and the specifications that they refer to."""

from collections.abc import Mapping
from typing import Any, Final
from xml.sax.saxutils import escape

from shadefmt.converters.cxf.conditions import illuminant_of, observer_of
from shadefmt.converters.cxf.writing import measured
from shadefmt.converters.cxf.writing.describing import ASSUMED, Conditions, Specifications, said_of, texts_of
from shadefmt.converters.cxf.writing.restoring import Kept
from shadefmt.converters.cxf.writing.xmltext import PREFIX
from shadefmt.converters.leaving import Leaving, Path, Reason

Value = Mapping[str, Any]
Basis = tuple[str, str]
Colours = list[tuple[int, list[str]]]
"""Places of the colours that are written, each with its members."""

_ANGLE: Final = Reason(
    "angle-configuration-assumed", "CxF3 asks whether the light comes from all around or from one side"
)
_BACKING: Final = "ColorSpecification/MeasurementSpec/Backing"
_Described = tuple[str, dict[str, str], frozenset[str]]
"""Id of a specification, its texts, and the members of the instrument that it says exactly."""


class Values:
    """Writes the values of readings of one case."""

    def __init__(self, case: Value, leaving: Leaving, specifications: Specifications, kept: Kept) -> None:
        self._case = case
        self._leaving = leaving
        self._specifications = specifications
        self._kept = kept
        self._described: dict[tuple[Any, ...], _Described] = {}
        self._assumed: set[int] = set()

    def lines(
        self,
        place: int,
        reading: Value,
        shape: measured.Shape | None,
        colours: Colours,
        device: int | None,
    ) -> tuple[list[str], frozenset[str]]:
        """Return the lines of `ColorValues`, and the members of the instrument that the specifications say."""
        kept = self._kept.of(reading["id"])
        names = self._kept.specification_ids(kept)
        blocks = [reading["colours"][number] for number, _ in colours]
        basis = (blocks[0]["illuminant"], blocks[0]["observer"]) if blocks else None
        lines: list[str] = []
        said: list[frozenset[str]] = []
        used: list[str] = []
        path: Path = ("readings", place)

        def described(basis: Basis | None, wished: str) -> str:
            identity, texts, exact = self._describe(reading, shape, basis, device, wished)
            self._kept.restored_specification(wished, texts, identity)
            said.append(exact)
            used.append(identity)
            return identity

        if shape is not None:
            wished = names[0] if names else ""
            name = described(self._basis_of(wished, basis), wished)
            lines += measured.spectrum_lines(reading["spectrum"], shape, name, (*path, "spectrum"), self._leaving)
        for (number, members), colour in zip(colours, blocks, strict=True):
            basis = (colour["illuminant"], colour["observer"])
            wished = next((name for name in names if self._basis_of(name, None) == basis), "")
            here: Path = (*path, "colours", number)
            lines += self._colour(reading["id"], kept, colour, members, described(basis, wished), here)
        lines += self._further(reading, kept, shape, device)
        if names and list(dict.fromkeys(used)) == names:
            self._kept.restored(reading["id"], "specification_ids", "Object/ColorValues/*/@ColorSpecification")
        if "backing" in reading:
            self._leaving.wrote((*path, "backing"), _BACKING)
        return lines, frozenset.intersection(*said)

    def _describe(
        self,
        reading: Value,
        shape: measured.Shape | None,
        basis: Basis | None,
        device: int | None,
        wished: str,
    ) -> _Described:
        quantity = reading["spectrum"]["quantity"] if shape is not None else ""
        grid = shape.grid if shape is not None else None
        key = (basis, quantity, grid, reading.get("backing"), device, wished)
        known = self._described.get(key)
        if known is None:
            entry = self._case["instruments"][device] if device is not None else {}
            source = self._kept.specification(wished)
            texts, assumed = texts_of(Conditions(basis, quantity, grid, reading.get("backing"), entry, source))
            said = frozenset(said_of(entry, texts))
            known = self._described[key] = (self._specifications.id_of(texts, wished), texts, said)
            if assumed and device is not None and device not in self._assumed:
                self._assumed.add(device)
                self._leaving.defaulted(("instruments", device, "geometry"), _ANGLE, new=ASSUMED)
        return known

    def _basis_of(self, name: str, otherwise: Basis | None) -> Basis | None:
        """The basis that a kept specification states."""
        texts = self._kept.specification(name)
        light, eye = (
            (texts.get(path), texts.get(f"{path}/@Name", ""))
            for path in ("TristimulusSpec/Illuminant", "TristimulusSpec/Observer")
        )
        if light[0] is None or eye[0] is None:
            return otherwise
        return illuminant_of(light[0], light[1]) or "unknown", observer_of(eye[0], eye[1]) or "unknown"

    def _colour(
        self, identity: str, kept: Value, colour: Value, members: list[str], specification: str, path: Path
    ) -> list[str]:
        written = self._kept.as_written(kept, members[0], colour) if len(members) == 1 else None
        if written is None:
            return measured.colour_lines(colour, members, specification, path, self._leaving)
        name, texts = written
        self._kept.restored_coordinates(identity, name, texts)
        self._leaving.restated((*path, members[0]), f"Object/ColorValues/{name}", "in the coordinates of the source")
        measured.mark_colour(colour, name, path, self._leaving)
        made = [f"<{PREFIX}:{letter}>{text.strip()}</{PREFIX}:{letter}>" for letter, text in texts.items()]
        return measured.value_lines(name, colour["origin"], specification, made)

    def _further(self, reading: Value, kept: Value, shape: measured.Shape | None, device: int | None) -> list[str]:
        lines: list[str] = []
        for each in self._kept.further_values(kept):
            basis = self._basis_of(each.specification, None)
            identity, texts, _ = self._describe(reading, shape, basis, device, each.specification)
            if identity != each.specification:
                continue
            self._kept.restored_specification(identity, texts, identity)
            made = [f"<{PREFIX}:{letter}>{escape(text)}</{PREFIX}:{letter}>" for letter, text in each.texts.items()]
            lines += measured.value_lines(each.name, each.label, identity, made)
            self._kept.restored_values(reading["id"], each)
        return lines
