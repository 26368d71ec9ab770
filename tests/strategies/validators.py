"""The JSON Schemas asked through two libraries that share no code with the models."""

import re
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import jsonschema_rs

from shadefmt.model.schema import schema_of

Verdict = Callable[[Any], bool]


def ecma_pattern(pattern: str) -> re.Pattern[str]:
    """Return a pattern of ECMA-262 (flag u) as a pattern of Python.

    Of what the two read differently only `$` may occur: Python's admits a final line feed. Classes such as `\\d`,
    the point and groups that look around are refused rather than translated.
    """
    bare = re.sub(r"\[[^\]]*\]|\\[^A-Za-z0-9]", "", pattern)
    assert not re.search(r"\\[A-Za-z0-9]", pattern), pattern
    assert "." not in bare, pattern
    assert "(?" not in bare, pattern
    whole = re.sub(r"\[[^\]]*\]|\\.|\$", lambda found: r"\Z" if found[0] == "$" else found[0], pattern)
    return re.compile(whole, re.ASCII)


def _pattern(validator: Any, pattern: str, instance: Any, schema: Any) -> Iterator[jsonschema.ValidationError]:
    if validator.is_type(instance, "string") and not ecma_pattern(pattern).search(instance):
        yield jsonschema.ValidationError(f"{instance!r} does not match {pattern!r}")


_Strict = jsonschema.validators.extend(jsonschema.Draft202012Validator, {"pattern": _pattern})


@cache
def by_jsonschema(kind: str) -> Verdict:
    """Return the verdict of `jsonschema`, its patterns read as ECMA-262 reads them."""
    verdict: Verdict = _Strict(schema_of(kind)).is_valid
    return verdict


@cache
def by_jsonschema_rs(kind: str) -> Verdict:
    """Return the verdict of `jsonschema-rs`, as it is."""
    verdict: Verdict = jsonschema_rs.Draft202012Validator(schema_of(kind)).is_valid
    return verdict


@cache
def block_by_jsonschema(kind: str, name: str) -> Verdict:
    """Return the verdict of `jsonschema` on one object of a kind, by the name of its definition."""
    verdict: Verdict = _Strict(_definition(kind, name)).is_valid
    return verdict


@cache
def block_by_jsonschema_rs(kind: str, name: str) -> Verdict:
    """Return the verdict of `jsonschema-rs` on one object of a kind, by the name of its definition."""
    verdict: Verdict = jsonschema_rs.Draft202012Validator(_definition(kind, name)).is_valid
    return verdict


def _definition(kind: str, name: str) -> dict[str, Any]:
    whole = schema_of(kind)
    if whole["title"] == name:
        return whole
    head = {key: whole[key] for key in ("$schema", "$id", "$defs")}
    return {**head, "$ref": f"#/$defs/{name}"}
