"""The suite in conformance/ for tests: its runner for Python, which lies beside the data, put on the path."""

import sys
from pathlib import Path

CONFORMANCE = Path(__file__).resolve().parent.parent / "conformance"
sys.path.append(str(CONFORMANCE / "adapters" / "python"))

from checking import EXIT, Answer, answer, compared, options, run, run_structure  # noqa: E402
from exchanging import run_export, run_import  # noqa: E402
from receiving import EXIT as INTAKE_EXIT  # noqa: E402
from receiving import answer_in, expected, received  # noqa: E402
from suite import Case, base, cases, document, manifest  # noqa: E402
from vectors import FUNCTIONS, RUNNERS  # noqa: E402

__all__ = [
    "CONFORMANCE",
    "EXIT",
    "FUNCTIONS",
    "INTAKE_EXIT",
    "RUNNERS",
    "Answer",
    "Case",
    "answer",
    "answer_in",
    "base",
    "cases",
    "compared",
    "document",
    "expected",
    "manifest",
    "options",
    "received",
    "run",
    "run_export",
    "run_import",
    "run_structure",
]
