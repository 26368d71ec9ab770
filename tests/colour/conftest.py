"""Shared by the tests of colour: peers without their warnings, and the scripts of the project."""

import importlib.util
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

SCRIPTS = Path(__file__).resolve().parents[2] / "scripts"


@pytest.fixture(scope="session")
def script() -> Callable[[str], ModuleType]:
    """Loads a script of the folder `scripts` as a module, by name."""

    def load(name: str) -> ModuleType:
        spec = importlib.util.spec_from_file_location(f"scripts_{name}", SCRIPTS / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[spec.name] = module
        spec.loader.exec_module(module)
        return module

    return load
