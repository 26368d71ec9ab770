"""The cyclic garbage collector, kept out of the way while large trees are built."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused() -> Iterator[None]:
    """Pause the cyclic garbage collector while a large tree without cycles is built; it would only walk it again.

    What was built counts as old afterwards, or the collector would walk it as soon as it is let go. Whoever has
    frozen objects of their own (`gc.freeze`) keeps them frozen.
    """
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            if not gc.get_freeze_count():
                gc.freeze()
                gc.unfreeze()
            gc.enable()
