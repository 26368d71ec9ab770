"""The numbers of one row: its spectrum and its colour, with the account of where they went."""

from collections import Counter
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Final, Literal

from shadefmt.colour.single import lch_to_lab, xyy_to_xyz
from shadefmt.converters.cgats.columns import Columns
from shadefmt.converters.cgats.facts import Facts
from shadefmt.converters.cgats.ledger import Ledger
from shadefmt.converters.cgats.numbers import Figures, figures_of
from shadefmt.converters.cgats.spectral_scale import PERCENT_ABOVE
from shadefmt.converters.cgats.wavelengths import GridHeader, grid_of
from shadefmt.errors import Refused, WrongUse
from shadefmt.jsontext.numbers import integral
from shadefmt.limits import MAX_DECIMALS, MAX_NUMBER
from shadefmt.vocabulary import SpectralQuantity

Value = dict[str, Any]

_KINDS: Final = {"lab": "lab", "xyz": "xyz", "lch": "lab", "xyy": "xyz"}
"""Kinds of colour by the member that they fill: as written first, then restated."""

_LETTERS: Final = {"lab": ("L", "a", "b"), "xyz": ("X", "Y", "Z")}
_REASONS: Final = {"lch": "a* and b* from C*ab and hue angle", "xyy": "X and Z from chromaticity"}
_LOW, _HIGH = -0.1, 3.0
"""Range of factors beyond which a spectrum is worth a word: that of the XML Schema of CxF3."""


@dataclass
class Measured:
    """Reads the numbers of the rows of one table.

    `quantity` is `light` where spectra have no member. `percent` says that they are divided by 100. `has_colours`
    tells, once rows are read, that one of them had a colour.
    """

    columns: Columns
    facts: Facts
    grid: GridHeader
    ledger: Ledger
    comma: bool
    percent: bool
    quantity: SpectralQuantity | Literal["light"]
    has_colours: bool = False
    _counts: Counter[tuple[str, str]] = field(default_factory=Counter)
    _grids: dict[tuple[str, ...], tuple[list[int], Value]] = field(default_factory=dict)

    def spectrum(self, cells: list[str], where: str) -> Value | None:
        """Return the spectrum of a row, None where it holds none.

        Raises:
            Refused: a value that is no number, a wavelength that is there twice.
        """
        fields = self.columns.spectrum
        if fields is None or self.quantity == "light":
            return None
        texts = [cells[place] for place in fields.values]
        if not any(texts):
            return None
        if not all(texts):
            self._incomplete(fields.values, cells, "a spectrum with gaps", where)
            return None
        grid = fields.grid
        if fields.waves:
            order, grid = self._own_grid(tuple(cells[place] for place in fields.waves), where)
            texts = [texts[place] for place in order]
        figures = self._figures(texts, fields.values, where, percent=self.percent)
        self._look(figures.values, where)
        paths = [fields.path] * len(texts)
        self._count("spectrum", paths, texts, figures, "percent" if self.percent else "kept", where)
        return {"quantity": self.quantity, **grid, "decimals": figures.decimals, "values": figures.values}

    def colours(self, cells: list[str], where: str) -> tuple[Value | None, Value]:
        """Return the colour block of a row, None where it holds none, and the texts of what is not in it."""
        block: Value | None = None
        aside: Value = {}
        for kind, member in _KINDS.items():
            places = self.columns.colours.get(kind)
            texts = [cells[place] for place in places] if places else []
            if not places or not any(texts):
                continue
            if not all(texts):
                self._incomplete(places, cells, "a colour without all three coordinates", where)
                continue
            figures = self._colour(kind, texts, places, where)
            if figures is None:
                continue
            if self._fits(block, member, figures, where):
                block = block or self._new_block(figures.decimals)
                block[member] = dict(zip(_LETTERS[member], figures.values, strict=True))
                self._look_at_colour(member, figures.values, where)
                self._count(kind, [self._path(place) for place in places], texts, figures, "kept", where)
            else:
                aside |= {self.columns.names[place]: cells[place] for place in places}
                self._counts[kind, "aside"] += 1
        self.has_colours = self.has_colours or block is not None
        return block, aside

    def _fits(self, block: Value | None, member: str, figures: Figures, where: str) -> bool:
        """Whether coordinates can be in the block of a row: of the format's scale, and with its decimals."""
        if member == "xyz" and not self.facts.xyz_normalised:
            message = "X, Y, Z are not on the scale of a case, where white has Y = 100; they were kept as texts"
            self.ledger.notice("xyz-not-normalised", where, message, "Have them exported with Y of white as 100")
            return False
        if block is None or (member not in block and block["decimals"] == figures.decimals):
            return True
        message = "further coordinates of a colour were kept as texts: a block of numbers has one number of decimals"
        self.ledger.notice("colour-kept-aside", where, message, "Nothing; the extension of the case holds them")
        return False

    def _new_block(self, decimals: int) -> Value:
        return {
            "illuminant": self.facts.illuminant,
            "observer": self.facts.observer,
            "decimals": decimals,
            "origin": self.facts.origin or "instrument",
        }

    def _colour(self, kind: str, texts: list[str], places: tuple[int, ...], where: str) -> Figures | None:
        """The coordinates of a colour in those of the format; None where it is none."""
        figures = self._figures(texts, places, where)
        if kind in ("lab", "xyz"):
            return figures
        each = [figures_of([text], comma=self.comma).decimals for text in texts]
        first, second, third = figures.values
        try:
            if kind == "lch":
                restated, decimals = lch_to_lab((first, second, third)), max(each)
            else:
                restated = xyy_to_xyz((first, second, third))
                decimals = max(0, min(max(each[:2]) - 2, each[2]))
        except (WrongUse, OverflowError):
            restated, decimals = (2 * MAX_NUMBER,) * 3, 0
        if not all(abs(value) <= MAX_NUMBER for value in restated):
            cells = dict(zip(places, texts, strict=True))
            self._incomplete(places, cells, "chromaticity that no colour has", where)
            return None
        return Figures([integral(round(float(value), decimals)) for value in restated], decimals, figures.cut)

    def _figures(self, texts: list[str], places: tuple[int, ...], where: str, *, percent: bool = False) -> Figures:
        try:
            return figures_of(texts, comma=self.comma, percent=percent)
        except Refused as fault:
            raise self._placed(texts, places, where, fault) from None

    def _placed(self, texts: list[str], places: tuple[int, ...], where: str, fault: Refused) -> Refused:
        """The refusal of the first text that is to blame, with its field."""
        for text, place in zip(texts, places, strict=True):
            try:
                figures_of([text], comma=self.comma)
            except Refused as own:
                return Refused(own.what, where=f"{where}, {self.columns.names[place]}", remedy=own.remedy)
        return Refused(fault.what, where=where, remedy=fault.remedy)

    def _own_grid(self, texts: tuple[str, ...], where: str) -> tuple[list[int], Value]:
        """Order of the values of a row and its grid, by the wavelengths that stand in the row itself."""
        found = self._grids.get(texts)
        if found is None:
            waves = [self._wave(text, where) for text in texts]
            order = sorted(range(len(waves)), key=waves.__getitem__)
            rising = [waves[place] for place in order]
            found = (order, grid_of(rising, self.grid, self.ledger, where))
            if len(self._grids) < 64:
                self._grids[texts] = found
        return found

    def _wave(self, text: str, where: str) -> Decimal:
        if not text:
            raise Refused("a value without its wavelength", where=where, remedy="Export the file again")
        number = self._figures([text], self.columns.spectrum.waves[:1] if self.columns.spectrum else (), where)
        if number.values[0] <= 0:
            raise Refused(f"{text!r} is no wavelength in nanometres", where=where, remedy="Look at the reading")
        return Decimal(repr(number.values[0]))

    def _look(self, values: list[float], where: str) -> None:
        high = max(values)
        if not self.percent and high > PERCENT_ABOVE and sorted(values)[len(values) // 2] > PERCENT_ABOVE:
            message = "values of a spectrum look like percent; they were read as factors, as nothing says percent"
            self.ledger.notice("looks-like-percent", where, message, "If they are percent, say so (percent)")
        elif self.percent and high <= PERCENT_ABOVE / 100:
            message = f"a spectrum read as percent has no value above {PERCENT_ABOVE} %"
            self.ledger.notice("not-like-percent", where, message, "If the file has factors, say so (percent=False)")
        elif high >= _HIGH or min(values) <= _LOW:
            message = f"a spectrum has factors outside {_LOW} to {_HIGH:g}"
            self.ledger.notice("spectrum-out-of-range", where, message, "Look at the reading")

    def _look_at_colour(self, member: str, values: list[float], where: str) -> None:
        if (member == "lab" and not 0 <= values[0] <= 120) or (member == "xyz" and min(values) < 0):
            message = "a colour has a coordinate out of the range of surfaces"
            self.ledger.notice("colour-out-of-range", where, message, "Look at the reading")

    def _incomplete(self, places: tuple[int, ...], cells: Any, what: str, where: str) -> None:
        for place in places:
            if cells[place]:
                self.ledger.lost(self._path(place), "dropped", "incomplete", what, where=where, old=cells[place])

    def _count(
        self, block: str, paths: list[str], texts: list[str], figures: Figures, outcome: str, where: str
    ) -> None:
        if not figures.cut:
            self._counts[block, outcome] += 1
            return
        reason = f"a block of numbers can state {MAX_DECIMALS} decimals at most"
        for path, old, new in zip(paths, texts, figures.values, strict=True):
            self.ledger.lost(path, "rounded", "decimals-cut", reason, where=where, old=old, new=str(new))

    def _path(self, place: int) -> str:
        return f"fields/{self.columns.names[place].upper()}"

    def account(self) -> None:
        """Count what became of the numbers of all rows."""
        for kind, places in self.columns.colours.items():
            member = _KINDS[kind]
            for place, letter in zip(places, _LETTERS[member], strict=True):
                self._account_colour(kind, self._path(place), f"/readings/*/colours/*/{member}", letter)
        spectrum = self.columns.spectrum
        if spectrum is None:
            return
        count, target = len(spectrum.values), "/readings/*/spectrum/values"
        self.ledger.kept(spectrum.path, target, count * self._counts["spectrum", "kept"])
        self.ledger.converted(spectrum.path, target, "percent to factor", count * self._counts["spectrum", "percent"])
        if spectrum.waves:
            rows = self._counts["spectrum", "kept"] + self._counts["spectrum", "percent"]
            self.ledger.kept("fields/SPECTRAL_NM", "/readings/*/spectrum", count * rows)

    def _account_colour(self, kind: str, path: str, target: str, letter: str) -> None:
        kept = self._counts[kind, "kept"]
        if kind in _REASONS:
            self.ledger.converted(path, target, _REASONS[kind], kept)
        else:
            self.ledger.kept(path, f"{target}/{letter}", kept)
        self.ledger.aside(path, self._counts[kind, "aside"])
