"""Texts that a spreadsheet would run as a formula, and the apostrophe that keeps it from doing so.

A number is none, whatever its sign: a* and b* are often negative. The signs are those of CWE-1236, with their
full-width forms.
"""

import re
from typing import Final

_FORMULA: Final = re.compile(r"[\t\r]|\s*[=+\-@\uff1d\uff0b\uff0d\uff20].")
_NUMBER: Final = re.compile(r"\s*[+-]?[0-9]*[.,]?[0-9]*(?:[eE][+-]?[0-9]+)?\s*")
GUARD: Final = "'"


def runs_as_formula(text: str) -> bool:
    """Return whether a spreadsheet could take a cell with this text for a formula."""
    return _FORMULA.match(text) is not None and _NUMBER.fullmatch(text) is None


def guarded(text: str) -> str:
    """Return a text as a cell, with an apostrophe before what would run or would look guarded."""
    return GUARD + text if runs_as_formula(text.lstrip(GUARD)) else text


def unguarded(cell: str) -> str:
    """Return the text that `guarded` made a cell of."""
    return cell[1:] if cell.startswith(GUARD) and runs_as_formula(cell.lstrip(GUARD)) else cell
