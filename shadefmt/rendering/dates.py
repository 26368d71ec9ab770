"""Dates and times in words. A moment that is in no calendar is shown as it stands."""

from typing import Final

from shadefmt.rendering.visible import visible
from shadefmt.timestamps import moment

MONTHS: Final = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def date_words(timestamp: str) -> str:
    """Return the day of a timestamp, such as `4 March 2026`, in the writer's own time."""
    if moment(timestamp) is None:
        return visible(timestamp)
    return f"{int(timestamp[8:10])} {MONTHS[int(timestamp[5:7]) - 1]} {timestamp[:4]}"


def time_words(timestamp: str) -> str:
    """Return the day and, where it is stated, the time of day, such as `4 March 2026, 09:12`."""
    known = moment(timestamp) is not None and len(timestamp) > 10
    return f"{date_words(timestamp)}, {timestamp[11:16]}" if known else date_words(timestamp)


def span_words(timestamps: list[str]) -> str:
    """Return the day of several moments, or the first and the last of their days."""
    days = sorted({each[:10] for each in timestamps})
    if not days:
        return ""
    if len(days) == 1:
        return date_words(days[0])
    first, last = date_words(days[0]), date_words(days[-1])
    same_month = days[0][:7] == days[-1][:7] and moment(days[0]) is not None and moment(days[-1]) is not None
    return f"{int(days[0][8:10])} to {last}" if same_month else f"{first} to {last}"
