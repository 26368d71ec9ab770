"""What a command says beside its result: one line on standard error, nothing of a file name raw."""

import sys

from shadefmt.rendering.visible import visible


def say(text: str) -> None:
    """Print one line on standard error with all that is not seen written as escapes; nothing where it is closed."""
    if sys.stderr is not None:
        print(visible(text), file=sys.stderr)
