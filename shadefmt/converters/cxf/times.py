"""Dates of CxF3 (XML Schema `dateTime`) as timestamps of the format: as written, a missing zone stays missing."""

import re

from shadefmt.model.base import Timestamp

_FORM = re.compile(Timestamp.__metadata__[0].pattern)
_MAX_CHARACTERS = 40


def timestamp_of(text: str) -> str | None:
    """Return the text where it is a timestamp of the format, else None; nothing is rewritten or guessed."""
    return text if len(text) <= _MAX_CHARACTERS and _FORM.fullmatch(text) else None
