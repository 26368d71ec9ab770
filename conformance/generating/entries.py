"""Entries whose numbers follow from others: colours, means, comparisons, verdicts."""

from collections.abc import Sequence
from typing import Any, Final

from generating.colours import (
    Computed,
    Triple,
    covariances_of,
    difference,
    direction_of,
    mcdm_of,
    mean_of,
)

Entry = dict[str, Any]

ONES: Final = {"k_L": 1, "k_C": 1, "k_H": 1}
COVERAGE: Final = 2


def rounded(values: Triple, names: str, decimals: int) -> dict[str, float]:
    """Coordinates by name, rounded."""
    return {name: round(value, decimals) + 0.0 for name, value in zip(names, values, strict=True)}


def lab_colour(lab: Triple, origin: str = "instrument", *, decimals: int = 2, basis: str = "D65 2-degree") -> Entry:
    """A colour of CIELAB coordinates."""
    illuminant, observer = basis.split()
    head = {"illuminant": illuminant, "observer": observer, "decimals": decimals, "origin": origin}
    return {**head, "lab": rounded(lab, "Lab", decimals)}


def full_colour(computed: Computed, origin: str, *, decimals: int = 2, basis: str = "D65 2-degree") -> Entry:
    """A colour of CIELAB coordinates and tristimulus values."""
    head = lab_colour(computed.lab, origin, decimals=decimals, basis=basis)
    return {**head, "xyz": rounded(computed.xyz, "XYZ", decimals)}


def spectrum(values: Sequence[float]) -> Entry:
    """A spectrum from 400 to 700 nm in steps of 10 nm."""
    head = {"quantity": "reflectance-factor", "start_nm": 400, "step_nm": 10, "decimals": 4}
    return {**head, "values": list(values)}


def lab_stated(colour: Entry) -> Triple:
    """The coordinates of a colour as they are stated."""
    return colour["lab"]["L"], colour["lab"]["a"], colour["lab"]["b"]


def mean(entry_id: str, readings: Sequence[Entry], formula: str = "CIEDE2000") -> Entry:
    """The mean of the first colour of each reading, with its spread."""
    labs = [lab_stated(each["colours"][0]) for each in readings]
    numbers = {name: round(value, 4) + 0.0 for name, value in covariances_of(labs).items()}
    spread = {"formula": formula, **ONES, "decimals": 4, "mcdm": round(mcdm_of(labs, formula), 4)}
    return {
        "id": entry_id,
        "reading_ids": [each["id"] for each in readings],
        "of_origin": "instrument",
        "colour": lab_colour(mean_of(labs), "computed"),
        "spread": {**spread, "covariance_of": "reading", **numbers},
    }


def comparison(entry_id: str, question: str, sides: tuple[tuple[str, Entry], tuple[str, Entry]], formula: str) -> Entry:
    """A comparison of two stated colours, each with the id of its entry, without uncertainty."""
    (standard_id, standard), (trial_id, trial) = sides
    labs = lab_stated(standard), lab_stated(trial)
    direction = {name: round(value, 2) + 0.0 for name, value in direction_of(*labs).items()}
    return {
        "id": entry_id,
        "question": question,
        "standard_id": standard_id,
        "trial_id": trial_id,
        "illuminant": standard["illuminant"],
        "observer": standard["observer"],
        "formula": formula,
        **ONES,
        "decimals": 2,
        "difference": round(difference(formula, *labs), 2),
        "direction": {"decimals": 2, **direction},
    }


def uncertainty(**components: float) -> Entry:
    """An uncertainty with a coverage factor of 2 from standard uncertainties by source."""
    parts = [{"source": name.replace("_", "-"), "standard_uncertainty": size} for name, size in components.items()]
    expanded = COVERAGE * sum(size * size for size in components.values()) ** 0.5
    head = {"coverage_factor": COVERAGE, "decimals": 2, "expanded": round(expanded, 2), "method": "linear"}
    return {**head, "components": parts}


def dental_whiteness(lab: Triple) -> float:
    """WI_D for D65 and the 2-degree observer (Perez et al. 2016, Dent Mater 32, 461-467)."""
    L, a, b = lab
    return 0.511 * L - 2.324 * a - 1.1 * b


def yellowness(xyz: Triple) -> float:
    """Yellowness index of ASTM E313 for D65 and the 2-degree observer (coefficients from memory)."""
    X, Y, Z = xyz
    return 100 * (1.2985 * X - 1.1335 * Z) / Y
