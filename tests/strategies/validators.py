"""The JSON Schemas asked through two libraries that share no code with the models."""

import re
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import jsonschema
import jsonschema_rs

from shadefmt.model.schema import schema_of

Verdict = Callable[[Any], bool]


def ecma_pattern(pattern: str) -> re.Pattern[str]:
    """Return a pattern of ECMA-262 (11.2, flag u) as Python reads it.

    Of what differs only `$` occurs in our schemas: Python's admits a final line feed. Digits and letters are
    written out there, so that nothing depends on what `\\d` and `\\w` mean.
    """
    assert not re.search(r"\\[dDwWsSbBpPkZA]|\(\?|(?<!\\)\.(?!\])(?![+-])(?=[^\]]*$)", re.sub(r"\[[^\]]*\]", "", pattern))
    return re.compile(re.sub(r"(?<!\\)\$", r"\\Z", pattern), re.ASCII)


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
