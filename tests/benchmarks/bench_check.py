"""Full check from bytes against structure alone: `python tests/benchmarks/bench_check.py [documents]`.

Documents with six spectra of 31 bands, means, targets, nearest references, comparisons and verdicts, each other; the
same lines go to `check` (all rules, report made) and to orjson with jsonschema-rs (structure, yes or no). Rounds
alternate; medians and their ratio are printed. Bar: at most 10 times.
"""

import json
import random
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema_rs
import orjson

from shadefmt import add_revision, check, derive
from shadefmt.jsontext import line_form

SCHEMA = Path(__file__).resolve().parents[2] / "schema" / "1.0" / "case.schema.json"
BASIS = {"illuminant": "D65", "observer": "2-degree"}
TOLERANCE = {
    "id": "tolerance",
    "formula": "CIEDE2000",
    "k_L": 1,
    "k_C": 1,
    "k_H": 1,
    "tissue": "tooth",
    "source": "agreed for this benchmark",
    "grades": [{"grade": "up-to-acceptable", "at_most": 1.8}, {"grade": "beyond-acceptable"}],
    "limit": 1.8,
    "decision_rule": "four-way-guarded",
    "coverage_factor": 2,
}


def spectrum(chance: random.Random, shift: float) -> dict[str, Any]:
    low, high = 0.26 + chance.uniform(-0.01, 0.01) + shift, 0.55 + chance.uniform(-0.01, 0.01) + shift
    middle = 512 + chance.uniform(-2, 2)
    values = [round(low + (high - low) / (1 + 2.718281828 ** (-(400 + 10 * n - middle) / 45)), 4) for n in range(31)]
    return {"quantity": "reflectance-factor", "start_nm": 400, "step_nm": 10, "decimals": 4, "values": values}


def reading(chance: random.Random, number: int) -> dict[str, Any]:
    tooth = number <= 3
    return {
        "id": f"reading-{number}",
        "session_id": "session",
        "specimen_id": "tooth" if tooth else "crown",
        "zone": "middle",
        "order": number,
        "repositioned": True,
        **({"hydration": "moist", "isolation": "none"} if tooth else {"state": "glazed", "backing": "black"}),
        "spectrum": spectrum(chance, 0.0 if tooth else -0.01),
    }


def document(number: int) -> bytes:
    chance = random.Random(number)
    case: dict[str, Any] = {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "case",
        "id": f"urn:uuid:00000000-0000-4000-8000-{number:012}",
        "privacy": {"status": "pseudonymised", "dates": "exact"},
        "subject": {"pseudonym": f"p{number}x"},
        "parties": [{"id": "clinic", "role": "clinic"}],
        "instruments": [{"id": "instrument", "kind": "spectrophotometer", "geometry": "45:0", "aperture_mm": 4}],
        "specimens": [
            {"id": "tooth", "kind": "tooth", "tooth": "21"},
            {"id": "crown", "kind": "restoration", "tooth": "11", "support": "tooth"},
        ],
        "sessions": [
            {
                "id": "session",
                "instrument_id": "instrument",
                "started": "2026-03-04T09:12:00+01:00",
                "barrier_fitted": True,
                "calibration": {"at": "2026-03-04T09:10:30+01:00", "barrier_fitted": True, "result": "passed"},
            }
        ],
        "readings": [reading(chance, each) for each in range(1, 7)],
        "reference_sets": [
            {
                "id": "set",
                "title": "invented",
                "extract": False,
                "document": {"id": "urn:uuid:00000000-0000-4000-8000-ffffffffffff", "sha256": "0" * 64},
                "references": [
                    {
                        "id": f"ref-{each}",
                        "label": f"word {each}",
                        "colour": {
                            **BASIS,
                            "decimals": 1,
                            "origin": "copied",
                            "lab": {"L": 70 + each, "a": 1.5, "b": 15.5},
                        },
                    }
                    for each in range(6)
                ],
            }
        ],
        "tolerances": [TOLERANCE],
    }
    case = derive(add_revision(case, {"id": "first", "party_id": "clinic", "at": "2026-03-04T10:00:00+01:00"}, {})).case
    mean = next(each for each in case["means"] if each["id"] == "mean-tooth-middle")
    target = {
        "id": "target",
        "specimen_id": "crown",
        "zone": "middle",
        "source_kind": "measured-tooth",
        "source_id": mean["id"],
        "colour": {**mean["colour"], "origin": "copied"},
    }
    return line_form(derive({**case, "targets": [target]}).case)


def seconds(work: Callable[[bytes], object], lines: list[bytes]) -> float:
    begun = time.perf_counter()
    for line in lines:
        work(line)
    return time.perf_counter() - begun


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    lines = [document(number) for number in range(count)]
    validator = jsonschema_rs.validator_for(json.loads(SCHEMA.read_bytes()))
    assert all(validator.is_valid(orjson.loads(line)) for line in lines)
    found = [check(line) for line in lines[:50]]
    assert {(each.outcome, each.findings is None) for each in found} == {("valid", True)}, found[0].findings
    whole, structure = [], []
    for _ in range(5):
        structure.append(seconds(lambda line: validator.is_valid(orjson.loads(line)), lines))
        whole.append(seconds(check, lines))
    ratios = [one / other for one, other in zip(whole, structure, strict=True)]
    size = sum(map(len, lines)) / count
    print(f"{count} documents of {size:.0f} bytes on average")
    print(f"check, all rules, report made    {1e6 * statistics.median(whole) / count:8.0f} us a document")
    print(f"orjson + jsonschema-rs           {1e6 * statistics.median(structure) / count:8.0f} us a document")
    print(f"ratio (median of rounds)         {statistics.median(ratios):8.1f}")


if __name__ == "__main__":
    main()
