"""Spectral fields of CGATS: names with a wavelength in them, in the spellings that occur, and the grid they make."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any, Final, NamedTuple

from shadefmt.converters.cgats.header import Header, named
from shadefmt.converters.cgats.ledger import Ledger
from shadefmt.converters.cgats.numbers import number_of
from shadefmt.errors import Refused
from shadefmt.jsontext.numbers import integral
from shadefmt.vocabulary import SpectralQuantity

ROUNDING_NM: Final = Decimal("0.51")
"""Most that a wavelength in a name, rounded to whole nanometres, may lie from the one it stands for."""

_NAME: Final = re.compile(
    r"((?:(?:SPECTRAL|SPECTRUM|SPEC|NM|REFLECTANCE|TRANSMITTANCE|PCT|DEC|R)[_ ]?)*)([0-9]{3,4}(?:\.[0-9]+)?)([_ ]?NM)?"
)
_SURE: Final = re.compile(r"SPEC|NM|PCT|DEC|ANCE")
_PLAUSIBLE_NM: Final = (200, 2600)


class SpectralName(NamedTuple):
    """What a field name says: wavelength in nanometres, spelling without it, and scale and quantity where stated."""

    wavelength: Decimal
    family: str
    percent: bool | None
    quantity: SpectralQuantity | None


@dataclass(frozen=True)
class GridHeader:
    """What the header of a table says of the grid; None where it says nothing."""

    start: float | None
    end: float | None
    step: float | None
    bands: int | None
    line: int


def spectral_name(name: str, *, comma: bool = False) -> SpectralName | None:
    """Return what a field name says of a spectral value, None where it names none."""
    plain = name.strip().upper()
    found = _NAME.fullmatch(plain.replace(",", ".") if comma else plain)
    if found is None:
        return None
    wavelength = Decimal(found[2])
    head, tail = found[1], found[3] or ""
    if not _SURE.search(head + tail) and not _PLAUSIBLE_NM[0] <= wavelength <= _PLAUSIBLE_NM[1]:
        return None
    percent = True if "PCT" in head else False if "DEC" in head else None
    quantity: SpectralQuantity | None = None
    if "REFLECTANCE" in head or re.search(r"(?<![A-Z])R[_ ]?$", head):
        quantity = "reflectance-factor"
    elif "TRANSMITTANCE" in head:
        quantity = "transmittance-factor"
    return SpectralName(wavelength, f"{head}*{tail}", percent, quantity)


def grid_header(header: Header, *, comma: bool) -> GridHeader:
    """Return what a header says of the grid of its spectra.

    Raises:
        Refused: a value that is no number.
    """
    settings = header.settings()
    found: dict[str, float] = {}
    line = 0
    for name in ("SPECTRALSTARTNM", "SPECTRALENDNM", "SPECTRALSTEPNM", "SPECTRALBANDS"):
        for setting in named(settings, name):
            line = setting.entry.line
            try:
                value = number_of(setting.text.strip('"'), comma=comma and "," in setting.text)
            except Refused as fault:
                raise Refused(
                    f"{setting.entry.keyword}: {fault.what}", where=f"line {line}", remedy=fault.remedy
                ) from None
            if found.setdefault(name, value) != value:
                raise Refused(f"{setting.entry.keyword} is stated twice", where=f"line {line}", remedy="Keep one")
    bands = found.get("SPECTRALBANDS")
    return GridHeader(
        found.get("SPECTRALSTARTNM"),
        found.get("SPECTRALENDNM"),
        found.get("SPECTRALSTEPNM"),
        int(bands) if bands is not None else None,
        line,
    )


def grid_of(waves: Sequence[Decimal], header: GridHeader, ledger: Ledger, where: str) -> dict[str, Any]:
    """Return the members of a spectrum that say where its values lie, for rising wavelengths.

    Names may be rounded: where the header states start, end and number of bands, or start and step, and they
    agree with the names, they hold. Names that lie evenly are believed against the header.

    Raises:
        Refused: the header contradicts names that lie unevenly, or a wavelength is there twice.
    """
    if any(one >= other for one, other in pairwise(waves)):
        raise Refused("a wavelength is there twice", where=where, remedy="Have each spectrum in fields of its own")
    if header.bands is not None and header.bands != len(waves):
        message = f"SPECTRAL_BANDS says {header.bands}, there are {len(waves)} spectral fields"
        ledger.notice("count-mismatch", f"line {header.line}", message, "The fields that are there were read")
    even = _even(waves)
    stated = _stated(waves, header, even)
    if stated is not None:
        return {"start_nm": integral(stated[0]), "step_nm": integral(stated[1])}
    contradiction = _contradiction(waves, header)
    if contradiction and even is None:
        remedy = "Names may be rounded: ask whoever exported the file where the bands lie"
        raise Refused(contradiction, where=where, remedy=remedy)
    if contradiction:
        ledger.notice("grid-mismatch", where, f"{contradiction}; the names were believed", "Ask which of them holds")
    if even is not None:
        return {"start_nm": integral(float(waves[0])), "step_nm": integral(float(even))}
    if all(wave == wave.to_integral_value() for wave in waves):
        message = "wavelengths lie unevenly; if their names are rounded, the true ones are not known"
        remedy = "Have SPECTRAL_START_NM, SPECTRAL_END_NM and SPECTRAL_BANDS stated if the grid is even"
        ledger.notice("grid-uneven", where, message, remedy)
    return {"wavelengths_nm": [integral(float(wave)) for wave in waves]}


def _even(waves: Sequence[Decimal]) -> Decimal | None:
    """The step between wavelengths where it is the same throughout."""
    steps = {other - one for one, other in pairwise(waves)}
    return steps.pop() if len(steps) == 1 else None


def _stated(waves: Sequence[Decimal], header: GridHeader, even: Decimal | None) -> tuple[float, float] | None:
    """Start and step by the header, where it says more than evenly spaced names do and agrees with the names."""
    start, step = header.start, header.step
    if step is None and header.end is not None and header.bands == len(waves) and even is None and start is not None:
        step = round((header.end - start) / (len(waves) - 1), 9)
    if start is None or step is None or step <= 0:
        return None
    off = max(abs(float(wave) - (start + place * step)) for place, wave in enumerate(waves))
    return (float(start), float(step)) if off <= ROUNDING_NM else None


def _contradiction(waves: Sequence[Decimal], header: GridHeader) -> str:
    """What the header says of the ends or the number of bands against the names, nothing where they agree."""
    for stated, wave, word in ((header.start, waves[0], "START"), (header.end, waves[-1], "END")):
        if stated is not None and abs(float(wave) - stated) > ROUNDING_NM:
            return f"SPECTRAL_{word}_NM says {stated:g}, the field names {wave}"
    all_stated = header.start is not None and header.end is not None and header.bands == len(waves)
    if header.step is not None or (all_stated and _even(waves) is None):
        return "the field names do not lie as the header says"
    return ""
