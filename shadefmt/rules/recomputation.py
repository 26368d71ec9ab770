"""Rules that report where a stated number does not follow from the stated numbers before it."""

from collections.abc import Iterator
from typing import Final

from shadefmt.rules.base import Hit, Matter, Rule

LINK_CODES: Final = (
    "colour-disagrees-with-spectrum",
    "instrument-colour-differs-from-spectrum",
    "xyz-disagrees-with-lab",
    "mean-disagrees-with-readings",
    "spread-disagrees-with-readings",
    "target-differs-from-source",
    "nearest-differs",
    "match-difference-disagrees",
    "match-conclusion-disagrees",
    "match-margin-disagrees",
    "difference-disagrees",
    "direction-disagrees",
    "uncertainty-disagrees-with-components",
    "grade-disagrees-with-difference",
    "decision-disagrees-with-rule",
    "index-disagrees-with-colour",
    "translucency-disagrees",
    "bridge-disagrees-with-readings",
    "effect-disagrees-with-indices",
)
"""Codes that the chain reports, in the order of its links."""


def _from_trace(code: str) -> Rule:
    def rule(matter: Matter) -> Iterator[Hit]:
        for each in matter.trace.of(code):
            yield Hit(each.pointer, each.params, each.entry_id, each.facts)

    return rule


RULES: Final[dict[str, Rule]] = {code: _from_trace(code) for code in LINK_CODES}
