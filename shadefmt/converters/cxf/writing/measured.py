"""The numbers of one reading as elements: spectra and colours, and which of them CxF3 can hold."""

from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

from shadefmt.converters.cxf.grids import USUAL_STEPS_NM
from shadefmt.converters.cxf.writing.xmltext import PREFIX, attribute
from shadefmt.converters.leaving import Leaving, Path, Reason
from shadefmt.converters.numerals import number_texts, short

Value = Mapping[str, Any]

COORDINATES: Final = {
    "lab": ("ColorCIELab", {"L": "L", "a": "A", "b": "B"}),
    "xyz": ("ColorCIEXYZ", dict(zip("XYZ", "XYZ", strict=True))),
}
"""Element of each member of a colour, and the elements of its coordinates."""
ELEMENTS: Final = {"reflectance-factor": "ReflectanceSpectrum", "transmittance-factor": "TransmittanceSpectrum"}

_SAME_BASIS: Final = Reason(
    "second-colour", "a second colour of one reading for the same illuminant, observer and origin"
)
_NO_WAVES: Final = Reason(
    "wavelengths-unclear", "the wavelengths of the spectrum do not rise, or not one goes with each value"
)
_OUTSIDE: Final = Reason("outside-cxf", "CxF3 holds no value of this size there")
_DECIMALS: Final = Reason("beyond-decimals", "the number has more decimals than its block states")
_DIGITS: Final = "as many decimals as the numbers are written with"
_FIRST_NM: Final = range(360, 401)
_MOST_NM: Final = 1e6


class Shape(NamedTuple):
    """How a spectrum is written: as a list from `grid`, as a list without wavelengths, or as points at `waves`."""

    grid: tuple[int, int] | None
    waves: tuple[float, ...]


def shape_of(spectrum: Value, path: Path, leaving: Leaving) -> Shape | None:
    """Return how a spectrum can be written; None, and said, where it cannot."""
    start, step, stated = (spectrum.get(name) for name in ("start_nm", "step_nm", "wavelengths_nm"))
    decimals = spectrum["decimals"]
    within = round(min(spectrum["values"]), decimals) > -0.1 and round(max(spectrum["values"]), decimals) < 3
    if start is step is stated is None:
        if not within:
            leaving.left(path, _OUTSIDE)
        return Shape(None, ()) if within else None
    if stated is None and start in _FIRST_NM and step in USUAL_STEPS_NM and within:
        return Shape((int(spectrum["start_nm"]), int(spectrum["step_nm"])), ())
    waves = tuple(stated or ())
    count = len(spectrum["values"])
    if stated is None and start is not None and step is not None:
        waves = tuple(start + place * step for place in range(count))
    both = stated is not None and not start is step is None
    if both or len(waves) != count or sorted(set(waves)) != list(waves) or waves[-1] > _MOST_NM:
        leaving.left(path, _NO_WAVES)
        return None
    return Shape(None, waves)


def spectrum_lines(spectrum: Value, shape: Shape, specification: str, path: Path, leaving: Leaving) -> list[str]:
    """Return the lines of a spectrum, marked as written."""
    texts = _numbers(spectrum["values"], spectrum["decimals"], (*path, "values"), leaving)
    reference = attribute("ColorSpecification", specification)
    values = "Object/ColorValues"
    if shape.waves:
        points = [
            f"      <{PREFIX}:SpectralPoint{attribute('WL', short(wave))}>{text}</{PREFIX}:SpectralPoint>"
            for wave, text in zip(shape.waves, texts, strict=True)
        ]
        lines = [f"     <{PREFIX}:CustomSpectrum{reference}>", *points, f"     </{PREFIX}:CustomSpectrum>"]
        element, to = "CustomSpectrum", f"{values}/CustomSpectrum/SpectralPoint"
    else:
        element = ELEMENTS[spectrum["quantity"]]
        start = attribute("StartWL", str(shape.grid[0])) if shape.grid else ""
        lines = [f"     <{PREFIX}:{element}{start}{reference}>{' '.join(texts)}</{PREFIX}:{element}>"]
        to = f"{values}/{element}"
    targets = {
        "quantity": "ColorSpecification/MeasurementSpec/MeasurementType",
        "start_nm": f"{to}/@WL" if shape.waves else f"{to}/@StartWL",
        "step_nm": f"{to}/@WL" if shape.waves else "ColorSpecification/MeasurementSpec/WavelengthRange/@Increment",
        "wavelengths_nm": f"{to}/@WL",
        "values": to,
    }
    leaving.wrote_members(path, {name: target for name, target in targets.items() if name in spectrum})
    leaving.restated((*path, "decimals"), to, _DIGITS)
    return lines


def colours_of(reading: Value, path: Path, leaving: Leaving) -> list[tuple[int, list[str]]]:
    """Return the places of the colours that can be written, each with its members; what cannot is said."""
    found = []
    seen = set()
    for place, colour in enumerate(reading.get("colours", ())):
        here: Path = (*path, "colours", place)
        basis = (colour["illuminant"], colour["observer"], colour["origin"])
        members = [member for member in COORDINATES if member in colour]
        if members and basis in seen:
            leaving.left(here, _SAME_BASIS)
            continue
        held = [member for member in members if _fits(member, colour)]
        for member in members:
            if member not in held:
                leaving.left((*here, member) if held else here, _OUTSIDE)
        if held:
            seen.add(basis)
            found.append((place, held))
    return found


def _fits(member: str, colour: Value) -> bool:
    """Whether the coordinates keep to the bounds of the XML Schema once they are rounded."""
    bounded = "L" if member == "lab" else "XYZ"
    return all(round(colour[member][letter], colour["decimals"]) >= 0 for letter in bounded)


def colour_lines(colour: Value, members: Sequence[str], specification: str, path: Path, leaving: Leaving) -> list[str]:
    """Return the lines of a colour, marked as written; the name of each value is the origin of its numbers."""
    lines = []
    for member in members:
        name, letters = COORDINATES[member]
        made = [
            f"<{PREFIX}:{element}>{text}</{PREFIX}:{element}>"
            for letter, element in letters.items()
            for text in _numbers([colour[member][letter]], colour["decimals"], (*path, member, letter), leaving)
        ]
        lines += value_lines(name, colour["origin"], specification, made)
        targets = {letter: f"Object/ColorValues/{name}/{element}" for letter, element in letters.items()}
        leaving.wrote_members((*path, member), targets)
    mark_colour(colour, COORDINATES[members[0]][0], path, leaving)
    return lines


def value_lines(name: str, label: str, specification: str, coordinates: Sequence[str]) -> list[str]:
    """Return the line of one element of `ColorValues`."""
    named = attribute("Name", label) if label else ""
    start = f"     <{PREFIX}:{name}{named}{attribute('ColorSpecification', specification)}>"
    return [f"{start}{''.join(coordinates)}</{PREFIX}:{name}>"]


def mark_colour(colour: Value, name: str, path: Path, leaving: Leaving) -> None:
    """Mark what stands beside the numbers of a colour."""
    light = "ColorSpecification/TristimulusSpec"
    targets = {"illuminant": f"{light}/Illuminant", "observer": f"{light}/Observer"}
    leaving.wrote_members(path, {**targets, "origin": f"Object/ColorValues/{name}/@Name"})
    leaving.restated((*path, "decimals"), f"Object/ColorValues/{name}", _DIGITS)


def _numbers(values: list[float], decimals: int, path: Path, leaving: Leaving) -> list[str]:
    texts = number_texts(values, decimals)
    for text, value in zip(texts, values, strict=True):
        if float(text) != value:
            leaving.rounded(path, _DECIMALS, old=short(value), new=text)
    return texts
