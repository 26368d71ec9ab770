"""Under which conditions readings were taken, in words, and whether the file states them."""

from collections.abc import Iterable
from typing import NamedTuple

from shadefmt.indexing import CaseView
from shadefmt.model.context import Session
from shadefmt.model.measuring import Reading
from shadefmt.rendering.dates import time_words
from shadefmt.rendering.figures import as_given, counted, listed
from shadefmt.rendering.visible import flowing, visible
from shadefmt.rendering.words import GEOMETRIES, INSTRUMENTS, LAMPS, OBSERVERS, SPECULAR
from shadefmt.rendering.work_words import CALIBRATION, HYDRATION, ISOLATION, STATES

MOIST_KINDS = ("tooth", "stump", "gingiva")
"""Specimens of which a receiver has to know whether they were wet or dry."""


class Fact(NamedTuple):
    """Whether something is stated, and in which words."""

    stated: bool
    words: str


def wet_or_dry(view: CaseView, readings: list[Reading]) -> Fact:
    """Return the hydration of what lives in the mouth, or the state of what was made."""
    specimen = view.specimen_of(readings[0])
    if specimen is not None and specimen.kind not in MOIST_KINDS:
        states = _once(STATES[each.state] for each in readings if each.state is not None)
        stated = bool(states) and all(each.state not in (None, "unknown") for each in readings)
        return Fact(stated, listed(states) or "in which state it was read")
    words = _once(HYDRATION[each.hydration] for each in readings if each.hydration is not None)
    words += _once(_isolation(each) for each in readings if each.isolation is not None)
    known = all(each.hydration not in (None, "unknown") for each in readings)
    if known:
        return Fact(True, ", ".join(words))
    return Fact(False, f"whether it had dried ({', '.join(words)})" if words else "whether it had dried")


def _isolation(reading: Reading) -> str:
    words = ISOLATION[reading.isolation] if reading.isolation is not None else ""
    if reading.minutes_since_isolation is not None:
        minutes = as_given(reading.minutes_since_isolation)
        words += f", {minutes} {'minute' if minutes == '1' else 'minutes'} after isolation"
    return words


def calibration(view: CaseView, readings: list[Reading]) -> Fact | None:
    """Return when the instrument was calibrated; None for choices by eye, which need none."""
    if view.reading_kinds(readings) == {"eye"}:
        return None
    session = _session(view, readings)
    if session is None or session.calibration is None:
        return Fact(False, "when and how the instrument was calibrated")
    held = session.calibration
    return Fact(held.result != "unknown", f"{time_words(held.at)}, {CALIBRATION[held.result]}")


def barrier(view: CaseView, readings: list[Reading]) -> Fact | None:
    """Return whether the barrier sheath was on, for calibration and for readings; None for choices by eye."""
    if view.reading_kinds(readings) == {"eye"}:
        return None
    session = _session(view, readings)
    on_readings = session.barrier_fitted if session is not None else None
    held = session.calibration if session is not None else None
    on_calibration = held.barrier_fitted if held is not None else None
    if on_readings is None and on_calibration is None:
        return Fact(False, "whether a barrier sheath was on")
    words = f"sheath {_on(on_calibration)} for the calibration, {_on(on_readings)} for the readings"
    if session is not None and session.barrier_per_instructions:
        words += ", as the maker's instructions allow"
    return Fact(None not in (on_readings, on_calibration), words)


def _on(fitted: bool | None) -> str:
    return "not stated" if fitted is None else "on" if fitted else "off"


def basis_and_geometry(view: CaseView, readings: list[Reading]) -> Fact | None:
    """Return for which light and observer the colours hold and how they were measured; None for choices by eye."""
    if view.reading_kinds(readings) == {"eye"}:
        return None
    bases = {(c.illuminant, c.observer) for each in readings for c in view.colours(view.entries[each.id])}
    spectra = sum(each.spectrum is not None for each in readings)
    words = [f"{LAMPS[one]}, {OBSERVERS[two]}" for one, two in sorted(bases)]
    if spectra:
        words.append(f"{counted(spectra, 'spectrum', 'spectra')} in the file")
    held = [view.find(each, "instruments") for each in sorted(filter(None, view.instrument_ids(readings)))]
    geometries = {each.geometry or "unknown" for each in held if each is not None} or {"unknown"}
    words += [GEOMETRIES[each] for each in sorted(geometries)]
    words += [SPECULAR[each.specular] for each in held if each is not None and each.specular is not None]
    known = bool(bases or spectra) and not any("unknown" in each for each in bases)
    return Fact(known and "unknown" not in geometries, "; ".join(_once(words)))


def instrument(view: CaseView, readings: list[Reading]) -> Fact:
    """Return what took the readings, or how many people chose."""
    session = _session(view, readings)
    if view.reading_kinds(readings) == {"eye"}:
        people = session.observer_count if session is not None else None
        return Fact(
            people is not None, f"by {counted(people, 'person', 'people')}" if people else "how many people chose"
        )
    ids = view.instrument_ids(readings)
    words = []
    for each in sorted(filter(None, ids)):
        held = view.find(each, "instruments")
        if held is None:
            words.append(visible(each))
            continue
        aperture = f", window {as_given(held.aperture_mm)} mm" if held.aperture_mm is not None else ""
        model = f", {flowing(held.model)}" if held.model is not None else ""
        words.append(f"{visible(each)}, {INSTRUMENTS[held.kind]}{aperture}{model}")
    return Fact(None not in ids and bool(words), "; ".join(words) or "which instrument was used")


def _session(view: CaseView, readings: list[Reading]) -> Session | None:
    return view.session_of(readings[0])


def _once(words: Iterable[str]) -> list[str]:
    return [each for each in dict.fromkeys(words) if each]
