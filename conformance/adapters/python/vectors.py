"""Runs the vectors: pure functions, canonical form and digest, the document as it was, the file form."""

import struct
from collections.abc import Callable
from typing import Any, Final

from suite import SUITE, Case, Value, base, patched

from shadefmt.chain.appearances import expected_contrast_ratio, expected_index
from shadefmt.chain.comparisons import expected_direction, expected_expanded
from shadefmt.chain.rounding import agrees
from shadefmt.chain.verdicts import expected_decision, expected_grade
from shadefmt.colour.adaptation import adapt_lab
from shadefmt.colour.difference_single import difference
from shadefmt.colour.formula import Formula
from shadefmt.colour.nearest_single import between
from shadefmt.colour.repeats import covariance, mcdm, mean
from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.uncertainty import scalar_uncertainty
from shadefmt.colour.weights import weights, weights_at, white_point
from shadefmt.documents import as_model, dumps, loads
from shadefmt.history import as_it_was
from shadefmt.jsontext import canonical, decode, digest
from shadefmt.model.judging import GradeLimit
from shadefmt.timestamps import is_after, seconds_between

FACTORS: Final = ("k_L", "k_C", "k_H")


def run_computation(case: Case) -> str | None:
    """What a function gives otherwise than expected, None where it agrees within the tolerance."""
    content = case.content
    got = FUNCTIONS[content["function"]](content["args"])
    expected, tolerance = content["expect"], content.get("tolerance")
    return None if _agree(got, expected, tolerance) else f"expected {expected}, got {got}"


def run_canonical_number(case: Case) -> str | None:
    """Whether a number, given by its bits, has the stated canonical text."""
    (number,) = struct.unpack(">d", bytes.fromhex(case.content["ieee754"]))
    return _unlike(case.content["canonical"], canonical(number).decode())


def run_canonical_document(case: Case) -> str | None:
    """Whether a text has the stated canonical form and digest."""
    value = decode(case.content["text"].encode("utf-8")).value
    return _unlike(case.content["canonical"], canonical(value).decode("utf-8")) or _unlike(
        case.content["sha256"], digest(value)
    )


def run_base_digest(case: Case) -> str | None:
    """Whether a base document has the stated digest."""
    data = (SUITE / "bases" / f"{case.content['base']}.shade.json").read_bytes()
    return _unlike(case.content["sha256"], digest(decode(data).value))


def run_as_it_was(case: Case) -> str | None:
    """Whether the document as it was at a revision has the stated digest."""
    value = patched(base(case.content["base"]), case.content["patch"])
    return _unlike(case.content["sha256"], digest(as_it_was(value, case.content["revision_id"])))


def run_file_form(case: Case) -> str | None:
    """Whether a document, read and written again, has the stated bytes, and keeps them."""
    written = dumps(as_model(loads(case.content["text"])))
    return _unlike(case.content["file_form"], written.decode("utf-8")) or _unlike(written, dumps(loads(written)))


def _spectrum_to_xyz(args: Value) -> Any:
    basis = (args["illuminant"], args["observer"])
    if "wavelengths_nm" in args:
        factors = weights_at(*basis, tuple(args["wavelengths_nm"]))
    else:
        factors = weights(*basis, args["start_nm"], args["step_nm"], len(args["values"]))
    return spectrum_to_xyz(args["values"], factors)


def _difference(args: Value) -> float:
    return difference(args["formula"], args["standard"], args["trial"], *(args.get(each, 1) for each in FACTORS))


def _grade(args: Value) -> str | None:
    return expected_grade(args["difference"], [GradeLimit.model_validate(each) for each in args["grades"]])


def _decision(args: Value) -> str | None:
    return expected_decision(args["rule"], args["difference"], args["limit"], args.get("expanded"))


def _adapted(args: Value) -> Any:
    source, target = ((args[f"{new}illuminant"], args[f"{new}observer"]) for new in ("", "new_"))
    return adapt_lab(tuple(args["lab"]), source, target, args["method"]).lab


def _stated_uncertainty(args: Value) -> float:
    return scalar_uncertainty(args["difference"], args["standard_uncertainty"], args["coverage_factor"]).expanded


def _between(args: Value) -> Any:
    by = Formula(args["formula"], *(args.get(each, 1) for each in FACTORS))
    found = between(args["lab"], args["nearest"], args["runner_up"], by)
    return found.position, found.residual


def _translucency(args: Value) -> float:
    return _difference({**args, "standard": args["over_white"], "trial": args["over_black"]})


def _contrast_ratio(args: Value) -> float | None:
    white, black = (args["L_over_white"], 0.0, 0.0), (args["L_over_black"], 0.0, 0.0)
    return expected_contrast_ratio(white, black, "D65", "2-degree")


FUNCTIONS: Final[dict[str, Callable[[Value], Any]]] = {
    "white_point": lambda args: white_point(args["illuminant"], args["observer"]),
    "spectrum_to_xyz": _spectrum_to_xyz,
    "xyz_to_lab": lambda args: xyz_to_lab(args["xyz"], args["white"]),
    "difference": _difference,
    "direction": lambda args: expected_direction(tuple(args["standard"]), tuple(args["trial"])),
    "mean": lambda args: mean(args["labs"]),
    "mcdm": lambda args: mcdm(args["labs"], args["formula"]),
    "covariance": lambda args: tuple(covariance(args["labs"], args["of"])),
    "expanded_uncertainty": lambda args: expected_expanded(args["coverage_factor"], args["standard_uncertainties"]),
    "decision": _decision,
    "grade": _grade,
    "index": lambda args: expected_index(args["index"], tuple(args["lab"]), args["illuminant"], args["observer"]),
    "adapted": _adapted,
    "stated_uncertainty": _stated_uncertainty,
    "between": _between,
    "translucency": _translucency,
    "contrast_ratio": _contrast_ratio,
    "agrees": lambda args: agrees(args["stated"], args["expected"], args["decimals"]),
    "seconds_between": lambda args: seconds_between(args["other"], args["one"]),
    "is_later": lambda args: is_after(args["one"], args["other"]),
}
"""What the functions of the vectors are here."""


def _agree(got: Any, expected: Any, tolerance: float | None) -> bool:
    if tolerance is None or got is None or expected is None:
        return bool(got == expected)
    if isinstance(expected, list):
        return len(got) == len(expected) and all(map(lambda one, two: abs(one - two) <= tolerance, got, expected))
    return bool(abs(got - expected) <= tolerance)


def _unlike(expected: Any, got: Any) -> str | None:
    return None if expected == got else f"expected {expected!r}, got {got!r}"


RUNNERS: Final[dict[str, Callable[[Case], str | None]]] = {
    "computation": run_computation,
    "canonical-number": run_canonical_number,
    "canonical-document": run_canonical_document,
    "base-digest": run_base_digest,
    "as-it-was": run_as_it_was,
    "file-form": run_file_form,
}
"""How a vector of each kind is run."""
