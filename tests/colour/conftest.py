"""Shared by the tests of colour: colour-science without its warnings, and the scripts of the project."""

import importlib.util
import sys
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import settings

settings.register_profile("colour", deadline=None)  # a busy machine is no fault of the code
settings.load_profile("colour")

SCRIPTS = Path(__file__).resolve().parents[2] / "scripts"


@pytest.fixture(scope="session")
def colour_science() -> ModuleType:
    """The library colour-science (module `colour`)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
        import colour.quality
    return colour


@pytest.fixture
def quiet() -> Iterator[None]:
    """Let a peer library warn about its own habits while a test calls it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


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
