"""The date of an object, which CxF3 demands: that of the reading, else the nearest one that the case states."""

import re
from collections.abc import Iterable
from typing import Final

from shadefmt.converters.cxf.own import NO_DATE
from shadefmt.timestamps import moment

_FORM: Final = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:T([0-9]{2}:[0-9]{2})(:[0-9]{2}(?:\.[0-9]+)?)?(Z|[+-].*)?)?")
_FURTHEST: Final = "14:00"


def date_time(text: str) -> str | None:
    """Return a timestamp of the format as `dateTime` of XML Schema; None where it has no time of day or no such day.

    Seconds that are not stated are written as 00.
    """
    found = _FORM.fullmatch(text)
    if found is None or found[2] is None or moment(text) is None:
        return None
    zone = found[4] or ""
    if zone[1:] > _FURTHEST:
        return None
    return f"{found[1]}T{found[2]}{found[3] or ':00'}{zone}"


def first_date(texts: Iterable[str | None]) -> str:
    """Return the first text that a date can be made of, whole days as their midnight; else `NO_DATE`."""
    for text in texts:
        made = text and (date_time(text) or date_time(f"{text}T00:00"))
        if made:
            return made
    return NO_DATE
