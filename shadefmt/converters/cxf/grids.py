"""Wavelengths of a spectrum: its own start, else the specification's; the step never assumed."""

from typing import Any

from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.numbers import plain
from shadefmt.converters.cxf.parts import SpectrumPart
from shadefmt.converters.cxf.specifications import Specification

USUAL_STEPS_NM = (1, 2, 5, 10, 20)
"""Increments that CxF3 provides for."""

SHORTEST_NM, LONGEST_NM = 300.0, 830.0
"""Outside this a grid is worth a look: CIE colour-matching functions end at 830 nm; the lower one is our choice."""


SPECTRUM_PATHS = {
    "reflectance-factor": "Object/ColorValues/ReflectanceSpectrum",
    "transmittance-factor": "Object/ColorValues/TransmittanceSpectrum",
}
"""Elements with a list of values, by what the values are."""


def grid_of(part: SpectrumPart, specification: Specification | None, ledger: Ledger, where: str) -> dict[str, Any]:
    """Return the members of a spectrum that state its wavelengths; empty where they are not known."""
    if part.wavelengths_nm is not None:
        _look(part.wavelengths_nm[0], part.wavelengths_nm[-1], ledger, where)
        return {"wavelengths_nm": part.wavelengths_nm}
    start = _chosen("StartWL", part.start_nm, specification.start_nm if specification else None, ledger, where)
    step = _chosen("Increment", part.step_nm, specification.step_nm if specification else None, ledger, where)
    if start is None or step is None:
        missing = "first wavelength" if step is not None else "wavelength step"
        name = f"ColorSpecification {specification.id}" if specification else "a spectrum without specification"
        ledger.notice(
            "grid-unknown",
            where,
            f"no {missing} is stated ({name}); the values were kept without wavelengths",
            "Ask whoever exported the file for first wavelength and step; neither is ever assumed",
        )
        _keep(part, ledger)
        return {}
    if step not in USUAL_STEPS_NM:
        message = f"the wavelength step of {step:g} nm is none of 1, 2, 5, 10, 20"
        ledger.notice("step-unusual", where, message, "Nothing to do if it is right")
    _look(start, start + (len(part.values) - 1) * step, ledger, where)
    first, distance = plain([start, step])
    return {"start_nm": first, "step_nm": distance}


def _keep(part: SpectrumPart, ledger: Ledger) -> None:
    """Keep aside what a spectrum does state of a grid that is not known."""
    for attribute, value in (("StartWL", part.start_nm), ("Increment", part.step_nm)):
        if value is not None and part.quantity is not None:
            path = f"{SPECTRUM_PATHS[part.quantity]}/@{attribute}"
            part.texts = {**(part.texts or {}), path: f"{value:g}"}
            ledger.moved_aside(path)


def _chosen(name: str, own: float | None, specified: float | None, ledger: Ledger, where: str) -> float | None:
    if own is None:
        return specified
    if specified is not None and own != specified:
        message = f"{name} is {own:g} on a spectrum and {specified:g} in its specification; its own was used"
        code = "grid-start-conflict" if name == "StartWL" else "grid-step-conflict"
        ledger.notice(code, where, message, "Make sure which is right before colours are computed")
    return own


def _look(first: float, last: float, ledger: Ledger, where: str) -> None:
    if first < SHORTEST_NM or last > LONGEST_NM:
        message = f"a spectrum reaches from {first:g} to {last:g} nm"
        ledger.notice("grid-unusual", where, message, "Make sure that start and step are right")
