"""Rules on the form of spectra and colours: grids, bases, decimals, and blocks that hold nothing."""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import Any, Final, NamedTuple

from shadefmt.model.colours import Colour, Spectrum
from shadefmt.model.reference_set import ReferenceSet
from shadefmt.rules.base import Hit, Matter, Rule

WIDEST_STEP_NM: Final = 20
"""Widest step for which ASTM E308 gives weighting factors."""

FIRST_NM, LAST_NM = 360, 830
"""Range of the CIE colour-matching functions, in nanometres."""


def spectrum_grid_unknown(matter: Matter) -> Iterator[Hit]:
    """A spectrum does not say at which wavelengths its values were taken."""
    for pointer, entry_id, spectrum in _spectra(matter):
        if spectrum.wavelengths_nm is None and (spectrum.start_nm is None or spectrum.step_nm is None):
            yield Hit(pointer, {"values": len(spectrum.values)}, entry_id)


def spectrum_grid_contradicts(matter: Matter) -> Iterator[Hit]:
    """A spectrum states two grids, or wavelengths that do not fit its values."""
    for pointer, entry_id, spectrum in _spectra(matter):
        given = spectrum.wavelengths_nm
        if given is None:
            continue
        if spectrum.start_nm is not None or spectrum.step_nm is not None:
            yield Hit(pointer, {"fault": "two grids are stated"}, entry_id)
        elif len(given) != len(spectrum.values):
            fault = f"{len(given)} wavelengths for {len(spectrum.values)} values"
            yield Hit(pointer, {"fault": fault}, entry_id)
        elif any(other <= one for one, other in pairwise(given)):
            yield Hit(pointer, {"fault": "the wavelengths do not rise"}, entry_id)


def spectrum_grid_unsuited(matter: Matter) -> Iterator[Hit]:
    """No colour can be computed from a spectrum's grid by ASTM E308."""
    for pointer, entry_id, spectrum in _spectra(matter):
        grid = _grid(spectrum)
        if grid is None:
            continue
        if grid.widest_step > WIDEST_STEP_NM + 1e-9 or grid.first < FIRST_NM or grid.last > LAST_NM:
            params = {"first": grid.first, "last": grid.last, "widest_step": round(grid.widest_step, 4)}
            yield Hit(pointer, params, entry_id)


def spectrum_range_short(matter: Matter) -> Iterator[Hit]:
    """A spectrum does not reach from 400 to 700 nm."""
    for pointer, entry_id, spectrum in _spectra(matter):
        grid = _grid(spectrum)
        if grid is not None and (grid.first > 400 or grid.last < 700):
            yield Hit(pointer, {"first": grid.first, "last": grid.last}, entry_id)


class Grid(NamedTuple):
    """First and last wavelength of a spectrum, and the widest step between two neighbours, in nanometres."""

    first: float
    last: float
    widest_step: float


def _grid(spectrum: Spectrum) -> Grid | None:
    """Return the grid of a spectrum where it is stated once and fits, else None."""
    given, start, step = spectrum.wavelengths_nm, spectrum.start_nm, spectrum.step_nm
    if given is not None:
        steps = [two - one for one, two in pairwise(given)]
        if start is not None or step is not None or len(given) != len(spectrum.values) or min(steps) <= 0:
            return None
        return Grid(given[0], given[-1], max(steps))
    if start is None or step is None:
        return None
    return Grid(start, start + step * (len(spectrum.values) - 1), step)


def _spectra(matter: Matter) -> Iterator[tuple[str, str, Spectrum]]:
    for index, reading in enumerate(matter.view.case.readings or ()):
        if reading.spectrum is not None:
            yield f"/readings/{index}/spectrum", reading.id, reading.spectrum


def colour_empty(matter: Matter) -> Iterator[Hit]:
    """A colour has neither CIELAB coordinates nor tristimulus values."""
    for pointer, entry_id, colour in _colours(matter):
        if colour.lab is None and colour.xyz is None:
            yield Hit(pointer, {}, entry_id)


def colour_basis_unknown(matter: Matter) -> Iterator[Hit]:
    """A colour does not say for which illuminant and observer it holds."""
    for pointer, entry_id, colour in _colours(matter):
        unknown = [each for each in ("illuminant", "observer") if getattr(colour, each) == "unknown"]
        if unknown:
            yield Hit(pointer, {"unknown": unknown}, entry_id)


def colour_stated_twice(matter: Matter) -> Iterator[Hit]:
    """A reading has two colours of one illuminant, observer and origin."""
    for index, reading in enumerate(matter.view.case.readings or ()):
        seen = set()
        for place, colour in enumerate(reading.colours or ()):
            basis = (colour.illuminant, colour.observer, colour.origin)
            if basis in seen:
                yield Hit(f"/readings/{index}/colours/{place}", {"basis": list(basis)}, reading.id)
            seen.add(basis)


def reading_empty(matter: Matter) -> Iterator[Hit]:
    """A reading holds neither a spectrum nor a colour nor a choice."""
    for index, reading in enumerate(matter.view.case.readings or ()):
        if reading.spectrum is None and reading.colours is None and reading.visual is None:
            yield Hit(f"/readings/{index}", {"reading": reading.id}, reading.id)


def visual_choice_empty(matter: Matter) -> Iterator[Hit]:
    """A choice by eye names no reference and does not say that none was close, or says both."""
    for index, reading in enumerate(matter.view.case.readings or ()):
        choice = reading.visual
        if choice is not None and (choice.chosen_id is None) != bool(choice.none_close):
            yield Hit(f"/readings/{index}/visual", {"reading": reading.id}, reading.id)


def origin_wrong(matter: Matter) -> Iterator[Hit]:
    """A mean or later computed colour claims to be something else than computed."""
    case = matter.view.case
    for name in ("means", "computed_colours"):
        for index, entry in enumerate(getattr(case, name) or ()):
            if entry.colour.origin != "computed":
                params = {"stated": entry.colour.origin}
                yield Hit(f"/{name}/{index}/colour/origin", params, entry.id)


def decimals_exceeded(matter: Matter) -> Iterator[Hit]:
    """A number has more decimals than its block says it was rounded to."""
    for pointer, entry_id, stated, decimals in _rounded(matter):
        for member, number in stated:
            if number is not None and round(number, decimals) != number:
                yield Hit(f"{pointer}/{member}", {"stated": number, "decimals": decimals}, entry_id)
                break


Rounded = tuple[str, str, Iterable[tuple[Any, Any]], int]
"""A place, the entry that holds it, members with their numbers, and the decimals stated for them."""

_SPREAD: Final = ("mcdm", "var_L", "var_a", "var_b", "cov_La", "cov_Lb", "cov_ab")


def _rounded(matter: Matter) -> Iterator[Rounded]:
    """Yield every group of numbers that states its decimals."""
    for pointer, entry_id, colour in _colours(matter):
        lab, xyz, decimals = colour.lab, colour.xyz, colour.decimals
        if lab is not None:
            yield f"{pointer}/lab", entry_id, (("L", lab.L), ("a", lab.a), ("b", lab.b)), decimals
        if xyz is not None:
            yield f"{pointer}/xyz", entry_id, (("X", xyz.X), ("Y", xyz.Y), ("Z", xyz.Z)), decimals
    if isinstance(matter.root, ReferenceSet):
        return
    for pointer, entry_id, spectrum in _spectra(matter):
        yield f"{pointer}/values", entry_id, enumerate(spectrum.values), spectrum.decimals
    for index, mean in enumerate(matter.view.case.means or ()):
        if mean.spread is not None:
            stated = [(each, getattr(mean.spread, each)) for each in _SPREAD]
            yield f"/means/{index}/spread", mean.id, stated, mean.spread.decimals
    for index, comparison in enumerate(matter.view.case.comparisons or ()):
        stated = [("difference", comparison.difference)]
        yield f"/comparisons/{index}", comparison.id, stated, comparison.decimals


def _colours(matter: Matter) -> Iterator[tuple[str, str, Colour]]:
    """Yield every colour of a case or a reference set."""
    if isinstance(matter.root, ReferenceSet):
        for index, reference in enumerate(matter.root.references):
            yield f"/references/{index}/colour", reference.id, reference.colour
        return
    case = matter.view.case
    for index, reading in enumerate(case.readings or ()):
        for place, colour in enumerate(reading.colours or ()):
            yield f"/readings/{index}/colours/{place}", reading.id, colour
    for name in ("computed_colours", "means", "targets"):
        for index, entry in enumerate(getattr(case, name) or ()):
            yield f"/{name}/{index}/colour", entry.id, entry.colour
    for index, embedded in enumerate(case.reference_sets or ()):
        for place, reference in enumerate(embedded.references):
            yield f"/reference_sets/{index}/references/{place}/colour", reference.id, reference.colour


RULES: Final[dict[str, Rule]] = {
    "spectrum-grid-unknown": spectrum_grid_unknown,
    "spectrum-grid-contradicts": spectrum_grid_contradicts,
    "spectrum-grid-unsuited": spectrum_grid_unsuited,
    "spectrum-range-short": spectrum_range_short,
    "colour-empty": colour_empty,
    "colour-basis-unknown": colour_basis_unknown,
    "colour-stated-twice": colour_stated_twice,
    "reading-empty": reading_empty,
    "visual-choice-empty": visual_choice_empty,
    "origin-wrong": origin_wrong,
    "decimals-exceeded": decimals_exceeded,
}
