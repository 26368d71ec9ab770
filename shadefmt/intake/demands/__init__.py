"""The demands that an intake profile may make, one function each.

A demand asks what a case states: what is not stated is not met. Only what lies outside the document can leave it
unjudged.
"""

from collections.abc import Callable, Iterator
from typing import Any, Final

from shadefmt.intake.demands import conditions, instruments, judging, numbers, ordering, readings
from shadefmt.intake.looking import Look, Unjudged, Unmet
from shadefmt.vocabulary import Demand

Asking = Callable[[Look, Any], Iterator[Unmet] | Iterator[Unmet | Unjudged]]
"""Looks at a case and yields where one demand is not met, or that it cannot be judged."""

DEMANDS: Final[dict[Demand, Asking]] = {
    "sources": readings.sources,
    "zones": readings.zones,
    "repeats": readings.repeats,
    "spread": readings.spread,
    "spectrum": numbers.spectrum,
    "basis": numbers.basis,
    "decimals": numbers.decimals,
    "geometry": instruments.geometry,
    "instrument": instruments.instrument,
    "bridge": instruments.bridge,
    "calibration": instruments.calibration,
    "check-patch": instruments.check_patch,
    "barrier": conditions.barrier,
    "isolation": conditions.isolation,
    "surface": conditions.surface,
    "settling": conditions.settling,
    "target": judging.target,
    "tolerance": judging.tolerance,
    "verdict": judging.verdict,
    "prescription": ordering.prescription,
    "attachments": ordering.attachments,
    "documents": ordering.documents,
    "age": ordering.age,
    "sender": ordering.sender,
}
"""Every demand by its word, in the order of the vocabulary."""
