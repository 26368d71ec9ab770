"""Whole processes from cold: `python tests/benchmarks/bench_cold_start.py [runs]`.

`shadefmt check` on one file against `check-jsonschema` on the same file and schema, and `import shadefmt` against the
bare interpreter; runs alternate, medians and ratios are printed. Bars: 1.0 times, and 40 ms.
"""

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CASE = str(ROOT / "schema" / "1.0" / "examples" / "front-crown.shade.json")
SCHEMA = str(ROOT / "schema" / "1.0" / "case.schema.json")
COMMANDS = {
    "shadefmt check": [sys.executable, "-m", "shadefmt", "check", CASE],
    "check-jsonschema": [sys.executable, "-m", "check_jsonschema", "--schemafile", SCHEMA, CASE],
    "import shadefmt": [sys.executable, "-c", "import shadefmt"],
    "bare interpreter": [sys.executable, "-c", "pass"],
}


def seconds(command: list[str]) -> float:
    environment = {name: item for name, item in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    begun = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, cwd=ROOT, env=environment)
    return time.perf_counter() - begun


def main() -> None:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    for command in COMMANDS.values():
        seconds(command)
    times: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(runs):
        for name, command in COMMANDS.items():
            times[name].append(seconds(command))
    middle = {name: statistics.median(found) for name, found in times.items()}
    for name, found in middle.items():
        print(f"{name:18} {1000 * found:7.0f} ms")
    print(f"check against check-jsonschema: {middle['shadefmt check'] / middle['check-jsonschema']:.2f} times")
    print(f"import over the bare interpreter: {1000 * (middle['import shadefmt'] - middle['bare interpreter']):.0f} ms")


if __name__ == "__main__":
    main()
