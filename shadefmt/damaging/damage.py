"""What a damage is, and where in a case it can be done."""

from dataclasses import dataclass, field
from typing import Any, Final

Value = dict[str, Any]
Place = tuple[str, str]


@dataclass
class Damage:
    """A damaged case; `expected` are codes and pointers, `cause` the code of the one cause, if determined."""

    kind: str
    words: str
    case: Value
    expected: set[Place] = field(default_factory=set)
    cause: str | None = None

    @property
    def exit_code(self) -> int:
        """What `shadefmt check` returns for it."""
        return 1 if any(code not in WARNINGS for code, _ in self.expected) else 0


WARNINGS: Final = frozenset(
    {
        "barrier-differs-from-calibration",
        "calibration-failed",
        "coordinates-swapped",
        "instrument-colour-differs-from-spectrum",
        "mean-of-single-reading",
        "reading-equals-reference",
        "repeat-far-from-others",
        "spectrum-scale-suspect",
        "subject-looks-like-record-number",
        "tolerance-agreed-after-reading",
    }
)
"""Codes used here that are no errors."""


def stumps(case: Value) -> list[int]:
    """Return the places of the readings of stumps, whose means nothing rests on."""
    stumps = {each["id"] for each in case["specimens"] if each["kind"] == "stump"}
    return [place for place, each in enumerate(case["readings"]) if each["specimen_id"] in stumps]


def stump_means(case: Value) -> list[int]:
    ids = {case["readings"][place]["id"] for place in stumps(case)}
    return [place for place, each in enumerate(case["means"]) if set(each["reading_ids"]) <= ids]


def computed(reading: Value) -> tuple[int, Value]:
    return next((at, each) for at, each in enumerate(reading["colours"]) if each["origin"] == "computed")


def verdicts(case: Value) -> list[str]:
    return [f"/verdicts/{place}" for place in range(len(case["verdicts"]))]
