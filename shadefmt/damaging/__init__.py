"""Damaged copies of a sound case, each with what a checker has to say of it, stated beforehand.

For the demo and for tests. Expectations are worked out from the meaning of the damage with plain arithmetic, never by
asking the checker. A case to damage is like the demo's: two revisions, repeats with spectra and computed colours, a
stump whose means nothing rests on, targets, comparisons and verdicts under one guarded tolerance.
"""

from shadefmt.damaging.damage import Damage
from shadefmt.damaging.kinds import KINDS
from shadefmt.damaging.run import damaged, damaged_repeatedly

__all__ = ["KINDS", "Damage", "damaged", "damaged_repeatedly"]
