"""Demands on the numbers: spectra, illuminant and observer, decimals."""

from collections.abc import Iterator
from itertools import pairwise

from shadefmt.chain.colours import spectrum_weights
from shadefmt.intake.looking import USUAL_KINDS, Look, Taken, Unmet
from shadefmt.model.colours import Colour, Spectrum
from shadefmt.model.reading_demands import BasisDemand, DecimalsDemand, SpectrumDemand

SLACK_NM = 1e-6
"""Wavelengths that differ by less are the same."""


def spectrum(look: Look, demand: SpectrumDemand) -> Iterator[Unmet]:
    """Readings come with a spectrum that is wide and fine enough."""
    wanted = f"{demand.from_nm:g} to {demand.to_nm:g} nm in steps of at most {demand.step_nm_at_most:g} nm"
    for taken in look.numeric(demand.specimen_kinds or USUAL_KINDS):
        found = _lacking(taken.reading.spectrum, demand)
        if found is not None:
            yield Unmet(taken.pointer, taken.reading.id, found, wanted, taken.reading.id)


def _lacking(stated: Spectrum | None, demand: SpectrumDemand) -> str | None:
    """Return what a spectrum is where it is not what is asked for, else None."""
    if stated is None:
        return "no spectrum"
    grid = _grid(stated)
    if grid is None:
        return "a spectrum whose wavelengths are not known"
    first, last, step = grid
    wide = first <= demand.from_nm + SLACK_NM and last >= demand.to_nm - SLACK_NM
    if wide and step <= demand.step_nm_at_most + SLACK_NM:
        return None
    return f"{first:g} to {last:g} nm in steps of {step:g} nm"


def _grid(stated: Spectrum) -> tuple[float, float, float] | None:
    """Return first and last wavelength and the largest step."""
    waves = stated.wavelengths_nm
    if waves is not None:
        return waves[0], waves[-1], max(after - before for before, after in pairwise(waves))
    if stated.start_nm is None or stated.step_nm is None:
        return None
    return stated.start_nm, stated.start_nm + stated.step_nm * (len(stated.values) - 1), stated.step_nm


def basis(look: Look, demand: BasisDemand) -> Iterator[Unmet]:
    """Readings have a colour for the illuminant and observer asked for, and for a second one."""
    origins = f", {' or '.join(demand.origins)}" if demand.origins else ""
    wanted = f"a colour for {demand.illuminant} and {demand.observer}{origins}"
    second = demand.second_illuminants
    for taken in look.numeric(demand.specimen_kinds or USUAL_KINDS):
        colours = [each for each in look.colours(taken) if each.observer == demand.observer]
        at_all = any(_fits(each, demand) for each in colours)
        if not at_all and not (demand.spectrum_suffices and _usable(taken, demand)):
            yield Unmet(taken.pointer, taken.reading.id, _shown(look.colours(taken)), wanted, taken.reading.id)
        if second is not None and not any(each.illuminant in second for each in colours):
            also = f"a colour for {' or '.join(second)} and {demand.observer}"
            yield Unmet(taken.pointer, taken.reading.id, _shown(look.colours(taken)), also, taken.reading.id)


def _fits(colour: Colour, demand: BasisDemand) -> bool:
    return colour.illuminant == demand.illuminant and (demand.origins is None or colour.origin in demand.origins)


def _usable(taken: Taken, demand: BasisDemand) -> bool:
    stated = taken.reading.spectrum
    return stated is not None and spectrum_weights(stated, demand.illuminant, demand.observer) is not None


def _shown(colours: list[Colour]) -> str:
    found = dict.fromkeys(f"{each.illuminant} and {each.observer}, {each.origin}" for each in colours)
    return f"colours for {'; '.join(found)}" if found else "no colour"


def decimals(look: Look, demand: DecimalsDemand) -> Iterator[Unmet]:
    """Every reading has a colour that is stated finely enough, and so has every target."""
    wanted = f"at least {demand.least} decimals"
    for taken in look.numeric():
        finest = max((each.decimals for each in look.colours(taken)), default=None)
        if finest is not None and finest < demand.least:
            yield Unmet(taken.pointer, taken.reading.id, f"{finest} decimals", wanted, taken.reading.id)
    for pointer, target in look.targets:
        if target.colour.decimals < demand.least:
            yield Unmet(pointer, target.id, f"{target.colour.decimals} decimals", wanted, target.id)
