"""Where between shade taking and seated work a difference arose: vectors in CIELAB that close exactly."""

from collections.abc import Sequence
from itertools import combinations
from typing import Any

from shadefmt.colour.formula import Formula
from shadefmt.colour.ledger import Line, Station, ledger
from shadefmt.comparing.sides import Side
from shadefmt.indexing import CaseView

Value = dict[str, Any]


def ledger_of(view: CaseView, stations: Sequence[Side], by: Formula) -> Value:
    """Return the ledger from the first station to the last, in the order given.

    Each line is a CIELAB vector with its own size; the lines add up to the total to the last digit. A line between two
    instruments that no bridge which counts relates cannot be told apart from the instruments. Nothing says who.
    """
    between = combinations(sorted(set().union(*(each.instruments for each in stations))), 2)
    bridged = {frozenset(each) for each in between if view.bridged(each)}
    made = ledger([_station(each) for each in stations], bridged=bridged, by=by)
    return {"total": _line(made.total), "lines": [_line(each) for each in made.lines], "decimals": made.decimals}


def _station(side: Side) -> Station:
    instrument = next(iter(side.instruments)) if len(side.instruments) == 1 else None
    return Station(side.name, side.lab, side.spread, instrument)


def _line(line: Line) -> Value:
    return {name: _plain(item) for name, item in line._asdict().items() if item is not None}


def _plain(item: Any) -> Any:
    if hasattr(item, "_asdict"):
        return {name: _plain(each) for name, each in item._asdict().items()}
    return list(item) if isinstance(item, tuple) else item
