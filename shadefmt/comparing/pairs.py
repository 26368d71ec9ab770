"""Which instruments read systematically apart: offsets over an archive in which both read the same specimens."""

from itertools import combinations
from typing import Any

from shadefmt.chain.colours import Triple, lab_of
from shadefmt.colour.bridge import offset
from shadefmt.colour.repeats import mean
from shadefmt.indexing import CaseView

Value = dict[str, Any]


class InstrumentPairs:
    """Collects, case by case, what two instruments read of one place; memory grows with the pairs found only."""

    def __init__(self, illuminant: str, observer: str) -> None:
        self._basis = (illuminant, observer)
        self._found: dict[tuple[str, str], list[tuple[Triple, Triple]]] = {}

    def add(self, view: CaseView) -> None:
        """Add a case: each specimen, zone and state that two instruments read gives one pair of means."""
        places: dict[tuple[Any, ...], dict[str, list[Triple]]] = {}
        for reading in view.case.readings or ():
            session = view.session_of(reading)
            instrument = session.instrument_id if session is not None else None
            colour = view.colour(view.entries[reading.id], *self._basis)
            if reading.id in view.withdrawn or instrument is None or colour is None or colour.lab is None:
                continue
            key = (reading.specimen_id, reading.zone, reading.state, reading.hydration)
            places.setdefault(key, {}).setdefault(instrument_name(view, instrument), []).append(lab_of(colour.lab))
        for read in places.values():
            for one, other in combinations(sorted(read), 2):
                self._found.setdefault((one, other), []).append((mean(read[one]), mean(read[other])))

    def offsets(self) -> list[Value]:
        """Return offset, number of pairs and interval for every two instruments, most pairs first."""
        rows = []
        for (one, other), pairs in sorted(self._found.items(), key=lambda each: (-len(each[1]), each[0])):
            row: Value = {"first": one, "second": other, "pairs": len(pairs)}
            if len(pairs) > 1:
                found = offset([each[0] for each in pairs], [each[1] for each in pairs])
                row |= {
                    "offset": list(found.offset),
                    "half_width": list(found.half_width),
                    "residual": found.residual,
                    "one_number_suffices": found.constant,
                }
            rows.append(row)
        return rows


def instrument_name(view: CaseView, instrument_id: str) -> str:
    """Return the id by which an instrument is known across cases: with the party that used it, where stated."""
    parties = {each.party_id for each in view.case.sessions or () if each.instrument_id == instrument_id}
    party = view.find(next(iter(parties)), "parties") if len(parties) == 1 else None
    return f"{party.code or party.id}/{instrument_id}" if party is not None else instrument_id
