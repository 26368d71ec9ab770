"""Moments: which exist, which is later, and when that cannot be known (RFC 3339; calendar of `datetime`)."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shadefmt.timestamps import is_after, moment, seconds_between

OFFSETS = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
MOMENTS = st.datetimes(datetime(1900, 1, 2), datetime(2100, 1, 1), timezones=OFFSETS)


@pytest.mark.parametrize(
    "text",
    [
        *("2026-02-30", "2026-13-01", "2026-00-10", "2025-02-29", "1900-02-29", "0000-01-01"),
        *("2026-03-04T24:00", "2026-03-04T25:00", "2026-03-04T09:60", "2026-03-04T23:59:60Z"),
        *("2026-03-04T09:31+24:00", "2026-03-04T09:31+09:60", "2026-02-30T09:31Z"),
    ],
)
def test_what_no_calendar_holds_is_no_moment(text: str) -> None:
    assert moment(text) is None


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2026-03-04T09:31:00+01:00", "2026-03-04T08:31:00"),
        ("2026-03-04T09:31Z", "2026-03-04T09:31:00"),
        ("2026-03-04T00:10:00+14:00", "2026-03-03T10:10:00"),
        ("2026-03-04T23:50:00.123456789-05:30", "2026-03-05T05:20:00.123456"),
        ("2024-02-29T12:00:00Z", "2024-02-29T12:00:00"),
        ("1969-12-31T23:59:59Z", "1969-12-31T23:59:59"),
    ],
)
def test_a_moment_with_offset_is_a_point_in_time(text: str, utc: str) -> None:
    found = moment(text)
    assert found is not None
    assert found.seconds == datetime.fromisoformat(utc).replace(tzinfo=UTC).timestamp()


def test_a_date_has_a_day_and_a_local_time_no_point_in_time() -> None:
    day, local = moment("2026-03-04"), moment("2026-03-04T09:31")
    assert day is not None
    assert local is not None
    assert (day.seconds, day.local) == (None, None)
    assert local.seconds is None
    assert local.local is not None
    assert day.day == local.day == datetime(2026, 3, 4).toordinal()


@given(MOMENTS, MOMENTS)
def test_seconds_between_are_those_of_datetime(one: datetime, other: datetime) -> None:
    found = seconds_between(one.isoformat(), other.isoformat())
    assert found == pytest.approx((other - one).total_seconds(), abs=1e-5)


@given(MOMENTS, MOMENTS)
def test_later_is_never_both_ways_and_follows_the_clock(one: datetime, other: datetime) -> None:
    first, second = one.isoformat(), other.isoformat()
    assert is_after(first, second) == (one > other)
    assert not (is_after(first, second) and is_after(second, first))


@pytest.mark.parametrize(
    ("one", "other", "after"),
    [
        ("2026-03-05", "2026-03-04", True),
        ("2026-03-04", "2026-03-04", False),
        ("2026-03-04", "2026-03-05", False),
        ("2026-03-04", "2026-03-04T09:31", False),
        ("2026-03-05", "2026-03-04T23:59", True),
        # a local day and a point in time may lie up to a day apart without saying anything
        ("2026-03-05", "2026-03-04T09:31Z", False),
        ("2026-03-06", "2026-03-04T09:31Z", True),
        ("2026-03-05T01:00", "2026-03-04T23:00Z", False),
        ("2026-03-04T10:00", "2026-03-04T09:00", True),
        ("2026-03-04T10:00+02:00", "2026-03-04T09:00+00:00", False),
        ("2026-02-30", "2026-01-01", False),
    ],
)
def test_only_what_is_surely_later_is_later(one: str, other: str, after: bool) -> None:
    assert is_after(one, other) is after


@pytest.mark.parametrize(
    ("one", "other"),
    [("2026-03-04", "2026-03-05"), ("2026-03-04T09:31", "2026-03-04T09:31Z"), ("2026-02-30", "2026-03-04")],
)
def test_seconds_that_cannot_be_known_are_none(one: str, other: str) -> None:
    assert seconds_between(one, other) is None
    assert seconds_between(other, one) is None


@given(st.text(max_size=40))
def test_any_text_is_a_moment_or_none(text: str) -> None:
    moment(text)
