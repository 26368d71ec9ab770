"""Peak memory of commands over streams: ten times the input against the same command over the tenth part.

Run as a script: `python tests/benchmarks/bench_streams.py [CASES]`. Each command runs in a process of its own; the
ratio of the two peaks is to stay within 1.1.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
CASE = ROOT / "conformance" / "bases" / "repeats.shade.json"
PROGRAM = """
import resource, sys
from shadefmt.cli.main import main
main(sys.argv[1:])
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.__stdout__)
"""


def commands(folder: Path, count: int) -> dict[str, list[str]]:
    """Return commands over `count` cases by name, their sources written."""
    lines, table = folder / f"{count}.shade.ndjson", folder / f"{count}.csv"
    document = json.loads(CASE.read_bytes())
    with lines.open("w") as stream:
        for number in range(count):
            document["id"] = f"urn:uuid:6be0f417-2d9c-4a35-b8e1-{number:012x}"
            stream.write(json.dumps(document) + "\n")
    with table.open("w") as stream:
        stream.write("order,tooth,L,a,b\n")
        stream.writelines(f"order-{number},11,70.{number % 90 + 10},1.50,15.25\n" for number in range(count * 40))
    mapping = folder / "mapping.shade.json"
    mapping.write_text(json.dumps(a_mapping()))
    made = [str(folder / f"{count}.{word}.shade.ndjson.gz") for word in ("derived", "converted")]
    return {
        "check": ["check", str(lines), "-q"],
        "derive": ["derive", str(lines), "-o", made[0]],
        "roundtrip": ["roundtrip", str(lines), "--via", "cgats", "--format", "json"],
        "convert table": ["convert", str(table), made[1], "--mapping", str(mapping), "--allow-loss", "all"],
    }


def a_mapping() -> dict[str, object]:
    """Return the mapping of the invented table."""
    members = {"tooth": "specimen.tooth", **{letter: f"reading.colour.lab.{letter}" for letter in "Lab"}}
    return {
        "format": "shadefmt",
        "version": "1.0",
        "kind": "table-mapping",
        "id": "urn:uuid:7d0b2b0a-93a1-4a7e-9a39-2b7d1c6f4e12",
        "title": "benchmark",
        "dialect": {"encoding": "utf-8", "delimiter": "comma", "quote": "double", "decimal_mark": "point"},
        "layout": {"header_line": 1},
        "tooth_notation": "iso-3950",
        "case_key": [{"column": "order"}],
        "constants": [
            {"member": "specimen.kind", "value": "tooth"},
            {"member": "reading.zone", "value": "middle"},
        ],
        "colours": [{"illuminant": "D65", "observer": "2-degree", "origin": "instrument", "decimals": 2}],
        "columns": [{"column": column, "member": member} for column, member in members.items()],
    }


def peak_of(words: list[str]) -> int:
    """Return the largest resident memory of one command, in the unit of the system."""
    done = subprocess.run([sys.executable, "-c", PROGRAM, *words], cwd=ROOT, capture_output=True, text=True, check=True)
    return int(done.stdout.splitlines()[-1])


def main(cases: int) -> None:
    """Print the ratio of peaks of every command."""
    unit = 1024 if sys.platform != "darwin" else 1024 * 1024
    with tempfile.TemporaryDirectory() as name:
        small, large = (commands(Path(name), count) for count in (cases, cases * 10))
        for verb in small:
            one, ten = peak_of(small[verb]), peak_of(large[verb])
            print(f"{verb}: {one / unit:.1f} MB, ten times the input {ten / unit:.1f} MB, ratio {ten / one:.3f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
