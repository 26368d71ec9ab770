"""Rows a second from a delimited table into case values, and into validated models; peak memory at ten times the rows.

Run as a script: `python tests/benchmarks/bench_table.py [ROWS]`. Invented numbers; 20 columns; ten rows a case.
The same file is read by the csv module alone, so that the figures can be carried to another machine as ratios.
"""

import csv
import io
import resource
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from typing import Any, BinaryIO

from shadefmt.converters.table import read_table
from shadefmt.model.case import Case

ROWS_OF_A_CASE = 10
HEADERS = (
    *("Order", "Pseudonym", "Object", "Tooth", "Zone", "Number", "Taken", "Begun", "Calibrated", "Result"),
    *("Surface", "Backing", "Placed anew", "L*", "a*", "b*", "X", "Y", "Z", "Remark"),
)
ZONES = ("cervical", "middle", "incisal")


def row_of(number: int) -> list[str]:
    """Return one invented row; numbers vary as measured ones do."""
    case, place = divmod(number, ROWS_OF_A_CASE)
    wave = (number * 7919) % 1000
    day = f"2026-{1 + case % 12:02}-{1 + case % 28:02}"
    taken = f"{day}T{9 + number // 3600 % 9:02}:{number // 60 % 60:02}:{number % 60:02}+01:00"
    return [
        *(f"order-{case}", f"p{case * 104729 % 9999991}", "tooth", f"{11 + place % 3}", ZONES[place % 3]),
        *(str(place + 1), taken, f"{day}T09:00:00+01:00", f"{day}T08:55:00+01:00"),
        *("passed", "moist", "mouth", "true"),
        *(f"{70 + wave / 100:.2f}", f"{1 + wave / 500:.2f}", f"{15 + wave / 200:.2f}"),
        *(f"{40 + wave / 90:.2f}", f"{42 + wave / 80:.2f}", f"{33 + wave / 70:.2f}", ""),
    ]


def mapping() -> dict[str, Any]:
    """Return the mapping of the invented table."""
    members = (
        *("subject.pseudonym", "specimen.kind", "specimen.tooth", "reading.zone", "reading.order", "reading.at"),
        *("session.started", "session.calibration.at", "session.calibration.result", "reading.hydration"),
        *("reading.backing", "reading.repositioned"),
        *(f"reading.colour.lab.{letter}" for letter in "Lab"),
        *(f"reading.colour.xyz.{letter}" for letter in "XYZ"),
    )
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "table-mapping",
        "id": "urn:uuid:7d0b2b0a-93a1-4a7e-9a39-2b7d1c6f4e11",
        "title": "benchmark",
        "dialect": {"encoding": "utf-8", "delimiter": "comma", "quote": "double", "decimal_mark": "point"},
        "layout": {"header_line": 1},
        "tooth_notation": "iso-3950",
        "case_key": [{"column": "Order"}],
        "constants": [{"member": "instrument.kind", "value": "spectrophotometer"}],
        "colours": [{"illuminant": "D65", "observer": "2-degree", "origin": "instrument", "decimals": 2}],
        "columns": [
            {"column": header, "member": member} for header, member in zip(HEADERS[1:-1], members, strict=True)
        ],
        "ignored": [{"column": "Remark", "reason": "always empty"}],
    }


def written(rows: int) -> BinaryIO:
    """Return a temporary file with so many rows."""
    file = tempfile.TemporaryFile()  # noqa: SIM115
    text = io.TextIOWrapper(file, encoding="utf-8", newline="", write_through=True)
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADERS)
    writer.writerows(map(row_of, range(rows)))
    text.detach()
    file.seek(0)
    return file


def csv_alone(file: BinaryIO) -> Iterator[Any]:
    """Yield the rows that the csv module cuts, untouched."""
    text = io.TextIOWrapper(file, encoding="utf-8", newline="")
    yield from csv.reader(text, strict=True)
    text.detach()


def values(file: BinaryIO) -> Iterator[Any]:
    """Yield case document values."""
    return read_table(file, mapping()).cases


def models(file: BinaryIO) -> Iterator[Any]:
    """Yield validated cases."""
    return map(Case.model_validate, read_table(file, mapping()).cases)


def rate(what: Callable[[BinaryIO], Iterator[Any]], file: BinaryIO, rows: int) -> float:
    """Return rows a second, the best of two runs."""
    times = []
    for _ in range(2):
        file.seek(0)
        begun = time.process_time()
        for _ in what(file):
            pass
        times.append(time.process_time() - begun)
    return rows / min(times)


def peak_mb() -> float:
    """Return the largest resident size of this process so far, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Print the figures."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 200_000
    small = written(rows // 10)
    for _ in models(small):
        pass
    print(f"peak memory after {rows // 10} rows: {peak_mb():.1f} MB")
    large = written(rows)
    for name, what in (("csv module alone", csv_alone), ("case values", values), ("models", models)):
        print(f"{name}: {rate(what, large, rows):,.0f} rows/s")
    print(f"peak memory after {rows} rows: {peak_mb():.1f} MB")


if __name__ == "__main__":
    main()
