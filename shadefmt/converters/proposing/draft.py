"""A mapping while it is drafted: its members, the evidence for them, and what is left to decide."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from shadefmt.converters.proposing.headers import Heading, heading
from shadefmt.converters.proposing.marks import Look, Marks
from shadefmt.vocabulary import Sureness

Value = dict[str, Any]

_LONGEST: Final = 200
_SHOWN: Final = 5


@dataclass
class Draft:
    """A mapping in the making for the columns of one table."""

    headers: Sequence[str]
    looks: Sequence[Look]
    marks: Marks
    labelled: list[Value] = field(default_factory=list)
    columns: list[Value] = field(default_factory=list)
    colours: list[Value] = field(default_factory=list)
    groups: list[Value] = field(default_factory=list)
    spectra: list[Value] = field(default_factory=list)
    ignored: list[Value] = field(default_factory=list)
    members: Value = field(default_factory=dict)
    questions: list[Value] = field(default_factory=list)
    found: dict[int, Value] = field(default_factory=dict)
    headings: list[Heading] = field(init=False)

    def __post_init__(self) -> None:
        self.headings = [heading(text) for text in self.headers]
        self._times = Counter(self.headers)

    @property
    def left(self) -> list[int]:
        """Columns that nothing was said of yet."""
        return [index for index in range(len(self.headers)) if index not in self.found]

    def choice(self, index: int) -> Value:
        """Return the members that name a column in a mapping."""
        text = self.headers[index]
        if not text or len(text) > _LONGEST:
            return {"column_number": index + 1}
        return {"column": text} if self._times[text] == 1 else {"column": text, "column_number": index + 1}

    def add(self, index: int, member: str, **more: Any) -> str:
        """Map a column to a member and return where it stands in the mapping."""
        self.columns.append({**self.choice(index), "member": member, **more})
        return f"/columns/{len(self.columns) - 1}"

    def say(self, index: int, sureness: Sureness, reason: str, *, member: str = "", seen: bool = True) -> None:
        """Enter the evidence for a column."""
        text = self.headers[index][:_LONGEST]
        shown = [each[:40] for each in self.looks[index].distinct[:_SHOWN]] if seen else []
        self.found[index] = {
            **({"column": text} if text else {}),
            "column_number": index + 1,
            **({"member": member} if member else {}),
            "sureness": sureness,
            "reason": reason,
            **({"seen": shown} if shown else {}),
        }

    def ask(self, place: str, question: str, answers: Sequence[str] = ()) -> None:
        """Leave something to a person."""
        self.questions.append({"place": place, "question": question, **({"answers": list(answers)} if answers else {})})
