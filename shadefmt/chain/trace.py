"""All links of one document recomputed from what it states: where stated and expected part."""

from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

from shadefmt.chain import appearances, colours, comparisons, matches, means, targets, verdicts
from shadefmt.chain.links import Disagreement
from shadefmt.indexing import CaseView

LINKS: Final[tuple[Callable[[CaseView], Iterator[Disagreement]], ...]] = (
    colours.links,
    means.links,
    targets.links,
    matches.links,
    comparisons.links,
    verdicts.links,
    appearances.links,
)
"""The links in the order in which one number follows from another."""


class Trace(NamedTuple):
    """What recomputation found, by code of the rule that reports it."""

    by_code: dict[str, list[Disagreement]]

    def of(self, code: str) -> list[Disagreement]:
        """Return the disagreements that one rule reports."""
        return self.by_code.get(code, [])

    @property
    def all(self) -> list[Disagreement]:
        """Return every disagreement."""
        return [each for found in self.by_code.values() for each in found]


def trace(view: CaseView) -> Trace:
    """Recompute every link of a case from its stated inputs.

    Inputs are taken as they stand, also where they were themselves found to disagree: a fault then shows in one
    link and does not travel.
    """
    found: dict[str, list[Disagreement]] = {}
    for links in LINKS:
        for each in links(view):
            found.setdefault(each.code, []).append(each)
    return Trace(found)
