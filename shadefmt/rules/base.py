"""What every rule gets and gives: the matter looked at, and hits."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final, NamedTuple

from shadefmt.chain.trace import Trace, trace
from shadefmt.indexing import CaseView
from shadefmt.jsontext import pointer_of
from shadefmt.model.base import Block
from shadefmt.model.case import Case

TIMESTAMP_MEMBERS: Final = frozenset(
    {"at", "started", "set_at", "agreed_at", "due", "measured_on", "valid_from", "valid_until"}
)
"""Members that hold a moment, in every kind of document."""

NUMBER_LISTS: Final = frozenset({"values", "wavelengths_nm"})


class Hit(NamedTuple):
    """One place where a rule's condition was found."""

    pointer: str
    params: Mapping[str, Any] = {}
    entry_id: str | None = None
    facts: Any = None


class TextAt(NamedTuple):
    """A text and where it stands."""

    pointer: str
    member: str
    text: str


@dataclass
class Matter:
    """One decoded, well-formed document, and what was supplied with it.

    `documents` maps ids of supplied documents to their digests; `as_of` is the moment that time-dependent rules
    are run for, absent where none was given.
    """

    value: dict[str, Any]
    root: Block
    documents: Mapping[str, str] = field(default_factory=dict)
    as_of: str | None = None

    @cached_property
    def view(self) -> CaseView:
        """The case with its ids resolved."""
        assert isinstance(self.root, Case)
        return CaseView(self.root)

    @cached_property
    def trace(self) -> Trace:
        """Every link of the case recomputed."""
        return trace(self.view)

    @cached_property
    def texts(self) -> list[TextAt]:
        """Every text in the document outside `extensions`, in order."""
        return [
            TextAt(pointer_of(parts), member, text)
            for parts, member, text in _texts({k: v for k, v in self.value.items() if k != "extensions"}, ())
        ]


Rule = Callable[[Matter], Iterator[Hit]]
"""A rule looks at a matter and yields every place where its condition is found."""


def _texts(item: Any, parts: tuple[str | int, ...]) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    if isinstance(item, dict):
        for name, inner in item.items():
            if isinstance(inner, str):
                yield (*parts, name), name, inner
            elif isinstance(inner, (dict, list)) and name not in NUMBER_LISTS:
                yield from _texts(inner, (*parts, name))
    else:
        for index, inner in enumerate(item):
            if isinstance(inner, str):
                yield (*parts, index), str(parts[-1]), inner
            elif isinstance(inner, (dict, list)):
                yield from _texts(inner, (*parts, index))
