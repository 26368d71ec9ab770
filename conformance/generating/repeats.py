"""One tooth read three times, and once with its spectrum; a mean and nothing that rests on it."""

from typing import Final

from generating.colours import Triple, from_spectrum, invented_spectrum
from generating.entries import Entry, full_colour, lab_colour, mean, spectrum
from generating.writing import Value

LABS: Final[list[Triple]] = [(73.18, 1.62, 18.05), (73.31, 1.57, 18.22), (73.09, 1.66, 17.94)]
SHAPE: Final = (0.21, 0.52, 494, 45, 0.024)


def repeats() -> Value:
    """The case."""
    readings = [_reading(place, lab) for place, lab in enumerate(LABS, start=1)]
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:6be0f417-2d9c-4a35-b8e1-f4c370d5a928",
        "specimens": [{"id": "tooth-22", "kind": "tooth", "tooth": "22"}],
        "readings": [*readings, _with_spectrum()],
        "means": [mean("mean-middle", readings)],
    }


def _reading(place: int, lab: Triple) -> Entry:
    head = {"id": f"repeat-{place}", "specimen_id": "tooth-22", "zone": "middle", "repositioned": True}
    return {**head, "hydration": "moist", "colours": [lab_colour(lab)]}


def _with_spectrum() -> Entry:
    values = invented_spectrum(*SHAPE)
    seen = lab_colour(from_spectrum(values, "D65", "2-degree").lab)
    lamp = full_colour(from_spectrum(values, "A", "2-degree"), "computed", basis="A 2-degree")
    head = {"id": "light-1", "specimen_id": "tooth-22", "zone": "cervical", "hydration": "moist"}
    return {**head, "spectrum": spectrum(values), "colours": [seen, lamp]}
