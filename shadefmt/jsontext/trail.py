"""What the exact reader keeps while it reads: open containers, faults so far, places that are wanted."""

from dataclasses import dataclass, field
from typing import Any, NoReturn

from shadefmt.jsontext.faults import MAX_FAULTS, Param
from shadefmt.jsontext.pointers import pointer_of
from shadefmt.jsontext.tokens import SURROGATE

_MAX_POINTER_CHARACTERS = 2000  # a fault repeats the names above it: without a bound output could grow as a square


class GrammarError(Exception):
    """Ends a reading at a fault of the grammar; never leaves the reader."""


class Wanted:
    """A node in a tree of places to be found: `at` is the index of the value's first character, once met."""

    __slots__ = ("at", "children")

    def __init__(self) -> None:
        self.at: int | None = None
        self.children: dict[str, Wanted] = {}

    def note(self, at: int) -> None:
        """Keep the first place that is told."""
        if self.at is None:
            self.at = at


class Frame:
    """An open container: what it holds so far and which of its values is being read."""

    __slots__ = ("at", "container", "count", "is_object", "names", "step", "wanted")

    def __init__(self, is_object: bool, at: int, wanted: Wanted | None) -> None:
        self.is_object = is_object
        self.at = at
        self.wanted = wanted
        self.container: Any = {} if is_object else []
        self.names: dict[str, int] = {}
        self.step: str | int | None = None
        self.count = 0

    def step_to(self, step: str | int) -> None:
        """Name the value that is read next; `step` is None between values."""
        self.step = step
        self.count += 1

    def add(self, value: Any) -> None:
        """Put the value of the current step into the container."""
        if self.is_object:
            self.container[self.step] = value
        else:
            self.container.append(value)

    def wanted_here(self) -> Wanted | None:
        """The node of the current step, if somebody asked for it or for something in it."""
        return self.wanted.children.get(str(self.step)) if self.wanted else None


@dataclass(frozen=True, slots=True)
class Noted:
    """A fault by index of character: `earlier` names a related place and says how its params are called."""

    code: str
    at: int
    params: dict[str, Param]
    pointer: str | None
    earlier: tuple[str, int] | None


@dataclass(slots=True)
class Trail:
    """Open containers, outermost first, and the faults found so far."""

    frames: list[Frame] = field(default_factory=list)
    noted: list[Noted] = field(default_factory=list)
    omitted: int = 0

    def note(self, code: str, at: int, earlier: tuple[str, int] | None = None, **params: Param) -> None:
        """Keep a fault and go on; beyond MAX_FAULTS it is only counted."""
        if len(self.noted) >= MAX_FAULTS:
            self.omitted += 1
            return
        self.noted.append(Noted(code, at, params, self._pointer(), earlier))

    def halt(self, code: str, at: int, earlier: tuple[str, int] | None = None, **params: Param) -> NoReturn:
        """Keep a fault, whatever their number, and end the reading."""
        self.noted.append(Noted(code, at, params, self._pointer(), earlier))
        raise GrammarError

    def _pointer(self) -> str | None:
        """To the value being read, or its nearest ancestor whose pointer is no longer than sensible and plain text."""
        if not self.frames:
            return None
        steps: list[str] = []
        budget = _MAX_POINTER_CHARACTERS
        for frame in self.frames:
            step = str(frame.step)
            budget -= len(step) + 1
            if frame.step is None or budget < 0 or SURROGATE.search(step):
                break
            steps.append(step)
        return pointer_of(steps)
