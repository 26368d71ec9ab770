"""First links: a spectrum gives tristimulus values, and they give CIELAB."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from shadefmt.chain.links import Disagreement
from shadefmt.chain.rounding import SLACK, half_unit, rounded, shown
from shadefmt.colour.difference_single import ciede2000
from shadefmt.colour.single import lab_to_xyz, spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.weights import Weights, weights, weights_at, weights_of_spd, white_point
from shadefmt.errors import WrongUse
from shadefmt.indexing import CaseView
from shadefmt.model.colours import Colour, Lab, Spectrum, Xyz

Triple = tuple[float, float, float]

INSTRUMENT_SLACK: Final = 0.05
"""CIEDE2000 by which an instrument's own colour may differ from ours: finer grids, other white digits."""

WHITE_SLACK: Final = 0.001
"""Share of X and Z by which published white points of one illuminant differ (ASTM E308 tables)."""

WORST_PER_UNIT: Final = 2.1
"""Largest CIEDE2000 for one unit in each of L*, a*, b*: a* counts up to 1.5 times near grey (computed)."""


class SpectrumColour(NamedTuple):
    """What a spectrum gives for one illuminant and observer."""

    xyz: Triple
    lab: Triple


def lab_of(block: Lab) -> Triple:
    """Return the coordinates of a block."""
    return (block.L, block.a, block.b)


def xyz_of(block: Xyz) -> Triple:
    """Return the tristimulus values of a block."""
    return (block.X, block.Y, block.Z)


def expected_from_spectrum(spectrum: Spectrum, illuminant: str, observer: str) -> SpectrumColour | None:
    """Return what a stated spectrum gives; None where its grid or the basis do not allow it."""
    factors = spectrum_weights(spectrum, illuminant, observer)
    if factors is None:
        return None
    xyz = spectrum_to_xyz(spectrum.values, factors)
    return SpectrumColour(xyz, xyz_to_lab(xyz, factors.white))


def colour_under_own_light(
    spectrum: Spectrum, wavelengths: Sequence[float], powers: Sequence[float], observer: str
) -> SpectrumColour | None:
    """Return what a stated spectrum gives under a light of relative `powers`; None where its grid does not allow it.

    Raises:
        WrongUse: the light is none, or does not reach from 400 to 700 nm.
    """
    grid = spectrum.wavelengths_nm
    if grid is None and spectrum.start_nm is not None and spectrum.step_nm is not None:
        grid = [spectrum.start_nm + index * spectrum.step_nm for index in range(len(spectrum.values))]
    if grid is None or len(grid) != len(spectrum.values):
        return None
    factors = weights_of_spd(wavelengths, powers, observer, grid)
    xyz = spectrum_to_xyz(spectrum.values, factors)
    return SpectrumColour(xyz, xyz_to_lab(xyz, factors.white))


def spectrum_weights(spectrum: Spectrum, illuminant: str, observer: str) -> Weights | None:
    """Return the weighting factors that fit a spectrum's grid, None where there are none."""
    if "unknown" in (illuminant, observer):
        return None
    try:
        if spectrum.wavelengths_nm is not None:
            if len(spectrum.wavelengths_nm) != len(spectrum.values):
                return None
            return weights_at(illuminant, observer, tuple(spectrum.wavelengths_nm))
        if spectrum.start_nm is None or spectrum.step_nm is None:
            return None
        return weights(illuminant, observer, spectrum.start_nm, spectrum.step_nm, len(spectrum.values))
    except WrongUse:
        return None


def factors_fit(formula: str, factors: Triple) -> bool:
    """Return whether a formula has these parametric factors; CIELAB has none, so all must be 1."""
    return formula != "CIELAB" or factors == (1, 1, 1)


def links(view: CaseView) -> Iterator[Disagreement]:
    """Compare the colours of readings with their spectra, and tristimulus values with CIELAB everywhere."""
    for at, reading in enumerate(view.case.readings or ()):
        for place, colour in enumerate(reading.colours or ()):
            pointer = f"/readings/{at}/colours/{place}"
            if reading.spectrum is not None:
                yield from _against_spectrum(reading.spectrum, colour, pointer, reading.id)
            yield from _within(colour, pointer, reading.id)
    for at, later in enumerate(view.case.computed_colours or ()):
        pointer = f"/computed_colours/{at}/colour"
        source = view.find(later.reading_id, "readings")
        if source is not None and source.spectrum is not None:
            yield from _against_spectrum(source.spectrum, later.colour, pointer, later.id)
        yield from _within(later.colour, pointer, later.id)
    for name in ("means", "targets"):
        for at, entry in enumerate(getattr(view.case, name) or ()):
            yield from _within(entry.colour, f"/{name}/{at}/colour", entry.id)
    for at, embedded in enumerate(view.case.reference_sets or ()):
        for place, reference in enumerate(embedded.references):
            pointer = f"/reference_sets/{at}/references/{place}/colour"
            yield from _within(reference.colour, pointer, reference.id)


def _against_spectrum(spectrum: Spectrum, colour: Colour, pointer: str, entry_id: str) -> Iterator[Disagreement]:
    if colour.origin not in ("instrument", "computed"):
        return
    expected = expected_from_spectrum(spectrum, colour.illuminant, colour.observer)
    if expected is None:
        return
    if colour.origin == "instrument":
        yield from _instrument_against_spectrum(colour, expected, pointer, entry_id, spectrum)
        return
    allowed = half_unit(colour.decimals) + SLACK
    stated_and_expected = (
        ("lab", lab_of(colour.lab) if colour.lab else None, expected.lab),
        ("xyz", xyz_of(colour.xyz) if colour.xyz else None, expected.xyz),
    )
    for member, stated, right in stated_and_expected:
        if stated is not None and max(map(_distance, stated, right)) > allowed:
            params = {
                "stated": list(stated),
                "expected": shown(right, colour.decimals),
                "tolerance": half_unit(colour.decimals),
                "illuminant": colour.illuminant,
                "observer": colour.observer,
            }
            yield Disagreement(
                "colour-disagrees-with-spectrum", f"{pointer}/{member}", entry_id, params, (spectrum, colour)
            )


def _instrument_against_spectrum(
    colour: Colour, expected: SpectrumColour, pointer: str, entry_id: str, spectrum: Spectrum
) -> Iterator[Disagreement]:
    if colour.lab is None:
        return
    stated = lab_of(colour.lab)
    size = ciede2000(stated, expected.lab)
    allowed = INSTRUMENT_SLACK + WORST_PER_UNIT * half_unit(colour.decimals)
    if size > allowed:
        params = {
            "stated": list(stated),
            "expected": shown(expected.lab, colour.decimals),
            "difference": rounded(size, 2),
            "tolerance": rounded(allowed, 4),
            "illuminant": colour.illuminant,
            "observer": colour.observer,
        }
        yield Disagreement(
            "instrument-colour-differs-from-spectrum",
            f"{pointer}/lab",
            entry_id,
            params,
            (spectrum, colour),
        )


def _within(colour: Colour, pointer: str, entry_id: str) -> Iterator[Disagreement]:
    if colour.lab is None or colour.xyz is None or "unknown" in (colour.illuminant, colour.observer):
        return
    stated, xyz = lab_of(colour.lab), xyz_of(colour.xyz)
    white = white_point(colour.illuminant, colour.observer)
    expected = xyz_to_lab(xyz, white)
    allowed = _propagated(expected, white, colour)
    if any(_distance(one, other) > most for one, other, most in zip(stated, expected, allowed, strict=True)):
        params = {
            "stated": list(stated),
            "expected": shown(expected, colour.decimals),
            "tolerance": rounded(max(allowed), colour.decimals + 2),
        }
        yield Disagreement("xyz-disagrees-with-lab", pointer, entry_id, params, colour)


def _propagated(lab: Triple, white: Triple, colour: Colour) -> Triple:
    """Return how far L*, a*, b* may lie off because XYZ and they were rounded, worst cases added.

    The step goes down from XYZ, where the cube root is steeper than on the way up.
    """
    edge = half_unit(colour.decimals)
    slack = 0.0 if colour.origin == "computed" else WHITE_SLACK
    xyz = lab_to_xyz(lab, white)
    moved = [
        xyz_to_lab([value - (edge + slack * value if at == axis else 0.0) for at, value in enumerate(xyz)], white)
        for axis in range(3)
    ]
    spread = [sum(_distance(each[axis], lab[axis]) for each in moved) for axis in range(3)]
    L, a, b = (each + edge + SLACK for each in spread)
    return (L, a, b)


def _distance(one: float, other: float) -> float:
    return abs(one - other)
