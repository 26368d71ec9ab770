"""A case through a foreign format and back: what came back otherwise, held against what the loss reports said."""

import io
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from shadefmt.comparing.documents import Difference, Path, document_differences
from shadefmt.converters.base import MAX_INSTANCES
from shadefmt.converters.formats import FORMATS, Stated, the_only_case
from shadefmt.converters.leaving import pattern_of
from shadefmt.errors import WrongUse
from shadefmt.jsontext import pointer_of

Value = dict[str, Any]
Said = Literal["said", "aside", "unsaid", "renewed", "added"]
"""`said`: a loss report lists it. `aside`: it came back inside an extension. `unsaid`: lost, and no report says so.
`renewed`: the id of the document, which every reader makes anew from the bytes that it reads, and what refers to an
entry by the id that it has now. `added`: the reader made
it; nothing of the case is lost by it."""


@dataclass(frozen=True)
class RoundTrip:
    """What became of one case: differences by path pattern, and the loss reports of writing and reading."""

    differences: list[Value]
    writing: Value
    reading: Value

    @property
    def unsaid(self) -> int:
        """Number of values that were lost without a word in a loss report."""
        return sum(each["count"] for each in self.differences if each["said"] == "unsaid")

    @property
    def losses(self) -> list[Value]:
        """The items of both loss reports that lost something."""
        return _losses(self.writing) + _losses(self.reading)


def round_trip(case: Value, via: str, *, mapping: Value | None = None, full: bool = False) -> RoundTrip:
    """Write a case in a foreign format, read it back, and compare value by value.

    Both loss reports list every loss; `full` does the same for the differences. A table needs its `mapping`.

    Raises:
        WrongUse: the format cannot be both written and read, or the case cannot be written.
        Refused: as writer and reader say.
    """
    through = FORMATS.get(via)
    if through is None or through.read is None or through.write is None:
        raise WrongUse(f"no case can go through {via!r} and come back")
    written = through.write([case], Stated(full=True, mapping=mapping))
    data = b"".join(written.data)
    writing = written.loss()
    conversion = through.read(io.BytesIO(data), _listing_all(written.back))
    came = the_only_case(conversion.cases, "a round trip")
    reading = conversion.loss()
    judge = _Judge(writing, reading)
    return RoundTrip(_grouped(judge.of_all(document_differences(case, came, judge.dropped)), full), writing, reading)


def _listing_all(stated: Stated) -> Stated:
    return Stated(**{**vars(stated), "full": True})


class _Judge:
    """Says of differences whether a loss report announced them."""

    def __init__(self, writing: Value, reading: Value) -> None:
        lost = [(item["fate"], one) for item in _losses(writing) for one in item.get("instances", ())]
        self._lost = {one["where"] for fate, one in lost if fate != "rounded"}
        self.dropped = {one["where"] for fate, one in lost if fate == "dropped"}
        self._rounded = {one["where"]: one.get("after", "") for fate, one in lost if fate == "rounded"}
        self._to = {item["path"]: item["to"] for item in writing.get("items", ()) if "to" in item}
        self._aside = {
            item["path"] for item in reading.get("items", ()) if item.get("to", "").startswith("/extensions/")
        }
        self._lost_by_reader = {item["path"] for item in _losses(reading)}

    def of_all(self, differences: Iterator[Difference]) -> Iterator[tuple[Said, Difference]]:
        """Yield differences with what was said of them; what is missing is taken apart until its parts are said."""
        for each in differences:
            if each.kind == "added":
                yield "added", each
            else:
                yield from self._of_one(each)

    def _of_one(self, difference: Difference) -> Iterator[tuple[Said, Difference]]:
        path, value = difference.path, difference.before
        if self._is_said(path) or self._is_rounded(difference):
            yield "said", difference
        elif difference.kind == "renamed" or (path == ("id",) and difference.kind == "changed"):
            yield "renewed", difference
        elif difference.kind == "missing" and (parts := _parts(value)):
            for step, part in parts:
                yield from self._of_one(Difference((*path, step), "missing", part))
        else:
            yield "aside" if self._to.get(pattern_of(path)) in self._aside else "unsaid", difference

    def _is_said(self, path: Path) -> bool:
        """Return whether the writer reports this place or what holds it, or the reader what the writer made of it."""
        above = (pointer_of(path[:length]) for length in range(1, len(path) + 1))
        return any(each in self._lost for each in above) or self._to.get(pattern_of(path)) in self._lost_by_reader

    def _is_rounded(self, difference: Difference) -> bool:
        """Return whether the writer says that it rounded this number, and to what came back."""
        said = self._rounded.get(pointer_of(difference.path))
        return said is not None and said == json.dumps(difference.after)


def _losses(report: Value) -> list[Value]:
    return [item for item in report.get("items", ()) if "code" in item]


def _parts(value: Any) -> list[tuple[str | int, Any]]:
    """The members of an object, or the objects of a list; nothing of a list of numbers or words."""
    if isinstance(value, Mapping):
        return list(value.items())
    if isinstance(value, list) and any(isinstance(each, Mapping) for each in value):
        return list(enumerate(value))
    return []


def _grouped(judged: Iterator[tuple[Said, Difference]], full: bool) -> list[Value]:
    """Differences by path pattern, kind and what was said of them, the unsaid first."""
    groups: dict[tuple[str, str, str], Value] = {}
    for said, each in judged:
        pattern = pattern_of(each.path)
        fresh: Value = {"path": pattern, "kind": each.kind, "said": said, "count": 0, "instances": []}
        group = groups.setdefault((said, pattern, each.kind), fresh)
        group["count"] += 1
        if full or len(group["instances"]) < MAX_INSTANCES:
            instance = {"where": pointer_of(each.path), "before": each.before, "after": each.after}
            group["instances"].append({name: item for name, item in instance.items() if item is not None})
    return sorted(
        groups.values(), key=lambda group: ("unsaid", "said", "aside", "renewed", "added").index(group["said"])
    )
