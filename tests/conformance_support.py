"""The suite in conformance/ for tests: its runner for Python, which lies beside the data, put on the path."""

import sys
from pathlib import Path

CONFORMANCE = Path(__file__).resolve().parent.parent / "conformance"
sys.path.append(str(CONFORMANCE / "adapters" / "python"))

from checking import EXIT, Answer, answer, compared, run, run_structure  # noqa: E402
from suite import Case, base, cases, document, manifest  # noqa: E402
from vectors import FUNCTIONS, RUNNERS  # noqa: E402

__all__ = [
    "CONFORMANCE",
    "EXIT",
    "FUNCTIONS",
    "RUNNERS",
    "Answer",
    "Case",
    "answer",
    "base",
    "cases",
    "compared",
    "document",
    "manifest",
    "run",
    "run_structure",
]
