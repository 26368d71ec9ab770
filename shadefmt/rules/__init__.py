"""The rules: one function each, grouped by subject. A rule reads attributes and yields hits; it decides nothing."""

from typing import Final

from shadefmt.rules import (
    appearances,
    attachments,
    averaging,
    comparability,
    completeness,
    conditions,
    courses,
    exclusions,
    eyes,
    numbers,
    plausibility,
    privacy,
    receiving,
    recomputation,
    references,
    relating,
    revisions,
    times,
    tolerances,
    verdicts,
)
from shadefmt.rules.base import Rule

RULES: Final[dict[str, Rule]] = {
    code: rule
    for module in (
        references,
        revisions,
        times,
        conditions,
        recomputation,
        averaging,
        comparability,
        tolerances,
        verdicts,
        exclusions,
        plausibility,
        numbers,
        privacy,
        completeness,
        attachments,
        eyes,
        courses,
        appearances,
        relating,
        receiving,
    )
    for code, rule in module.RULES.items()
}
"""Every rule of the stage `rules` by code."""
