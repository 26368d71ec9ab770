"""Rules on numbers that are possible but unlikely. Never errors; each demands two signs or a wide margin."""

from collections.abc import Iterator
from statistics import median
from typing import Final

from shadefmt.chain.colours import Triple, lab_of
from shadefmt.model.colours import Colour
from shadefmt.model.context import Specimen
from shadefmt.model.measuring import Reading
from shadefmt.rules.base import Hit, Matter, Rule

PERCENT_MEDIAN: Final = 1.5
"""Median factor above which values are taken for percent; honest factors reach 1.1 (fluorescence)."""

TOOTH_BAND: Final = ((45.0, 95.0), (-6.0, 12.0), (-2.0, 45.0))
"""L*, a*, b* of crown tissue, wide (proposal, after the pooled range of vital teeth quoted in Paravina et al.
2007, J Prosthodont 16:269-276, from memory, widened for small windows)."""

FEWEST_BANDS: Final = 20
"""Bands that two spectra must share before being equal is remarkable."""


def spectrum_scale_suspect(matter: Matter) -> Iterator[Hit]:
    """Spectral values look like percent where factors are meant."""
    for index, reading in enumerate(matter.view.case.readings or ()):
        if reading.spectrum is not None:
            middle = median(reading.spectrum.values)
            if middle > PERCENT_MEDIAN:
                yield Hit(f"/readings/{index}/spectrum/values", {"median": round(middle, 3)}, reading.id)


def spectra_identical(matter: Matter) -> Iterator[Hit]:
    """Two readings have the same spectrum to the last digit."""
    seen: dict[tuple[float, ...], str] = {}
    for index, reading in enumerate(matter.view.case.readings or ()):
        spectrum = reading.spectrum
        if spectrum is None or len(spectrum.values) < FEWEST_BANDS or spectrum.decimals < 3:
            continue
        values = tuple(spectrum.values)
        if values in seen:
            yield Hit(f"/readings/{index}/spectrum", {"reading": seen[values]}, reading.id)
        else:
            seen[values] = reading.id


def readings_identical(matter: Matter) -> Iterator[Hit]:
    """Three or more readings of one zone are equal to the last digit."""
    groups: dict[tuple[str, str, str | None, Triple], list[int]] = {}
    readings = matter.view.case.readings or []
    for index, reading in enumerate(readings):
        lab = _own_lab(reading)
        if lab is not None:
            key = (reading.specimen_id, reading.zone, reading.session_id, lab)
            groups.setdefault(key, []).append(index)
    for places in groups.values():
        if len(places) >= 3:
            first = readings[places[0]]
            yield Hit(f"/readings/{places[0]}", {"readings": [readings[each].id for each in places]}, first.id)


def _own_lab(reading: Reading) -> Triple | None:
    for colour in reading.colours or ():
        if colour.origin == "instrument" and colour.lab is not None and colour.decimals >= 2:
            return lab_of(colour.lab)
    return None


def reading_equals_reference(matter: Matter) -> Iterator[Hit]:
    """A reading has exactly the colour of a reference, as if it had been typed in."""
    view = matter.view
    known = {
        (each.colour.illuminant, each.colour.observer, lab_of(each.colour.lab)): each
        for embedded in view.case.reference_sets or ()
        for each in embedded.references
        if each.colour.lab is not None and each.colour.decimals >= 1
    }
    for index, reading in enumerate(view.case.readings or ()) if known else ():
        specimen = view.specimen_of(reading)
        if specimen is not None and specimen.kind in ("guide-tab", "material-disc"):
            continue
        for place, colour in enumerate(reading.colours or ()):
            if colour.lab is not None and colour.origin in ("instrument", "typed"):
                same = known.get((colour.illuminant, colour.observer, lab_of(colour.lab)))
                if same is not None:
                    params = {"reference": same.id, "label": same.label}
                    yield Hit(f"/readings/{index}/colours/{place}", params, reading.id)


def coordinates_swapped(matter: Matter) -> Iterator[Hit]:
    """a* and b* look exchanged."""
    for pointer, reading, colour in _tooth_colours(matter):
        L, a, b = _lab(colour)
        if a > 10 and abs(b) < 5 and _in_band((L, b, a)):
            yield Hit(f"{pointer}/lab", {"a": a, "b": b}, reading.id)


def coordinate_sign_flipped(matter: Matter) -> Iterator[Hit]:
    """b* looks as if it had lost its sign."""
    for pointer, reading, colour in _tooth_colours(matter):
        L, a, b = _lab(colour)
        if b < -2 and _in_band((L, a, -b)):
            yield Hit(f"{pointer}/lab/b", {"b": b}, reading.id)


def colour_unusual_for_tooth(matter: Matter) -> Iterator[Hit]:
    """A tooth has a colour that teeth hardly have, and nothing else explains it."""
    for pointer, reading, colour in _tooth_colours(matter):
        L, a, b = lab = _lab(colour)
        swapped = a > 10 and abs(b) < 5 and _in_band((L, b, a))
        flipped = b < -2 and _in_band((L, a, -b))
        if not _in_band(lab) and not swapped and not flipped and not _like_gingiva(lab) and L <= 100:
            yield Hit(f"{pointer}/lab", {"colour": list(lab)}, reading.id)


def colour_like_gingiva(matter: Matter) -> Iterator[Hit]:
    """A tooth has the colour of gingiva, as if the instrument had slipped."""
    for pointer, reading, colour in _tooth_colours(matter):
        L, a, b = lab = _lab(colour)
        if _like_gingiva(lab) and not (abs(b) < 5 and _in_band((L, b, a))):
            yield Hit(f"{pointer}/lab", {"L": L, "a": a}, reading.id)


def colour_above_perfect_white(matter: Matter) -> Iterator[Hit]:
    """A colour is lighter than the perfect reflector."""
    for index, reading in enumerate(matter.view.case.readings or ()):
        for place, colour in enumerate(reading.colours or ()):
            if colour.lab is not None and colour.lab.L > 100:
                yield Hit(f"/readings/{index}/colours/{place}/lab/L", {"L": colour.lab.L}, reading.id)


def _tooth_colours(matter: Matter) -> Iterator[tuple[str, Reading, Colour]]:
    """Yield the colours of permanent teeth; deciduous ones and gingiva differ too much for a band."""
    view = matter.view
    for index, reading in enumerate(view.case.readings or ()):
        specimen: Specimen | None = view.specimen_of(reading)
        if specimen is None or specimen.kind != "tooth" or (specimen.tooth or "1") >= "5":
            continue
        for place, colour in enumerate(reading.colours or ()):
            if colour.lab is not None and colour.illuminant in ("D65", "D55", "D50", "D75"):
                yield f"/readings/{index}/colours/{place}", reading, colour


def _lab(colour: Colour) -> Triple:
    assert colour.lab is not None
    return lab_of(colour.lab)


def _in_band(lab: Triple) -> bool:
    return all(low <= value <= high for value, (low, high) in zip(lab, TOOTH_BAND, strict=True))


def _like_gingiva(lab: Triple) -> bool:
    """Attached gingiva of 259 adults: L* 28-65, a* 11-37 (Odontology 2019, 107:80-89)."""
    return lab[1] > 11 and lab[0] < 66


RULES: Final[dict[str, Rule]] = {
    "spectrum-scale-suspect": spectrum_scale_suspect,
    "spectra-identical": spectra_identical,
    "readings-identical": readings_identical,
    "reading-equals-reference": reading_equals_reference,
    "coordinates-swapped": coordinates_swapped,
    "coordinate-sign-flipped": coordinate_sign_flipped,
    "colour-unusual-for-tooth": colour_unusual_for_tooth,
    "colour-like-gingiva": colour_like_gingiva,
    "colour-above-perfect-white": colour_above_perfect_white,
}
