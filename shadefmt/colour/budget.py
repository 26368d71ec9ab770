"""The uncertainty budget of one difference: which components count, which cancel, which are missing.

A component is a standard uncertainty of the difference from one source. What both colours share cancels only
if one instrument read both in one session and the specimens are alike: tooth and ceramic lose light
differently at a small window (Bolt, ten Bosch and Coops 1994; Johnston et al. 1996).
"""

from collections.abc import Iterable
from typing import Final, NamedTuple

from shadefmt.colour.uncertainty import combined
from shadefmt.errors import WrongUse

INTER_INSTRUMENT: Final = "inter-instrument"
BRIDGE: Final = "bridge"


class Component(NamedTuple):
    """One source, its standard uncertainty in units of the difference, and whether both colours share it."""

    source: str
    standard_uncertainty: float
    shared: bool = False


class Setting(NamedTuple):
    """How the two colours of a difference were read. `bridged` matters for two instruments only."""

    one_instrument: bool
    one_session: bool
    like_specimens: bool
    bridged: bool = False

    @property
    def shared_cancels(self) -> bool:
        """Whether an error common to both colours drops out of their difference."""
        return self.one_instrument and self.one_session and self.like_specimens


class Budget(NamedTuple):
    """Combined standard uncertainty, or None where `missing` names what a comparison cannot do without."""

    combined: float | None
    counted: tuple[Component, ...]
    left_out: tuple[Component, ...]
    missing: tuple[str, ...]


def budget(components: Iterable[Component], setting: Setting) -> Budget:
    """Components combined in closed form (JCGM 100:2008, 5.1.2).

    Across two instruments an inter-instrument component is required, or a bridge component where they are
    bridged; without it the two colours cannot be compared, and `missing` says why.
    """
    listed = tuple(components)
    if len({component.source for component in listed}) < len(listed):
        raise WrongUse("a source of uncertainty is listed twice")
    left_out = tuple(part for part in listed if part.shared and setting.shared_cancels)
    counted = tuple(part for part in listed if part not in left_out)
    accepted = {INTER_INSTRUMENT, BRIDGE} if setting.bridged else {INTER_INSTRUMENT}
    across = not setting.one_instrument and not any(part.source in accepted for part in counted)
    missing = ((BRIDGE if setting.bridged else INTER_INSTRUMENT),) if across else ()
    total = combined(part.standard_uncertainty for part in counted)
    return Budget(None if missing else total, counted, left_out, missing)
