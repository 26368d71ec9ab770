"""What an archive says of repeats: how well each instrument repeats, and which readings may have slipped."""

from collections.abc import Iterator
from math import sqrt
from statistics import median_low
from typing import Any, NamedTuple

from shadefmt.chain.colours import Triple, lab_of
from shadefmt.colour.formula import Formula
from shadefmt.colour.repeats import mcdm, mcdm_corrected, pooled, propose_slips
from shadefmt.comparing.pairs import instrument_name
from shadefmt.indexing import CaseView
from shadefmt.model.measuring import Reading

Value = dict[str, Any]

FEWEST = 3
"""Readings of which one can be told to have slipped: of two nobody can say which."""


class RepeatSet(NamedTuple):
    """Readings of one place in one session, in the same state; in the order of the case."""

    case: str
    session: str
    specimen: str
    zone: str
    ids: tuple[str, ...]
    labs: tuple[Triple, ...]


class Repeats:
    """Collects, case by case, the sets of repeats of every instrument; memory grows with the readings."""

    def __init__(self, illuminant: str, observer: str, by: Formula) -> None:
        self._basis = (illuminant, observer)
        self._by = by
        self._found: dict[str, list[RepeatSet]] = {}

    def add(self, view: CaseView) -> None:
        """Add a case: readings count that are not withdrawn and have a colour of the basis and an instrument."""
        places: dict[tuple[Any, ...], list[tuple[Reading, Triple]]] = {}
        for reading in view.case.readings or ():
            session = view.session_of(reading)
            colour = view.colour(view.entries[reading.id], *self._basis)
            if reading.id in view.withdrawn or session is None or colour is None or colour.lab is None:
                continue
            state = (reading.state, reading.hydration, reading.isolation, reading.backing, reading.backing_id)
            instrument = instrument_name(view, session.instrument_id) if session.instrument_id else "not stated"
            key = (instrument, session.id, reading.specimen_id, reading.zone, colour.origin, *state)
            places.setdefault(key, []).append((reading, lab_of(colour.lab)))
        for (instrument, session_id, specimen, zone, *_), read in places.items():
            ids, labs = tuple(each.id for each, _ in read), tuple(lab for _, lab in read)
            self._found.setdefault(instrument, []).append(
                RepeatSet(view.case.id, session_id, specimen, zone, ids, labs)
            )

    def repeatability(self) -> Iterator[Value]:
        """Yield for each instrument what one reading of it scatters, pooled over all sets, and from how much."""
        for instrument, sets in sorted(self._found.items()):
            repeated = [each.labs for each in sets if len(each.labs) > 1]
            row: Value = {"instrument": instrument, "sets": len(repeated), "single_readings": len(sets) - len(repeated)}
            if repeated:
                found = pooled(repeated, *self._by)
                deviations = zip(("L", "a", "b"), found.covariance, strict=False)
                row |= {
                    "sessions": len({(each.case, each.session) for each in sets if len(each.labs) > 1}),
                    "readings": sum(map(len, repeated)),
                    "degrees_of_freedom": found.degrees_of_freedom,
                    "mcdm": found.mcdm,
                    "formula": self._by.name,
                    "standard_deviations": {name: sqrt(max(variance, 0.0)) for name, variance in deviations},
                }
            yield row

    def slips(self) -> Iterator[Value]:
        """Yield every reading that lies far from the mean of the others, then what was looked at.

        A proposal: nothing is withdrawn by it. The limit is at least the floor of `propose_slips`, and rises with
        what the instrument scatters as a rule: the median over its sets, which slips themselves do not move.
        """
        looked, small, proposed = 0, 0, 0
        for instrument, sets in sorted(self._found.items()):
            scatter = _scatter(sets, self._by.name)
            for each in sets:
                if len(each.labs) < FEWEST:
                    small += 1
                    continue
                looked += 1
                for row in _proposals(each, scatter, self._by.name):
                    proposed += 1
                    yield {"instrument": instrument, **row}
        yield {"sets": looked, "sets_too_small": small, "proposed": proposed, "withdrawn": 0}


def _scatter(sets: list[RepeatSet], formula: str) -> float:
    """Return the median of the corrected MCDM of the sets; 0 for too few sets to tell a rule from a slip."""
    repeated = [each.labs for each in sets if len(each.labs) > 1]
    if len(repeated) < FEWEST:
        return 0.0
    return median_low([mcdm_corrected(mcdm(labs, formula), len(labs)) for labs in repeated])


def _proposals(repeats: RepeatSet, scatter: float, formula: str) -> Iterator[Value]:
    found = propose_slips(repeats.labs, scatter, formula)
    for index in found.proposed:
        yield {
            "case": repeats.case,
            "session": repeats.session,
            "specimen": repeats.specimen,
            "zone": repeats.zone,
            "reading": repeats.ids[index],
            "from_the_others": found.distances[index],
            "limit": found.limit,
            "readings": len(repeats.ids),
            "proposal": "look at it; withdraw it with a reason if it slipped",
        }
