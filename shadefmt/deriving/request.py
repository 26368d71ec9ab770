"""What is asked of `derive`, and what it answers."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from shadefmt.vocabulary import DifferenceFormula, Illuminant, Observer, Question, UncertaintySource


@dataclass(frozen=True)
class Request:
    """How to complete a case.

    `components` are standard uncertainties (in units of the difference) of what repeats do not show, by source;
    `decimals` hold for colours, differences and uncertainties, spreads get two more.
    """

    illuminant: Illuminant = "D65"
    observer: Observer = "2-degree"
    formula: DifferenceFormula = "CIEDE2000"
    question: Question = "match"
    decimals: int = 2
    coverage_factor: float = 2.0
    components: Mapping[UncertaintySource, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Left:
    """Something that was not derived, and why."""

    what: str
    entry_id: str
    reason: str


@dataclass(frozen=True)
class Derived:
    """The completed case, the ids added by list, and what was left."""

    case: dict[str, Any]
    added: Mapping[str, list[str]]
    left: list[Left]
