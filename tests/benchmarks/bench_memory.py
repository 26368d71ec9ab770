"""Peak memory of the array functions beyond their input and result: `python tests/benchmarks/bench_memory.py`.

Each function runs on a number of rows and on ten times as many; tracemalloc, which sees what numpy takes, gives the
peak. Work goes by blocks, so that what is taken beside the result stays the same.
"""

import tracemalloc
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from shadefmt.colour import differences, nearest
from shadefmt.colour.spectra import spectra_to_lab

Array = NDArray[np.float64]
ROWS = 100_000


def results(answer: object) -> int:
    """Bytes of the arrays that a function returned."""
    parts = answer if isinstance(answer, tuple) else (answer,)
    return sum(each.nbytes for each in parts if isinstance(each, np.ndarray))


def beside(work: Callable[[], object]) -> int:
    """Peak bytes taken beyond what is returned."""
    work()
    tracemalloc.start()
    answer = work()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return max(peak - results(answer), 0)


def main() -> None:
    """Print the peak for both numbers of rows, and their ratio."""
    rng = np.random.default_rng(3)
    labs = rng.normal([74, 1.5, 17], [5, 1.5, 4], (10 * ROWS, 3))
    references = rng.uniform([62, -1.5, 8], [84, 4, 28], (30, 3))
    spectra = rng.random((10 * ROWS, 31))
    work: dict[str, Callable[[int], object]] = {
        "spectra_to_lab": lambda n: spectra_to_lab(spectra[:n], "D65", "2-degree", 400, 10),
        "ciede2000": lambda n: differences.ciede2000(labs[:n], labs[-n:]),
        "nearest_index of 30": lambda n: nearest.nearest_index(labs[:n], references),
    }
    print(f"peak beside input and result, {ROWS:,} and {10 * ROWS:,} rows")
    for name, function in work.items():
        small, large = (beside(lambda n=n, function=function: function(n)) for n in (ROWS, 10 * ROWS))
        print(f"  {name:22} {small / 1e6:8.2f} MB {large / 1e6:8.2f} MB {large / small:6.2f} x")


if __name__ == "__main__":
    main()
