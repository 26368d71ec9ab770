"""All demands of a profile put to one case: what is not met, by place, and what could not be judged."""

from typing import Any, Final, NamedTuple, get_args

from shadefmt.catalogue import catalogue
from shadefmt.intake.demands import DEMANDS
from shadefmt.intake.looking import Look, Unmet
from shadefmt.model.demands import Demands
from shadefmt.model.report import DemandNotMet, LeftOpen
from shadefmt.vocabulary import Demand, NotRunReason

ORDER: Final = get_args(Demand)
"""Demands in the order of the vocabulary, in which those of one place are listed."""


class Asked(NamedTuple):
    """Demands not met, by place in the text, and demands that could not be judged."""

    unmet: list[DemandNotMet]
    left_open: list[LeftOpen]


def ask(root: Any, look: Look | None, demands: Demands | None) -> Asked:
    """Put every demand to a case, given as decoded.

    `look` is None where the case could not be looked at, which leaves all demands open.
    """
    unmet: list[DemandNotMet] = []
    left_open: list[LeftOpen] = []
    for name in ORDER:
        wanted = getattr(demands, name.replace("-", "_")) if demands is not None else None
        if wanted is None:
            continue
        reason: NotRunReason | None = "blocked"
        if look is not None:
            found, reason = _put(look, name, wanted)
            unmet += found
        if reason is not None:
            left_open.append(LeftOpen.model_construct(what="demand", name=name, reason=reason))
    unmet.sort(key=lambda each: (_rank(root, each.pointer), ORDER.index(each.demand)))
    return Asked(unmet, left_open)


def _put(look: Look, name: Demand, wanted: object) -> tuple[list[DemandNotMet], NotRunReason | None]:
    """Return what one demand lacks, and why it could not be judged to its end where that is so."""
    lacking: dict[str, list[Unmet]] = {}
    reason: NotRunReason | None = None
    try:
        for each in DEMANDS[name](look, wanted):
            if isinstance(each, Unmet):
                lacking.setdefault(each.pointer, []).append(each)
            else:
                reason = each.reason
    except Exception:  # a demand that breaks must not look like one that is met
        reason = "failed"
    return [_said(name, _as_one(each)) for each in lacking.values()], reason


def _as_one(lacks: list[Unmet]) -> Unmet:
    """Return everything that one demand lacks at one place as one."""
    found = ", and ".join(dict.fromkeys(each.found for each in lacks))
    wanted = ", and ".join(dict.fromkeys(each.wanted for each in lacks))
    return lacks[0]._replace(found=found, wanted=wanted)


def _said(name: Demand, each: Unmet) -> DemandNotMet:
    return DemandNotMet.model_construct(
        demand=name,
        pointer=each.pointer,
        entry_id=each.entry_id,
        subject=each.subject,
        found=each.found,
        wanted=each.wanted,
        message=f"{each.subject}: {each.found}; asked for: {each.wanted}.",
        remedy=catalogue().demands[name].remedy,
    )


def _rank(root: Any, pointer: str) -> tuple[int, ...]:
    """Return where a place stands in the text: the order of members and items from the root down to it."""
    found = []
    for step in pointer.split("/")[1:]:
        if isinstance(root, list):
            found.append(int(step))
            root = root[int(step)]
        else:
            found.append(list(root).index(step))
            root = root[step]
    return tuple(found)
