"""Progress of long work: a count on standard error while it is a terminal, and nothing otherwise."""

import os
import sys
from collections.abc import Iterable, Iterator
from typing import Final, TypeVar

Thing = TypeVar("Thing")

EVERY: Final = 250
"""Things between two lines of progress; shorter work says nothing."""


def counted(things: Iterable[Thing], what: str, *, printing: bool = False) -> Iterator[Thing]:
    """Yield the things; on a terminal, say now and then how many there were, and wipe the line at the end.

    `printing`: the command prints as it goes, so that it says nothing where that goes to a terminal as well.
    """
    stream = sys.stderr
    crowded = printing and sys.stdout.isatty()
    if stream is None or crowded or not stream.isatty() or os.environ.get("TERM") == "dumb":
        yield from things
        return
    said = False
    try:
        for number, thing in enumerate(things, start=1):
            if number % EVERY == 0:
                stream.write(f"\r{number} {what}")
                stream.flush()
                said = True
            yield thing
    finally:
        if said:
            stream.write("\r\x1b[K")
            stream.flush()
