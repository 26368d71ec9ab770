"""The structure stage: a decoded value against its model, faults put into the words of the catalogue."""

import json
from collections.abc import Iterable
from copy import deepcopy
from typing import Any, Final, NamedTuple

from pydantic import ValidationError

from shadefmt.jsontext import pointer_of
from shadefmt.model.base import Block
from shadefmt.model.kinds import model_of
from shadefmt.model.since import newer_members
from shadefmt.versions import FORMAT_VERSION, FORMAT_VERSIONS


class Fault(NamedTuple):
    """One place where a value does not fit its model."""

    code: str
    pointer: str
    params: dict[str, Any]


class Structured(NamedTuple):
    """The outcome: a model where the value fits, the faults, and the value without its unknown members."""

    root: Block | None
    faults: list[Fault]
    known: dict[str, Any]


TYPES: Final = {
    "string_type": "a text",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "list_type": "a list",
    "dict_type": "an object",
    "model_type": "an object",
}
"""What is meant, by type of pydantic error."""


def structured(value: dict[str, Any], kind: str, *, newer: bool = False) -> Structured:
    """Return the model of a document value, or what does not fit.

    With `newer` (the document states a newer minor version) unknown members get another code. Where nothing but
    unknown members is wrong, they are set aside and the model is made of the rest. A member that came after the
    version stated is as unknown as any other.
    """
    model = model_of(kind)
    stated = value.get("version")
    if not newer and stated in FORMAT_VERSIONS and (early := list(newer_members(value, model, stated))):
        rest = structured(_without(value, early), kind)
        told = [_fault({"type": "extra_forbidden", "loc": place, "input": None}, value, newer) for place in early]
        return Structured(rest.root, told + rest.faults, rest.known)
    try:
        return Structured(model.model_validate({**value, "version": FORMAT_VERSION} if newer else value), [], value)
    except ValidationError as failure:
        errors = failure.errors(include_url=False, include_context=True)
    faults = [_fault(error, value, newer) for error in errors]
    unknown = [error["loc"] for error in errors if error["type"] == "extra_forbidden"]
    if not unknown or len(unknown) < len(errors):
        return Structured(None, faults, value)
    rest = structured(_without(value, unknown), kind, newer=newer)
    return Structured(rest.root, faults, rest.known)


def lowest_version(value: dict[str, Any], kind: str) -> str:
    """Return the oldest version that defines every member of a document; the one stated where a member is unknown."""
    stated: str = value["version"]
    if stated not in FORMAT_VERSIONS:
        faults = structured({**value, "version": FORMAT_VERSION}, kind).faults
        if any(fault.code == "structure-member-unknown" for fault in faults):
            return stated
    model = model_of(kind)
    return next(each for each in FORMAT_VERSIONS if next(newer_members(value, model, each), None) is None)


def _without(value: dict[str, Any], places: Iterable[tuple[str | int, ...]]) -> dict[str, Any]:
    """Return a copy of a value without the members at some places."""
    copy = deepcopy(value)
    for *above, member in places:
        inner: Any = copy
        for step in above:
            inner = inner[step]
        del inner[member]
    return copy


def _fault(error: Any, value: dict[str, Any], newer: bool) -> Fault:
    kind, loc, context = error["type"], error["loc"], error.get("ctx", {})
    if loc and loc[-1] == "[key]":
        params = {"found": _quoted(loc[-2]), "expected": "a reverse-DNS name such as org.example.thing"}
        return Fault("structure-text-malformed", pointer_of(loc[:-2]), params)
    if kind == "extra_forbidden":
        code = "structure-member-unknown-newer" if newer else "structure-member-unknown"
        return Fault(code, pointer_of(loc[:-1]), {"member": loc[-1], "version": str(value.get("version"))})
    if kind == "missing":
        return Fault("structure-member-missing", pointer_of(loc[:-1]), {"member": loc[-1]})
    pointer, found = pointer_of(loc), _quoted(error["input"])
    if kind in TYPES:
        return Fault("structure-type-wrong", pointer, {"found": found, "expected": TYPES[kind]})
    if kind == "literal_error" and not isinstance(error["input"], str):
        return Fault("structure-type-wrong", pointer, {"found": found, "expected": "a text"})
    if kind == "literal_error":
        params = {"found": found, "allowed": str(context["expected"]).replace("'", "").replace(" or ", ", ")}
        return Fault("structure-word-unknown", pointer, params)
    if kind == "string_pattern_mismatch":
        return Fault("structure-text-malformed", pointer, {"found": found, "expected": context["pattern"]})
    return _measured(kind, pointer, found, error["input"], context) or Fault(
        "structure-unsound", pointer, {"reason": error["msg"]}
    )


BOUNDS: Final = {
    "greater_than": ("gt", "greater than"),
    "greater_than_equal": ("ge", "at least"),
    "less_than": ("lt", "less than"),
    "less_than_equal": ("le", "at most"),
}
"""Where the bound stands in a pydantic error, and how it is said."""


def _measured(kind: str, pointer: str, found: str, given: Any, context: dict[str, Any]) -> Fault | None:
    if kind in ("string_too_short", "too_short"):
        params = {"found": len(given), "least": context["min_length"]}
        return Fault("structure-too-few", pointer, params)
    if kind == "string_too_long":
        params = {"found": len(given), "most": context["max_length"]}
        return Fault("structure-too-long", pointer, params)
    if kind in BOUNDS:
        name, words = BOUNDS[kind]
        params = {"found": found, "expected": f"{words} {context[name]:g}"}
        return Fault("structure-number-out-of-range", pointer, params)
    return None


def _quoted(item: Any) -> str:
    """Return a value as JSON, shortened, for a message."""
    if isinstance(item, dict):
        return "an object"
    if isinstance(item, list):
        return "a list"
    text = json.dumps(item, ensure_ascii=False)
    return text if len(text) <= 60 else text[:57] + "..."
