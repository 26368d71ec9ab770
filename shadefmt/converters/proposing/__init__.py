"""Mappings for tables, proposed from what their headers and cells show."""

from shadefmt.converters.proposing.proposal import Proposal, propose_mapping

__all__ = ["Proposal", "propose_mapping"]
