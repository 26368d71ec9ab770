"""Moments as the format writes them: a date, a local time, or a time with an offset from UTC (RFC 3339)."""

from datetime import UTC, date, datetime
from functools import lru_cache
from typing import NamedTuple

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class Moment(NamedTuple):
    """A moment that exists in the calendar.

    `day` counts days from 0001-01-01 in the writer's own time; `seconds` since 1970-01-01T00:00:00Z where the
    offset is stated, else None; `local` seconds in the writer's own time where a time of day is stated.
    """

    day: int
    seconds: float | None
    local: float | None


@lru_cache(maxsize=4096)
def moment(text: str) -> Moment | None:
    """Return the moment that a text of the right shape names, None where no calendar holds it."""
    try:
        if len(text) == 10:
            return Moment(date.fromisoformat(text).toordinal(), None, None)
        found = datetime.fromisoformat(_six_digits(text))
    except ValueError:
        return None
    if text[-6:-5] in ("+", "-") and text[-2:] > "59":  # read as one more hour by datetime
        return None
    if text[11:13] == "24":  # newer interpreters read it as the next day; RFC 3339 has no such hour
        return None
    local = (found.replace(tzinfo=UTC) - _EPOCH).total_seconds()
    seconds = (found - _EPOCH).total_seconds() if found.tzinfo else None
    return Moment(found.date().toordinal(), seconds, local)


def seconds_between(earlier: str, later: str) -> float | None:
    """Return the seconds from one moment to another, None where that cannot be known.

    Both state an offset, or neither does and both state a time of day (one clock is then assumed).
    """
    first, second = moment(earlier), moment(later)
    if first is None or second is None:
        return None
    if first.seconds is not None and second.seconds is not None:
        return second.seconds - first.seconds
    if first.seconds is None and second.seconds is None and None not in (first.local, second.local):
        return (second.local or 0.0) - (first.local or 0.0)
    return None


def is_after(one: str, other: str) -> bool:
    """Return whether a moment is surely later than another: by seconds where possible, else by whole days."""
    seconds = seconds_between(other, one)
    if seconds is not None:
        return seconds > 0
    first, second = moment(one), moment(other)
    if first is None or second is None:
        return False
    mixed = (first.seconds is None) != (second.seconds is None)
    return first.day - second.day > (1 if mixed else 0)


def _six_digits(text: str) -> str:
    """Cut a fraction of a second to the six digits that datetime holds."""
    whole, point, rest = text.partition(".")
    if not point:
        return text
    digits = rest[: len(rest) - len(rest.lstrip("0123456789"))]
    return f"{whole}.{digits[:6].ljust(6, '0')}{rest[len(digits) :]}"
