"""The cells of a table, taken from the case; whatever is taken is marked as written in the same step."""

from collections.abc import Mapping
from typing import Any, Final

from shadefmt.converters.cgats import layout
from shadefmt.converters.cgats.options import OWN_FIELDS
from shadefmt.converters.cgats.shapes import CONDITIONS, Row, Shape
from shadefmt.converters.leaving import Leaving, Path, Reason
from shadefmt.converters.numerals import number_texts, short

_UNWRITABLE: Final = Reason(
    "text-of-several-lines", "a text with line ends or control characters has no place in a row"
)
_DECIMALS: Final = Reason("beyond-decimals", "the number has more decimals than its block states")
_DIGITS: Final = "as many decimals as the numbers are written with"
_COLOUR: Final = {
    "illuminant": "header/WEIGHTING_FUNCTION",
    "observer": "header/WEIGHTING_FUNCTION",
    "origin": "header/COLOUR_ORIGIN",
}
_GRID: Final = {
    "quantity": "header/SPECTRAL_QUANTITY",
    "start_nm": "header/SPECTRAL_START_NM",
    "step_nm": "header/SPECTRAL_STEP_NM",
}
_NAMED: Final = {**_GRID, "wavelengths_nm": "fields/SPECTRAL_NM*", "values": "fields/SPECTRAL_NM*"}
_PAIRS: Final = {**_GRID, "wavelengths_nm": "fields/SPECTRAL_NM", "values": "fields/SPECTRAL_DEC"}
_READING: Final = ("id", "specimen_id", "zone", "column", "region", "role")
_SPECIMEN: Final = {"specimen": "kind", "tooth": "tooth"}


class Marking:
    """Gives the cells of rows and marks where they came from."""

    def __init__(self, case: Mapping[str, Any], leaving: Leaving) -> None:
        self._case = case
        self._leaving = leaving

    def envelope(self) -> None:
        """Mark what every case says of itself."""
        for name in ("format", "version", "kind"):
            self._leaving.restated((name,), "identifier", "the file says what it is in the words of CGATS")
        self._leaving.wrote(("id",), "header/CASE_ID")

    def texts(self, row: Row) -> dict[str, str]:
        """Return what says which reading a row is, by member of `OWN_FIELDS`."""
        made = self._texts("readings", row.reading, {name: name for name in _READING})
        if row.specimen is not None:
            self._leaving.wrote(("specimens", row.specimen, "id"), f"fields/{OWN_FIELDS['specimen_id']}")
            made |= self._texts("specimens", row.specimen, _SPECIMEN)
        return made

    def _texts(self, entries: str, place: int, names: Mapping[str, str]) -> dict[str, str]:
        entry = self._case[entries][place]
        made = {}
        for member, name in names.items():
            if name not in entry:
                continue
            if layout.one_line(entry[name]):
                made[member] = entry[name]
                self._leaving.wrote((entries, place, name), f"fields/{OWN_FIELDS[member]}")
            else:
                self._leaving.left((entries, place, name), _UNWRITABLE)
        return made

    def header(self, shape: Shape, rows: list[Row]) -> None:
        """Mark what the header of a table says of its rows."""
        for row in rows:
            if shape.backing is not None:
                self._leaving.wrote(("readings", row.reading, "backing"), "header/SAMPLE_BACKING")
        for place in dict.fromkeys(row.instrument for row in rows):
            for name, value in zip(CONDITIONS, shape.conditions, strict=True):
                if place is None or value is None:
                    continue
                path: Path = ("instruments", place, name)
                if name == "model" and not layout.one_line(value):
                    self._leaving.left(path, _UNWRITABLE)
                else:
                    self._leaving.wrote(path, f"header/{layout.KEYWORDS[name]}")

    def colour(self, row: Row, shape: Shape) -> list[str]:
        """Return the coordinates of a row."""
        if row.colour is None:
            return []
        path: Path = ("readings", row.reading, "colours", row.colour)
        colour = self._case["readings"][row.reading]["colours"][row.colour]
        self._leaving.wrote_members(path, _COLOUR)
        self._leaving.restated((*path, "decimals"), "fields", _DIGITS)
        cells = []
        for member in shape.members:
            fields = layout.COORDINATES[member]
            for letter in fields:
                cells += self._numbers((*path, member, letter), [colour[member][letter]], colour["decimals"])
            self._leaving.wrote_members((*path, member), {letter: f"fields/{name}" for letter, name in fields.items()})
        return cells

    def spectrum(self, row: Row, shape: Shape, *, pairs: bool) -> list[str]:
        """Return the spectral values of a row, each behind its wavelength where `pairs` says so."""
        if not shape.waves:
            return []
        path: Path = ("readings", row.reading, "spectrum")
        spectrum = self._case["readings"][row.reading]["spectrum"]
        cells = self._numbers((*path, "values"), spectrum["values"], spectrum["decimals"])
        targets = _PAIRS if pairs else _NAMED
        self._leaving.wrote_members(path, {name: to for name, to in targets.items() if name in spectrum})
        self._leaving.restated((*path, "decimals"), "fields", _DIGITS)
        if not pairs:
            return cells
        return [cell for wave, value in zip(shape.waves, cells, strict=True) for cell in (short(wave), value)]

    def _numbers(self, path: Path, values: list[float], decimals: int) -> list[str]:
        texts = number_texts(values, decimals)
        for text, value in zip(texts, values, strict=True):
            if float(text) != value:
                self._leaving.rounded(path, _DECIMALS, old=short(value), new=text)
        return texts
