"""CIEDE2000 over arrays and for single pairs, against colour-science, scikit-image and coloraide in one run.

    python tests/benchmarks/bench_differences.py [pairs]

Prints milliseconds of processor time and, as what carries over to other machines, ratios; and the greatest
deviation from colour-science. All hues and tooth colours are timed apart: in the latter the rotation term
vanishes.
"""

import sys
import time
import warnings
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from shadefmt.colour import difference_single, differences

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from coloraide import Color
    from colour.difference.delta_e import delta_E_CIE2000
    from skimage.color import deltaE_ciede2000

Array = NDArray[np.float64]
ROUNDS = 5


def milliseconds(functions: dict[str, Callable[[], object]], rounds: int = ROUNDS) -> dict[str, float]:
    """Best time of each, taken in turn so that a busy moment meets all of them."""
    best = dict.fromkeys(functions, float("inf"))
    for _ in range(rounds):
        for name, function in functions.items():
            start = time.process_time()
            function()
            best[name] = min(best[name], (time.process_time() - start) * 1e3)
    return best


def report(title: str, times: dict[str, float]) -> None:
    """One line a competitor, with its time as a multiple of the first."""
    print(title)
    first = next(iter(times.values()))
    for name, value in times.items():
        print(f"  {name:16} {value:9.2f} ms   {value / first:6.2f} x")


def arrays(title: str, first: Array, second: Array) -> None:
    """Time one set of pairs and compare its results."""
    report(
        f"{title}, {len(first):,} pairs",
        milliseconds(
            {
                "shadefmt": lambda: differences.ciede2000(first, second),
                "colour-science": lambda: delta_E_CIE2000(first, second),
                "scikit-image": lambda: deltaE_ciede2000(first, second),
            }
        ),
    )
    deviation = np.abs(differences.ciede2000(first, second) - delta_E_CIE2000(first, second)).max()
    print(f"  greatest deviation from colour-science {deviation:.1e}")


def single(pairs: list[tuple[list[float], list[float]]]) -> None:
    """Time single pairs of plain numbers."""
    colours = [(Color("lab-d65", one), Color("lab-d65", two)) for one, two in pairs]
    times = milliseconds(
        {
            "shadefmt": lambda: [difference_single.ciede2000(*pair) for pair in pairs],
            "coloraide": lambda: [one.delta_e(two, method="2000") for one, two in colours],
            "colour-science": lambda: [delta_E_CIE2000(*pair) for pair in pairs],
        }
    )
    report(f"single pairs, {len(pairs):,}", times)
    print(f"  {times['shadefmt'] / len(pairs) * 1e3:.1f} microseconds a call")


def main() -> None:
    """Run everything."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    rng = np.random.default_rng(1)
    tooth = rng.normal([74, 1.5, 17], [5, 1.5, 4], (2, count, 3))
    arrays("all hues", *rng.uniform([0, -100, -100], [100, 100, 100], (2, count, 3)))
    arrays("tooth colours", *tooth)
    single(list(zip(*tooth[:, :2000].tolist(), strict=True)))


if __name__ == "__main__":
    main()
