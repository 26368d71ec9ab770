"""The cyclic garbage collector, kept out of the way while large trees are built."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused() -> Iterator[None]:
    """Pause the cyclic garbage collector while a large tree without cycles is built; it would only walk it again."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()
