"""Runs the whole suite with the Python package: `python conformance/adapters/python/run.py [PART_OF_ID]`.

Lists what fails and ends with the line "N passed, N failed"; the exit code is 1 where something failed.
"""

import sys
from collections.abc import Callable
from typing import Final

import checking
import exchanging
import receiving
from suite import Case, cases
from vectors import RUNNERS as VECTORS

RUNNERS: Final[dict[str, Callable[[Case], str | None]]] = {
    "checking": checking.run,
    "structure": checking.run_structure,
    "intake": receiving.run,
    "import": exchanging.run_import,
    "export": exchanging.run_export,
    **VECTORS,
}
"""How a case of each kind is run."""


def outcome(case: Case) -> str | None:
    """What is wrong with one case, None where it passes."""
    try:
        return RUNNERS[case.kind](case)
    except Exception as failure:  # a case that breaks the runner has failed, and the others are still run
        return f"{type(failure).__name__}: {failure}"


def main(arguments: list[str]) -> int:
    """Run the cases whose ids hold the first argument, or all."""
    wanted = arguments[0] if arguments else ""
    chosen = [case for case in cases() if wanted in case.id]
    failed = [(case, fault) for case in chosen if (fault := outcome(case)) is not None]
    for case, fault in failed:
        print(f"{case.id}: {fault}")
    print(f"{len(chosen) - len(failed)} passed, {len(failed)} failed")
    return int(bool(failed) or not chosen)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
