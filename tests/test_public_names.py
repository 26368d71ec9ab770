"""The public face: every name is there, is what it says, and costs nothing before it is used."""

import subprocess
import sys
import types

import pytest

import shadefmt


@pytest.mark.parametrize("name", shadefmt.__all__)
def test_every_public_name_is_there(name: str) -> None:
    found = getattr(shadefmt, name)
    assert isinstance(found, types.ModuleType) == (name == "colour")
    assert found.__doc__
    assert name in dir(shadefmt)


def test_another_name_is_not_there() -> None:
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = shadefmt.nothing


def test_importing_brings_none_of_the_libraries() -> None:
    code = (
        "import sys, shadefmt; print([m for m in ('pydantic', 'numpy', 'lxml', 'jiter', 'typing') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-S", "-c", code], capture_output=True, text=True, check=True, cwd=shadefmt.__path__[0] + "/.."
    )
    assert done.stdout.strip() == "[]"


def test_the_readme_example_works() -> None:
    case = shadefmt.loads(b'{"format": "shadefmt", "version": "1.0", "kind": "tolerance"}')
    assert shadefmt.digest(case) == shadefmt.digest(dict(reversed(case.items())))
    assert shadefmt.check(shadefmt.dumps(case)).outcome == "invalid"
    with pytest.raises(shadefmt.Refused, match="line 1, column 2"):
        shadefmt.loads(b"{")
