"""What all tests share: how many examples hypothesis draws, and where the strategies for documents are.

Profiles: `ci`, the default, is bounded and draws the same examples on every run; `long`
(SHADEFMT_PROFILE=long) draws many, other ones on every run, and includes the tests marked `long`.
"""

import sys
import warnings
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import HealthCheck, settings

sys.path.insert(0, str(Path(__file__).parent / "strategies"))

from profiles import PROFILE

_SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]
settings.register_profile(
    "ci", max_examples=60, derandomize=True, database=None, deadline=None, suppress_health_check=_SLOW
)
settings.register_profile("long", max_examples=2000, deadline=None, suppress_health_check=_SLOW)
settings.load_profile(PROFILE)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    if PROFILE != "long":
        for item in items:
            if item.get_closest_marker("long"):
                item.add_marker(pytest.mark.skip(reason="long profile only: SHADEFMT_PROFILE=long"))


def pytest_collection_finish() -> None:
    settings.load_profile(PROFILE)  # a folder may have loaded one of its own while it was collected


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
