"""What a writer leaves behind: it marks what it wrote of a document; whatever is unmarked is dropped and says so."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final, NamedTuple

from shadefmt.converters.base import Account
from shadefmt.jsontext import pointer_of

Path = tuple[str | int, ...]
"""Members and places from the root of a document down to a value."""

_HANDLED: Final = "handled"
_Marks = dict[str | int, Any]

MAX_LENGTH: Final = 200
"""Longest path and place that a loss report holds, in characters."""


class Reason(NamedTuple):
    """Why something was left out: a code to allow the loss by, and words."""

    code: str
    text: str


def pattern_of(path: Path) -> str:
    """Return a path as the loss report has it: a JSON Pointer with `*` for every place in a list."""
    return _pattern(tuple(["*" if isinstance(part, int) else part for part in path]))


@lru_cache(maxsize=1024)
def _pattern(parts: tuple[str, ...]) -> str:
    pattern = pointer_of(parts)
    return pattern if len(pattern) <= MAX_LENGTH else pattern[: MAX_LENGTH - 1] + "…"


@lru_cache(maxsize=1024)
def _member_of(pattern: str, name: str) -> str:
    """Return the pattern of a member of what another pattern stands for."""
    whole = f"{pattern}{pointer_of((name,))}"
    return whole if len(whole) <= MAX_LENGTH else whole[: MAX_LENGTH - 1] + "…"


@dataclass
class Leaving:
    """Marks the values of one document that a writer carried, and accounts for all others.

    A value is marked with everything in it. What contains a marked value counts as carried itself; of a list
    or object without any mark inside only the whole is reported, entries of a list each. `keyed` are paths of
    objects whose members are named by ids: in the report those names are `*`, as places in a list are.
    """

    document: Mapping[str, Any]
    account: Account
    keyed: frozenset[Path] = frozenset()
    _marks: _Marks = field(default_factory=dict)
    name: str = ""
    """What places in the account begin with, where several documents become one file."""

    def wrote(self, path: Path, to: str = "") -> None:
        """Mark a value as written, `to` where in the target; the second time for one path says nothing new."""
        if self._mark(path):
            self.account.kept(self._pattern_of(path), to)

    def wrote_members(self, path: Path, targets: Mapping[str, str]) -> None:
        """Mark members of the object at a path as written, each with where it is in the target."""
        marks = self._below(path)
        if marks is None:
            return
        pattern = self._pattern_of(path)
        for name, to in targets.items():
            if marks.get(name) is not _HANDLED:
                marks[name] = _HANDLED
                self.account.kept(_member_of(pattern, name), to)

    def restated(self, path: Path, to: str, reason: str) -> None:
        """Mark a value as written in another form without loss."""
        if self._mark(path):
            self.account.converted(self._pattern_of(path), to, reason)

    def rounded(self, path: Path, reason: Reason, *, old: str, new: str) -> None:
        """Mark a value as written with fewer digits; each number that lost some is a loss of its own."""
        self._mark(path)
        self.account.lost(
            self._pattern_of(path), "rounded", reason.code, reason.text, where=self._where(path), old=old, new=new
        )

    def defaulted(self, path: Path, reason: Reason, *, new: str) -> None:
        """Record that the target needs something which the document does not say at a place."""
        pattern, where = self._pattern_of(path), self._where(path)
        self.account.lost(pattern, "defaulted", reason.code, reason.text, where=where, new=new)

    def left(self, path: Path, reason: Reason) -> None:
        """Record a value as dropped for a reason of its own."""
        if self._mark(path):
            self._lose(path, _value_at(self.document, path), reason)

    def leave_rest(self, reason: Reason) -> None:
        """Record everything that is neither marked nor recorded as dropped."""
        for name, value in self.document.items():
            self._rest((name,), value, self._marks.get(name), reason)

    def _pattern_of(self, path: Path) -> str:
        if self.keyed:
            for above in self.keyed:
                if path[0] == above[0] and len(path) > len(above) and path[: len(above)] == above:
                    path = (*above, 0, *path[len(above) + 1 :])
        return pattern_of(path)

    def _mark(self, path: Path) -> bool:
        """Mark a path; False where it, or what contains it, is marked already."""
        marks = self._below(path[:-1])
        if marks is None or marks.get(path[-1]) is _HANDLED:
            return False
        marks[path[-1]] = _HANDLED
        return True

    def _below(self, path: Path) -> _Marks | None:
        """The marks below a path; None where all of it is marked."""
        marks = self._marks
        for part in path:
            below = marks.setdefault(part, {})
            if below is _HANDLED:
                return None
            marks = below
        return marks

    def _rest(self, path: Path, value: Any, marks: Any, reason: Reason) -> None:
        if marks is _HANDLED:
            return
        if isinstance(value, Mapping) and marks:
            for name, each in value.items():
                self._rest((*path, name), each, marks.get(name), reason)
        elif isinstance(value, list) and (marks or _holds_objects(value)):
            for place, each in enumerate(value):
                self._rest((*path, place), each, (marks or {}).get(place), reason)
        else:
            self._lose(path, value, reason)

    def _where(self, path: Path) -> str:
        return f"{self.name}{pointer_of(path)}"[:MAX_LENGTH]

    def _lose(self, path: Path, value: Any, reason: Reason) -> None:
        old = value if isinstance(value, str) else "" if isinstance(value, Mapping | list) else json.dumps(value)
        pattern, where = self._pattern_of(path), self._where(path)
        self.account.lost(pattern, "dropped", reason.code, reason.text, where=where, old=old)


def _holds_objects(value: list[Any]) -> bool:
    return any(isinstance(each, Mapping | list) for each in value)


def _value_at(document: Any, path: Path) -> Any:
    for part in path:
        document = document[part]
    return document
