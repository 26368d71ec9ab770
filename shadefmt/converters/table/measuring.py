"""Mapped colours and spectra, made ready for one table."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any, Final

from shadefmt.converters.table.colours import LETTERS, ColourColumns
from shadefmt.converters.table.columns import Columns
from shadefmt.converters.table.fields import Field
from shadefmt.converters.table.measured import NumberColumns, SpectrumColumns
from shadefmt.converters.table.members import member_of
from shadefmt.converters.table.slots import SlotColumns
from shadefmt.errors import Refused, WrongUse
from shadefmt.jsontext.numbers import integral
from shadefmt.limits import MAX_DECIMALS
from shadefmt.model.table_mapping import MappedColour, MappedColumn, MappedSpectrum

_HELD: Final = ("illuminant", "observer", "origin")


@dataclass(frozen=True)
class Measures:
    """Makes colours and spectra of the columns of one table."""

    columns: Columns
    skipped: frozenset[int]
    """Columns that are no band whatever their header."""

    def colour(self, slot: SlotColumns, words: dict[str, Field]) -> ColourColumns:
        """Return one colour of a reading; `words` are the columns of illuminant, observer and origin."""
        colour = slot.colour
        title = f"colour {colour.name}" if colour.name else "colour"
        coordinates = {}
        for space, letters in LETTERS.items():
            chosen = [slot.coordinates.get(f"{space}.{letter}") for letter in letters]
            columns = [column for column in chosen if column is not None]
            if columns and len(columns) < len(letters):
                raise WrongUse(f"the mapping gives some of {', '.join(letters)} of the {title}: give all")
            if columns:
                coordinates[space] = self._coordinates(colour, columns, title)
        stated = {name: getattr(colour, name) for name in _HELD if getattr(colour, name)}
        for name in _HELD:
            if name not in stated and name not in words:
                raise WrongUse(f"the mapping does not state the {name} of the {title}")
        return ColourColumns(coordinates, stated, words)

    def _coordinates(self, colour: MappedColour, columns: Sequence[MappedColumn], title: str) -> NumberColumns:
        shifts = {self.columns.shift(column) for column in columns}
        if len(shifts) > 1:
            raise WrongUse(f"the mapping gives the coordinates of the {title} in different units")
        shift = shifts.pop()
        header = self.columns.header
        indexes = tuple(map(header.find, columns))
        labels = tuple(map(header.label, indexes))
        reader, figure = self.columns.numbers(shift)
        return NumberColumns(
            what=title,
            indexes=indexes,
            labels=labels,
            paths=labels,
            targets=tuple(member_of(column.member).target for column in columns),
            reader=reader,
            figure=figure,
            decimals=colour.decimals,
            told=f"from {columns[0].unit}" if shift else "",
            required=bool(colour.required or any(column.required for column in columns)),
        )

    def spectrum(self, spectrum: MappedSpectrum) -> SpectrumColumns:
        """Return the spectrum of a reading, its bands in order of wavelength."""
        if spectrum.unit is None or spectrum.quantity is None:
            lacking = "quantity" if spectrum.quantity is None else "unit"
            raise WrongUse(f"the mapping does not state the {lacking} of the spectrum")
        bands = sorted(self._bands(spectrum), key=lambda band: band[1])
        header = self.columns.header
        for (index, low), (other, high) in pairwise(bands):
            if low == high:
                raise Refused(
                    f"{header.label(index)} and {header.label(other)} have the same wavelength",
                    where=f"line {header.line}",
                    remedy="list the bands in the mapping by column_number",
                )
        indexes = tuple(index for index, _ in bands)
        labels = tuple(map(header.label, indexes))
        percent = spectrum.unit == "percent"
        shift = -2 if percent else 0
        reader, figure = self.columns.numbers(shift, percent=percent)
        numbers = NumberColumns(
            what="spectrum",
            indexes=indexes,
            labels=labels,
            paths=(f"{labels[0]} to {labels[-1]}",) * len(bands),
            targets=("/readings/*/spectrum/values/*",) * len(bands),
            reader=reader,
            figure=figure,
            decimals=None if spectrum.decimals is None else min(spectrum.decimals - shift, MAX_DECIMALS),
            told="from percent to factor" if percent else "",
            required=bool(spectrum.required),
        )
        grid = _grid([wavelength for _, wavelength in bands])
        return SpectrumColumns(numbers, {"quantity": spectrum.quantity, **grid}, spectrum.unit)

    def _bands(self, spectrum: MappedSpectrum) -> list[tuple[int, Decimal]]:
        header = self.columns.header
        if spectrum.bands is not None:
            if spectrum.header_prefix or spectrum.header_suffix:
                raise WrongUse("the mapping gives bands and a pattern of headers for one spectrum: give one")
            return [(header.find(band), Decimal(repr(band.wavelength_nm))) for band in spectrum.bands]
        found = header.wavelengths(spectrum.header_prefix or "", spectrum.header_suffix or "")
        bands = [(index, Decimal(text)) for index, text in found if index not in self.skipped]
        if len(bands) < 2:
            pattern = f"{spectrum.header_prefix or ''}(wavelength){spectrum.header_suffix or ''}"
            raise Refused(
                f"{len(bands) or 'no'} headers are of the form {pattern!r}; a spectrum has two or more",
                where=f"line {header.line}",
                remedy="mend header_prefix and header_suffix in the mapping, or list the bands",
            )
        return bands


def _grid(wavelengths: Sequence[Decimal]) -> dict[str, Any]:
    steps = {high - low for low, high in pairwise(wavelengths)}
    if len(steps) == 1:
        return {"start_nm": integral(float(wavelengths[0])), "step_nm": integral(float(steps.pop()))}
    return {"wavelengths_nm": [integral(float(wavelength)) for wavelength in wavelengths]}
