"""Dates and times as tables write them, to the timestamps of the format (ISO 8601, RFC 3339).

Only the order of the parts that the mapping states is read. A time without zone stays without one.
"""

import re
from datetime import date, time
from typing import Final

from shadefmt.converters.table.members import shown
from shadefmt.errors import Refused
from shadefmt.vocabulary import DateOrder

_DATE: Final = re.compile(r"([0-9]{1,4})([-./])[ ]?([0-9]{1,2})\2[ ]?([0-9]{1,4})")
_ISO_DATE: Final = re.compile(r"([0-9]{4})(-)([0-9]{2})-([0-9]{2})")
_USUAL: Final = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
    r"(?:T(?:[01][0-9]|2[0-3]):[0-5][0-9](?::[0-5][0-9](?:\.[0-9]{1,9})?)?(?:Z|[+-](?:0[0-9]|1[0-4]):[0-5][0-9])?)?"
)
"""A timestamp as the format has it, but for the calendar."""

_BETWEEN: Final = re.compile(r"[Tt]|,? +")
_TIME: Final = re.compile(
    r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:[.,]([0-9]{1,9}))?)?(?: ?([aApP])\.?[mM]\.?)?"
    r" ?(Z|z|[+-][0-9]{2}(?::?[0-9]{2})?)?"
)
_FORMS: Final = {
    None: "a date such as 2026-03-04 or 2026-03-04T09:12:00+01:00",
    "year-month-day": "a date such as 2026/03/04",
    "day-month-year": "a date such as 04.03.2026",
    "month-day-year": "a date such as 03/04/2026",
}


def timestamp_of(text: str, order: DateOrder | None) -> str:
    """Return date, or date and time, as a timestamp; `order` None reads ISO 8601 extended form only.

    Raises:
        Refused: another form, a year of two digits, a day or an hour that does not exist.
    """
    if order is None and _USUAL.fullmatch(text):
        try:
            date.fromisoformat(text[:10])
        except ValueError:
            return date_of(text[:10], order)  # says what is wrong with it
        return text
    bare = text.strip()
    found = (_DATE if order else _ISO_DATE).match(bare)
    gap = _BETWEEN.match(bare, found.end()) if found else None
    if found is None or gap is None:
        return date_of(bare, order)
    return f"{date_of(found[0], order)}T{time_of(bare[gap.end() :])}"


def date_of(text: str, order: DateOrder | None) -> str:
    """Return a date as `YYYY-MM-DD`; see `timestamp_of`."""
    found = (_DATE if order else _ISO_DATE).fullmatch(text)
    if found is None:
        raise Refused(f"{shown(text)} is not {_FORMS[order]}", remedy="state the date_order of the column")
    first, _, middle, last = found.groups()
    year, month, day = {
        "day-month-year": (last, middle, first),
        "month-day-year": (last, first, middle),
    }.get(order or "", (first, middle, last))
    if len(year) != 4:
        raise Refused(f"the year of {shown(text)} has no four digits", remedy=f"write {_FORMS[order]}")
    try:
        return date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        raise Refused(f"{shown(text)} is no day of the calendar, read as {order or 'ISO 8601'}") from None


def time_of(text: str) -> str:
    """Return a time of day, with its zone where one is stated, as `HH:MM[:SS[.fff]][zone]`."""
    found = _TIME.fullmatch(text)
    if found is None:
        raise Refused(f"{shown(text)} is no time such as 09:12 or 09:12:30+01:00")
    hour_text, minute, second, fraction, half, zone = found.groups()
    hour = _hour(int(hour_text), half)
    try:
        time(hour, int(minute), int(second or 0))
    except ValueError:
        raise Refused(f"{shown(text)} is no time of day") from None
    return "".join(
        (
            f"{hour:02}:{minute}",
            f":{second}" if second else "",
            f".{fraction}" if fraction else "",
            _zone(zone, text) if zone else "",
        )
    )


def _hour(hour: int, half: str | None) -> int:
    if half is None:
        return hour
    if not 1 <= hour <= 12:
        return 24  # no hour of a twelve-hour clock; refused with the text of the cell
    return hour % 12 + (12 if half in "pP" else 0)


def _zone(zone: str, text: str) -> str:
    if zone in "Zz":
        return "Z"
    hours, minutes = zone[1:3], zone[-2:] if len(zone) > 3 else "00"
    if int(hours) > 23 or int(minutes) > 59:
        raise Refused(f"{shown(text)} has no possible offset from UTC")
    return f"{zone[0]}{hours}:{minutes}"
