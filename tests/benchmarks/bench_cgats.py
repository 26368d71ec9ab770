"""Time of reading and writing CGATS text: `python tests/benchmarks/bench_cgats.py [rows]`.

Prints, for one invented file of 31 bands and one colour a row, the processor time of a bare split into floats, of
Little CMS loading the file and giving out every number, and of `read_cgats` and `write_cgats`; each the best of
several runs, with ratios.
"""

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "converters"))

from independent_cgats import LittleCms, library

from shadefmt.converters.cgats import read_cgats, write_cgats

MOST_CELLS = 200_000
"""Most values that Little CMS takes in one table; measured."""


def make_file(rows: int, bands: int = 31, seed: int = 5) -> bytes:
    """Return an invented file."""
    chance = random.Random(seed)
    names = ["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B", *(f"nm{400 + 10 * band}" for band in range(bands))]
    lines = ["ISO28178", 'ILLUMINANT "D65"', 'OBSERVER "2"', f"NUMBER_OF_FIELDS {len(names)}", "BEGIN_DATA_FORMAT"]
    lines += ["\t".join(names), "END_DATA_FORMAT", f"NUMBER_OF_SETS {rows}", "BEGIN_DATA"]
    for number in range(rows):
        colour = [f"{chance.uniform(0, 100):.2f}", f"{chance.uniform(-5, 5):.2f}", f"{chance.uniform(-5, 25):.2f}"]
        lines.append("\t".join([str(number), *colour, *(f"{chance.uniform(0.05, 0.9):.4f}" for _ in range(bands))]))
    return "\n".join([*lines, "END_DATA", ""]).encode()


def bare(data: bytes) -> list[list[float]]:
    """Split and convert, nothing else: the floor of reading in Python."""
    body = data.decode().split("BEGIN_DATA\n")[1].split("END_DATA")[0]
    return [list(map(float, line.split("\t"))) for line in body.splitlines()]


def best(work: Callable[[], object], runs: int = 3) -> float:
    """Return the shortest processor time of several runs, in seconds."""
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    """Print times and ratios."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 5_000
    data = make_file(rows)
    floor = best(lambda: bare(data))
    ours = best(lambda: read_cgats(data))
    case = read_cgats(data).case
    writing = best(lambda: write_cgats(case))
    found = library()
    print(f"{rows} rows, {len(data) / 1e6:.1f} MB")
    print(f"bare split into floats  {floor:8.3f} s")
    if found is not None and rows * 35 <= MOST_CELLS:
        cms = LittleCms(found)
        theirs = best(lambda: cms.read(data), 1)
        print(f"Little CMS, all cells   {theirs:8.3f} s   through ctypes")
    print(
        f"read_cgats              {ours:8.3f} s   {ours / floor:5.1f} times the bare split, {rows / ours:,.0f} rows/s"
    )
    print(f"write_cgats             {writing:8.3f} s   {writing / ours:5.1f} times read_cgats")


if __name__ == "__main__":
    main()
