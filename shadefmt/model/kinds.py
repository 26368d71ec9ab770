"""The kinds of document and where their models live; a model is imported when it is asked for."""

from importlib import import_module
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from shadefmt.model.base import Block

EXCHANGED_KINDS: Final = {
    "case": ("shadefmt.model.case", "Case"),
    "reference-set": ("shadefmt.model.reference_set", "ReferenceSet"),
    "tolerance": ("shadefmt.model.reference_set", "Tolerance"),
    "table-mapping": ("shadefmt.model.table_mapping", "TableMapping"),
    "intake-profile": ("shadefmt.model.intake", "IntakeProfile"),
    "waiver-list": ("shadefmt.model.intake", "WaiverList"),
}
"""Kinds that people write and exchange: module and class of each."""

TOOL_KINDS: Final = {
    "report": ("shadefmt.model.report", "Report"),
    "loss-report": ("shadefmt.model.loss_report", "LossReport"),
}
"""Kinds that tools write: module and class of each."""

KINDS: Final = EXCHANGED_KINDS | TOOL_KINDS


def model_of(kind: str) -> "type[Block]":
    """Return the model of a kind.

    Raises:
        KeyError: no such kind.
    """
    module, name = KINDS[kind]
    model: type[Block] = getattr(import_module(module), name)
    return model
