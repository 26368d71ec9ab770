"""Colour computation: arrays and numbers in, arrays and numbers out; knows nothing of the format.

The public names load their modules on first use (PEP 562), so that importing the package costs nothing and
what is plain Python never waits for numpy. Array functions are exported here; for one colour at a time use
`single`, `difference_single` and `indices`. A function that has the name of its module is reached through the module:
`weights.weights`, `nearest.nearest`, `direction.direction`, `budget.budget`, `ledger.ledger`.
"""

from importlib import import_module
from typing import Any

_HOME = {
    "ILLUMINANTS": "tables",
    "OBSERVERS": "tables",
    "Weights": "weights",
    "weights_at": "weights",
    "weights_of_spd": "weights",
    "white_point": "weights",
    "spectra_to_lab": "spectra",
    "spectra_to_xyz": "spectra",
    "weighted_lab": "spectra",
    "weighted_xyz": "spectra",
    "lab_to_lch": "cielab",
    "lab_to_xyz": "cielab",
    "lch_to_lab": "cielab",
    "xyy_to_xyz": "cielab",
    "xyz_to_lab": "cielab",
    "xyz_to_xyy": "cielab",
    "Adapted": "adaptation",
    "ErrorEstimate": "adaptation",
    "adapt_lab": "adaptation",
    "lab_from_spectrum": "adaptation",
    "AdaptedColours": "adaptation_arrays",
    "adapt_labs": "adaptation_arrays",
    "cielab_difference": "differences",
    "cie94": "differences",
    "ciede2000": "differences",
    "Formula": "formula",
    "coverage_error": "nearest",
    "dental_whiteness": "indices_arrays",
    "cie_whiteness": "indices_arrays",
    "optimised_whiteness": "indices_arrays",
    "yellowness": "indices_arrays",
    "translucency": "indices_arrays",
    "contrast_ratio": "indices_arrays",
    "mean": "repeats",
    "mcdm": "repeats",
    "covariance": "repeats",
    "pooled": "repeats",
    "propose_slips": "repeats",
    "offset": "bridge",
    "difference_uncertainty": "uncertainty",
    "decide": "decisions",
    "outlook": "decisions",
    "probability_of_conformity": "decisions",
}
"""Public name -> module of this package that defines it. To add a name, add a line."""

__all__ = sorted(_HOME)  # noqa: PLE0605


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME})
