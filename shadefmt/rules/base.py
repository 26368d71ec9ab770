"""What every rule gets and gives: the matter looked at, and hits."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final, NamedTuple

from shadefmt.bundles import FileFacts
from shadefmt.chain.trace import Trace, trace
from shadefmt.indexing import CaseView
from shadefmt.jsontext import pointer_of
from shadefmt.model.base import Block
from shadefmt.model.case import Case

TIMESTAMP_MEMBERS: Final = frozenset(
    {
        *("at", "started", "set_at", "agreed_at", "due", "measured_on", "valid_from", "valid_until", "made_at"),
        *("colour_vision_checked", "verified_on", "keep_until"),
    }
)
"""Members that hold a moment, in every kind of document."""

FREE_TEXT: Final = frozenset(
    {
        *("note", "region", "medium", "texture", "cement", "source", "title", "label", "model", "model_reason"),
        *("material", "lot", "tile", "light", "reason"),
    }
)
"""Members that people write sentences or words of their own into."""

NUMBER_LISTS: Final = frozenset({"values", "wavelengths_nm"})


class Hit(NamedTuple):
    """One place where a rule's condition was found."""

    pointer: str
    params: Mapping[str, Any] = {}
    entry_id: str | None = None
    facts: Any = None


class TextAt(NamedTuple):
    """A text and where it stands."""

    parts: tuple[str | int, ...]
    member: str
    text: str

    @property
    def pointer(self) -> str:
        """The place as a JSON Pointer."""
        return pointer_of(self.parts)


@dataclass(frozen=True)
class Supplied:
    """What was given to the checker beside the document.

    `documents` maps ids to digests, `attachments` paths inside the bundle to what is there; `previous` is an earlier
    version of the document; `as_of` is the moment that time-dependent rules are run for.
    """

    documents: Mapping[str, str] = field(default_factory=dict)
    attachments: Mapping[str, FileFacts] = field(default_factory=dict)
    previous: dict[str, Any] | None = None
    as_of: str | None = None

    @property
    def missing(self) -> frozenset[str]:
        """What rules may ask for and was not given."""
        given = {"as_of": self.as_of, "previous": self.previous}
        return frozenset(name for name, item in given.items() if item is None)


@dataclass
class Matter:
    """One decoded, well-formed document, and what was supplied with it.

    `value` is all of it, for digests; `root` and `known` are without the members that nothing is known of.
    """

    value: dict[str, Any]
    root: Block
    known: dict[str, Any]
    supplied: Supplied = field(default_factory=Supplied)

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
        """Moments, free texts and whatever is not plain, outside `extensions` and unknown members, in order."""
        found: list[TextAt] = []
        _collect({name: item for name, item in self.known.items() if name != "extensions"}, (), "", found)
        return found


Rule = Callable[[Matter], Iterator[Hit]]
"""A rule looks at a matter and yields every place where its condition is found."""


_LOOKED_AT: Final = TIMESTAMP_MEMBERS | FREE_TEXT


def is_plain(text: str) -> bool:
    """Return whether a text is of printable ASCII only."""
    return text.isascii() and text.isprintable()


def _collect(item: Any, parts: tuple[str | int, ...], member: str, found: list[TextAt]) -> None:
    """Add every text below an object or list; texts in a list belong to the member that holds the list."""
    steps: Any = item.items() if isinstance(item, dict) else enumerate(item)
    for step, inner in steps:
        name = step if isinstance(item, dict) else member
        if isinstance(inner, str):
            if name in _LOOKED_AT or not is_plain(inner):
                found.append(TextAt((*parts, step), name, inner))
        elif isinstance(inner, dict) or (isinstance(inner, list) and name not in NUMBER_LISTS):
            _collect(inner, (*parts, step), name, found)
