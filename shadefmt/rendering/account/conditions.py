"""Under which conditions readings were taken, in words, and whether the file states them."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from shadefmt.indexing import CaseView
from shadefmt.model.context import Session
from shadefmt.model.measuring import Reading
from shadefmt.rendering.dates import date_words, time_words
from shadefmt.rendering.figures import as_given, counted, listed
from shadefmt.rendering.visible import flowing, visible
from shadefmt.rendering.words import GEOMETRIES, INSTRUMENTS, LAMPS, LIGHTS, OBSERVERS, SPECULAR
from shadefmt.rendering.work_words import CALIBRATION, HYDRATION, ISOLATION, STATES

MOIST_KINDS = ("tooth", "stump", "gingiva")
"""Specimens of which a receiver has to know whether they were wet or dry."""


STEADY_KINDS = ("check-patch", "guide-tab")
"""Specimens that neither dry nor are fired."""


class Fact(NamedTuple):
    """Whether something about a subject is stated, and in which words."""

    subject: str
    stated: bool
    words: str


def wet_or_dry(view: CaseView, readings: list[Reading]) -> Fact | None:
    """Return the hydration of what lives in the mouth, or the state of what was made; None for patches and tabs."""
    specimen = view.specimen_of(readings[0])
    if specimen is not None and specimen.kind in STEADY_KINDS:
        return None
    if specimen is not None and specimen.kind not in MOIST_KINDS:
        states = _once(STATES[each.state] for each in readings if each.state is not None)
        stated = bool(states) and all(each.state not in (None, "unknown") for each in readings)
        return Fact("state", stated, listed(states) or "in which state it was read")
    words = _once(HYDRATION[each.hydration] for each in readings if each.hydration is not None)
    words += _once(_isolation(each) for each in readings if each.isolation is not None)
    known = all(each.hydration not in (None, "unknown") for each in readings)
    if known:
        return Fact("wet or dry", True, ", ".join(words))
    return Fact("wet or dry", False, f"whether it had dried ({', '.join(words)})" if words else "whether it had dried")


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
        return Fact("calibration", False, "when and how the instrument was calibrated")
    held = session.calibration
    words = [time_words(held.at), CALIBRATION[held.result]]
    words += [f"on the tile {flowing(held.tile)}"] if held.tile is not None else []
    words += [f"instrument verified on {date_words(session.verified_on)}"] if session.verified_on is not None else []
    return Fact("calibration", held.result != "unknown", ", ".join(words))


def barrier(view: CaseView, readings: list[Reading]) -> Fact | None:
    """Return whether the barrier sheath was on, for calibration and for readings; None for choices by eye."""
    if view.reading_kinds(readings) == {"eye"}:
        return None
    session = _session(view, readings)
    on_readings = session.barrier_fitted if session is not None else None
    held = session.calibration if session is not None else None
    on_calibration = held.barrier_fitted if held is not None else None
    if on_readings is None and on_calibration is None:
        return Fact("barrier", False, "whether a barrier sheath was on")
    words = f"sheath {_on(on_calibration)} for the calibration, {_on(on_readings)} for the readings"
    if session is not None and session.barrier_per_instructions:
        words += ", as the maker's instructions allow"
    return Fact("barrier", None not in (on_readings, on_calibration), words)


def _on(fitted: bool | None) -> str:
    return "not stated" if fitted is None else "on" if fitted else "off"


def light_and_geometry(view: CaseView, readings: list[Reading]) -> Fact:
    """Return for which light and observer the colours hold and how they were measured, or the light chosen under."""
    if view.reading_kinds(readings) == {"eye"}:
        return _light(_session(view, readings))
    bases = {(c.illuminant, c.observer) for each in readings for c in view.colours(view.entries[each.id])}
    spectra = sum(each.spectrum is not None for each in readings)
    words = basis_list(bases)
    if spectra:
        words.append(f"{counted(spectra, 'spectrum', 'spectra')} in the file")
    held = [view.find(each, "instruments") for each in sorted(filter(None, view.instrument_ids(readings)))]
    geometries = {each.geometry or "unknown" for each in held if each is not None} or {"unknown"}
    words += [GEOMETRIES[each] for each in sorted(geometries)]
    words += [SPECULAR[each.specular] for each in held if each is not None and each.specular is not None]
    known = bool(bases or spectra) and not any("unknown" in each for each in bases)
    return Fact("light and geometry", known and "unknown" not in geometries, "; ".join(_once(words)))


def basis_list(bases: Collection[tuple[str, str]]) -> list[str]:
    """Return illuminants and observers in words; joined where every light goes with every observer."""
    lamps = sorted({one for one, _ in bases}, key=list(LAMPS).index)
    observers = sorted({two for _, two in bases}, key=list(OBSERVERS).index)
    if len(bases) > 2 and len(bases) == len(lamps) * len(observers):
        return [f"{listed([LAMPS[each] for each in lamps])}, each for {listed([OBSERVERS[e] for e in observers])}"]
    return [f"{LAMPS[one]}, {OBSERVERS[two]}" for one, two in sorted(bases)]


def _light(session: Session | None) -> Fact:
    held = session.light if session is not None else None
    if held is None:
        return Fact("light", False, "under which light the colour was chosen")
    words = [LIGHTS[held.kind]]
    if held.colour_temperature_K is not None:
        words.append(f"{as_given(held.colour_temperature_K)} K")
    if held.illuminance_lx is not None:
        words.append(f"{as_given(held.illuminance_lx)} lx")
    if held.rendering_index is not None:
        words.append(f"colour rendering index {as_given(held.rendering_index)}")
    return Fact("light", held.kind != "unknown", ", ".join(words))


def instrument(view: CaseView, readings: list[Reading]) -> Fact:
    """Return what took the readings, or how many people chose."""
    session = _session(view, readings)
    if view.reading_kinds(readings) == {"eye"}:
        return _people(session)
    ids = view.instrument_ids(readings)
    words = [_instrument(view, each) for each in sorted(filter(None, ids))]
    if view.reading_kinds(readings) == {"camera"}:
        grey = session.grey_reference if session is not None else None
        words.append("grey reference not stated" if grey is None else "grey reference" if grey else "no grey reference")
    if len(ids) > 1 and view.bridged(ids):
        words.append("related by a bridge")
    return Fact("instrument", None not in ids, "; ".join(words) or "which instrument was used")


def _people(session: Session | None) -> Fact:
    people = session.observer_count if session is not None else None
    if session is None or people is None:
        return Fact("eyes", False, "how many people chose")
    words = f"{counted(people, 'person', 'people')} chose"
    if session.colour_vision_checked is not None:
        words += f", colour vision checked on {date_words(session.colour_vision_checked)}"
    return Fact("eyes", True, words)


def _instrument(view: CaseView, instrument_id: str) -> str:
    held = view.find(instrument_id, "instruments")
    if held is None:
        return visible(instrument_id)
    aperture = f", window {as_given(held.aperture_mm)} mm" if held.aperture_mm is not None else ""
    model = f", {flowing(held.model)}" if held.model is not None else ""
    return f"{visible(instrument_id)}, {INSTRUMENTS[held.kind]}{aperture}{model}"


def _session(view: CaseView, readings: list[Reading]) -> Session | None:
    return view.session_of(readings[0])


def _once(words: Iterable[str]) -> list[str]:
    return [each for each in dict.fromkeys(words) if each]
