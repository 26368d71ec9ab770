import subprocess
import sys

import pytest

PLAIN = (
    "bridge",
    "budget",
    "covariances",
    "decisions",
    "difference_single",
    "direction",
    "distributions",
    "formula",
    "indices",
    "ledger",
    "nearest_single",
    "repeats",
    "uncertainty",
)


def loaded(names):
    """Whether numpy is among the modules of a fresh interpreter that has imported these."""
    code = "import sys\n" + "\n".join(f"import shadefmt.colour.{name}" for name in names)
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nprint('numpy' in sys.modules)"], capture_output=True, text=True, check=True
    )
    return done.stdout.strip() == "True"


def test_what_the_checker_uses_never_waits_for_numpy():
    assert not loaded(PLAIN)


@pytest.mark.parametrize("name", ["differences", "nearest"])
def test_what_works_on_arrays_does_load_it(name):
    assert loaded([name])
