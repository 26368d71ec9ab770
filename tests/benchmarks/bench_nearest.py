"""Nearest of 30 references by CIEDE2000 for many readings, against measuring every pair with colour-science.

    python tests/benchmarks/bench_nearest.py [readings]

Prints readings a second of processor time, and ratios. Every pair is measured for a tenth of the readings only,
in chunks of the size that suits it best, which is no slower a reading. Their answers are compared.
"""

import sys
import time
import warnings
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from shadefmt.colour import differences, nearest, nearest_single

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from colour.difference.delta_e import delta_E_CIE2000

Array = NDArray[np.float64]
REFERENCES = 30
CHUNK = 10_000


def every_pair(measure: Callable[[Array, Array], Array], readings: Array, references: Array) -> NDArray[np.int64]:
    """Index of the nearest by measuring all pairs, in chunks that fit the memory."""
    found = [
        measure(readings[start : start + CHUNK, np.newaxis], references).argmin(axis=1)
        for start in range(0, len(readings), CHUNK)
    ]
    return np.concatenate(found)


def rate(function: Callable[[], object], readings: int, rounds: int = 3) -> float:
    """Readings a second, the best of some rounds."""
    best = float("inf")
    for _ in range(rounds):
        start = time.process_time()
        function()
        best = min(best, time.process_time() - start)
    return readings / best


def compare(title: str, readings: Array, references: Array) -> None:
    """Time one set of readings and check its answers."""
    some = readings[: max(len(readings) // 10, 1)]
    peer = rate(lambda: every_pair(delta_E_CIE2000, some, references), len(some))
    rates = {
        "nearest_index": rate(lambda: nearest.nearest_index(readings, references), len(readings)),
        "nearest (with runner-up)": rate(lambda: nearest.nearest(readings, references), len(readings)),
        "all pairs, shadefmt": rate(lambda: every_pair(differences.ciede2000, some, references), len(some)),
        "all pairs, colour-science": peer,
    }
    print(f"{title}, {len(readings):,} readings, {len(references)} references")
    for name, value in rates.items():
        print(f"  {name:26} {value / 1e6:6.3f} M/s   {value / peer:6.1f} x")
    expected = every_pair(delta_E_CIE2000, some, references)
    print(f"  same answers: {np.array_equal(nearest.nearest_index(some, references)[0], expected)}")


def growth(rng: np.random.Generator, readings: Array) -> None:
    """Time a reading takes as the set grows, against the smallest set; measuring every pair grows as the set does."""
    some = readings[: max(len(readings) // 10, 1)]
    print(f"growth with the set, {len(some):,} tooth colours")
    first = None
    for size in (REFERENCES, 10 * REFERENCES, 100 * REFERENCES):
        references = rng.uniform([62, -1.5, 8], [84, 4, 28], (size, 3))
        took = 1e6 / rate(lambda references=references: nearest.nearest_index(some, references), len(some), 2)
        first = first or took
        print(f"  {size:5} references {took:8.2f} microseconds a reading {took / first:7.1f} x")


def main() -> None:
    """Run everything."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    rng = np.random.default_rng(7)
    references = rng.uniform([62, -1.5, 8], [84, 4, 28], (REFERENCES, 3))
    readings = rng.normal([74, 1.5, 17], [5, 1.5, 4], (count, 3))
    compare("tooth colours", readings, references)
    wide = rng.uniform([0, -100, -100], [100, 100, 100], (count // 10, 3))
    compare("all hues", wide, rng.uniform([0, -100, -100], [100, 100, 100], (REFERENCES, 3)))
    growth(rng, readings)
    few, members = readings[:500].tolist(), references.tolist()
    one_by_one = rate(lambda: [nearest_single.nearest(lab, members) for lab in few], len(few))
    print(f"one by one, without numpy: {1e6 / one_by_one:.0f} microseconds a reading")


if __name__ == "__main__":
    main()
