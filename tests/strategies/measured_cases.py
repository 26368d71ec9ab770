"""Cases as two parties would begin them: readings with spectra or colours, nothing derived yet.

A clinic reads a tooth, a laboratory a crown; each on an instrument of its own. Everything is invented.
"""

import math
import random
from dataclasses import dataclass, field
from typing import Any, Final

from hypothesis import strategies as st

from shadefmt.amending import add_revision

Value = dict[str, Any]

GRIDS: Final = ((400, 10, 31), (380, 10, 36), (400, 20, 16), (380, 5, 81), (360, 1, 471), (420, 10, 26))
"""First wavelength, step, number of values."""

REPEATS: Final = (1, 2, 3, 7, 200)


@dataclass(frozen=True)
class Setting:
    """What one case is made of."""

    seed: int = 1
    grid: tuple[int, int, int] = GRIDS[0]
    uneven: bool = False
    tooth_repeats: int = 3
    crown_repeats: int = 3
    noise: float = 0.002
    apart: float = 0.02
    decimals: int = 4
    rule: str = "four-way-guarded"
    formula: str = "CIEDE2000"
    one_instrument: bool = False
    more: dict[str, Any] = field(default_factory=dict)


settings_of_cases = st.builds(
    Setting,
    seed=st.integers(0, 2**32),
    grid=st.sampled_from(GRIDS),
    uneven=st.booleans(),
    tooth_repeats=st.sampled_from(REPEATS[:4]),
    crown_repeats=st.sampled_from(REPEATS[:4]),
    noise=st.sampled_from([0.0, 0.0003, 0.002, 0.02]),
    apart=st.sampled_from([0.0, 1e-4, 0.01, 0.05, 0.5]),
    decimals=st.sampled_from([2, 4, 6]),
    rule=st.sampled_from(["simple", "guarded", "four-way-guarded"]),
    formula=st.sampled_from(["CIEDE2000", "CIELAB", "CIE94"]),
    one_instrument=st.booleans(),
)


def smooth_spectrum(setting: Setting, chance: random.Random, shift: float = 0.0) -> Value:
    """Return a smooth reflectance factor: two soft steps, with noise, rounded."""
    first, step, number = setting.grid
    low, high = chance.uniform(0.02, 0.4), chance.uniform(0.2, 0.9)
    edge, width = chance.uniform(420, 560), chance.uniform(15, 90)
    wavelengths = [first + step * index for index in range(number)]
    values = [
        round(low + (high - low) / (1 + math.exp((edge - nm) / width)) + shift + chance.gauss(0, setting.noise), 6)
        for nm in wavelengths
    ]
    values = [round(max(each, 0.0), setting.decimals) for each in values]
    head: Value = {"quantity": "reflectance-factor"}
    if setting.uneven:
        return {**head, "wavelengths_nm": wavelengths, "decimals": setting.decimals, "values": values}
    return {**head, "start_nm": first, "step_nm": step, "decimals": setting.decimals, "values": values}


def readings(setting: Setting, party: str, specimen_id: str, number: int, shift: float) -> list[Value]:
    """Return repeats of one zone that differ by noise only."""
    made = []
    for index in range(number):
        chance = random.Random(setting.seed)  # the same spectrum each time, but for its noise
        noisy = smooth_spectrum(Setting(**{**vars(setting), "noise": 0.0, "decimals": 10}), chance, shift)
        jitter = random.Random(f"{setting.seed} {party} {index}")
        noisy["values"] = [
            round(max(each + jitter.gauss(0, setting.noise), 0.0), setting.decimals) for each in noisy["values"]
        ]
        noisy["decimals"] = setting.decimals
        kept = {"hydration": "moist", "isolation": "none"} if party == "clinic" else {"state": "glazed"}
        made.append(
            {
                "id": f"{party}-reading-{index + 1}",
                "session_id": f"{party}-session",
                "specimen_id": specimen_id,
                "zone": "middle",
                "order": index + 1,
                "repositioned": True,
                **kept,
                "spectrum": noisy,
            }
        )
    return made


def _session(party: str, setting: Setting, day: str) -> tuple[Value, Value]:
    own = "clinic" if setting.one_instrument else party
    instrument = {"id": f"{own}-instrument", "kind": "spectrophotometer", "geometry": "0:45", "specular": "excluded"}
    session = {
        "id": f"{party}-session",
        "instrument_id": instrument["id"],
        "party_id": party,
        "started": f"{day}T10:00:00+01:00",
        "barrier_fitted": False,
        "calibration": {"at": f"{day}T09:50:00+01:00", "barrier_fitted": False, "result": "passed"},
    }
    return instrument, session


def tolerance(setting: Setting, entry_id: str = "limits") -> Value:
    """Return a limit with its rule; figures invented."""
    return {
        "id": entry_id,
        "formula": setting.formula,
        "k_L": 1,
        "k_C": 1,
        "k_H": 1,
        "tissue": "tooth",
        "source": "invented",
        "grades": [{"grade": "up-to-perceptible", "at_most": 0.8}, {"grade": "beyond-acceptable"}],
        "limit": 1.8,
        "decision_rule": setting.rule,
        "coverage_factor": 2,
        "agreed_by_ids": ["clinic", "laboratory"],
        "agreed_at": "2026-01-05",
    }


def clinic_case(setting: Setting) -> Value:
    """Return the case of the clinic alone: one revision, readings of a tooth, a crown to be made, an agreed limit."""
    instrument, session = _session("clinic", setting, "2026-03-04")
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": "urn:uuid:7d0a3d5e-6a8b-4a51-9f10-2c9be31d4e77",
        "parties": [{"id": "clinic", "role": "clinic"}, {"id": "laboratory", "role": "laboratory"}],
        "revisions": [{"id": "clinic-1", "party_id": "clinic", "at": "2026-03-04T11:00:00+01:00"}],
        "instruments": [instrument],
        "specimens": [
            {"id": "tooth-21", "kind": "tooth", "tooth": "21"},
            {"id": "crown-11", "kind": "restoration", "tooth": "11", "support": "tooth"},
        ],
        "sessions": [session],
        "readings": readings(setting, "clinic", "tooth-21", setting.tooth_repeats, 0.0),
        "tolerances": [tolerance(setting)],
        **setting.more,
    }


def target(case: Value, source_id: str) -> Value:
    """Return a target for the crown that was copied from a mean."""
    mean = next(each for each in case["means"] if each["id"] == source_id)
    return {
        "id": "target-middle",
        "specimen_id": "crown-11",
        "zone": "middle",
        "source_kind": "measured-tooth",
        "source_id": source_id,
        "set_at": "2026-03-04T11:00:00+01:00",
        "set_by_id": "clinic",
        "colour": {**mean["colour"], "origin": "copied"},
    }


def laboratory_additions(setting: Setting) -> dict[str, list[Value]]:
    """Return what the laboratory adds: readings of the crown."""
    instrument, session = _session("laboratory", setting, "2026-03-12")
    added = {
        "sessions": [session],
        "readings": readings(setting, "laboratory", "crown-11", setting.crown_repeats, setting.apart),
    }
    return added if setting.one_instrument else {"instruments": [instrument], **added}


def with_laboratory(case: Value, setting: Setting) -> Value:
    """Return the case with the laboratory's revision."""
    revision = {"id": "laboratory-1", "party_id": "laboratory", "at": "2026-03-12T16:00:00+01:00"}
    return add_revision(case, revision, laboratory_additions(setting))


def guide(basis: tuple[str, str], colours: list[tuple[float, float, float]]) -> Value:
    """Return an embedded reference set with invented labels."""
    labels = ("Orvell", "Tamsin", "Quarrow", "Belhay", "Dunmere", "Fescue", "Garrick")
    head = {"illuminant": basis[0], "observer": basis[1], "decimals": 2, "origin": "copied"}
    return {
        "id": "guide",
        "title": "Steps of Wend, an invented guide",
        "extract": True,
        "references": [
            {
                "id": f"ref-{label.lower()}",
                "label": label,
                "colour": {**head, "lab": dict(zip("Lab", lab, strict=True))},
            }
            for label, lab in zip(labels, colours, strict=False)
        ],
    }
