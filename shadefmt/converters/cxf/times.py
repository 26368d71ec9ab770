"""Dates of CxF3 (XML Schema `dateTime`) as timestamps of the format: as written, a missing zone stays missing."""

import re
from typing import get_args

from pydantic import StringConstraints

from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.model.base import Timestamp

_RULES = next(each for each in get_args(Timestamp) if isinstance(each, StringConstraints))
_FORM = re.compile(str(_RULES.pattern)).fullmatch
_MAX_CHARACTERS = _RULES.max_length or 0


def timestamp_of(text: str) -> str | None:
    """Return the text where it is a timestamp of the format, else None; nothing is rewritten or guessed."""
    return text if len(text) <= _MAX_CHARACTERS and _FORM(text) else None


def odd_date(name: str, where: str, ledger: Ledger) -> None:
    """Say that a date was kept as text only."""
    message = f"a {name} is not in the form of ISO 8601 and was kept as text only"
    ledger.notice("date-unreadable", where, message, "Have dates written as in 2026-03-04T09:31:00+01:00")
