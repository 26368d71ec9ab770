"""What a command says beside its result: one line on standard error, nothing of a file name raw."""

import re
import sys
from typing import Final

from shadefmt.rendering.visible import visible

OVERLONG: Final = re.compile(r"(\S{1000})\S+")
"""A run without a blank that no id and no path is as long as: a text of the file that ran on."""


def say(text: str) -> None:
    """Print one line on standard error with all that is not seen written as escapes; nothing where it is closed.

    Of a run of more than 1000 characters without a blank the first 1000 are printed.
    """
    if sys.stderr is not None:
        print(visible(OVERLONG.sub(r"\1...", text)), file=sys.stderr)
