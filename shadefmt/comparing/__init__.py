"""Compare colours outside a verdict: two sides, a ledger of where a difference arose, pairs of instruments."""

from shadefmt.comparing.adapting import adapted_entry, adapted_side
from shadefmt.comparing.covering import Covering
from shadefmt.comparing.hindrances import obstacles_between
from shadefmt.comparing.ledgers import ledger_of
from shadefmt.comparing.pairs import InstrumentPairs
from shadefmt.comparing.repeating import Repeats
from shadefmt.comparing.sides import NoColour, Side, compare_sides, side_of_entry, sides_of_specimens, typed_side

__all__ = [
    "Covering",
    "InstrumentPairs",
    "NoColour",
    "Repeats",
    "Side",
    "adapted_entry",
    "adapted_side",
    "compare_sides",
    "ledger_of",
    "obstacles_between",
    "side_of_entry",
    "sides_of_specimens",
    "typed_side",
]
