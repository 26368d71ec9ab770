"""Since which version of the format a member exists. One set of models says every minor version."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeAlias, get_args

from shadefmt.model.base import Block
from shadefmt.versions import is_later

Path = tuple[str | int, ...]
"""Members and places from the root of a document down to a value."""

Newer: TypeAlias = "dict[str, Newer | None]"
"""Members that a version lacks, None, and those with such members below, what is below."""


@dataclass(frozen=True)
class Since:
    """Says with a member that it came with a minor version: `Absent[Annotated[Positive, Since("1.1")]] = None`."""

    version: str


def lacking(model: type[Block], version: str) -> frozenset[str]:
    """Return the members of an object, not of those inside it, that came after a version."""
    return frozenset(
        name
        for name, field in model.model_fields.items()
        if any(isinstance(each, Since) and is_later(each.version, version) for each in field.metadata)
    )


def newer_members(value: Mapping[str, Any], model: type[Block], version: str) -> Iterator[Path]:
    """Yield the place of every member in a document that came after a version, whatever else is wrong with it."""
    return _places(value, _newer(model, version), ())


@cache
def _newer(model: type[Block], version: str) -> Newer:
    found: Newer = dict.fromkeys(sorted(lacking(model, version)))
    for name, field in model.model_fields.items():
        block = _block_in(field.annotation)
        if name not in found and block is not None and (below := _newer(block, version)):
            found[name] = below
    return found


def _block_in(annotation: Any) -> type[Block] | None:
    """Return the model that a member holds, alone or in a list."""
    if isinstance(annotation, type) and issubclass(annotation, Block):
        return annotation
    return next((found for each in get_args(annotation) if (found := _block_in(each)) is not None), None)


def _places(value: Any, newer: Newer, path: Path) -> Iterator[Path]:
    if isinstance(value, list) and newer:
        for place, each in enumerate(value):
            yield from _places(each, newer, (*path, place))
    elif isinstance(value, Mapping):
        for name, below in newer.items():
            if name in value and below is None:
                yield (*path, name)
            elif name in value and below is not None:
                yield from _places(value[name], below, (*path, name))
