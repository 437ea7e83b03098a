"""Days and hours as callers say them. Expected days were counted on a calendar of November 2026."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.office.said_times import WEEKDAYS, read_day, read_hour

WEDNESDAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("said", "month", "day"),
    [
        ("today", 11, 25), ("this morning", 11, 25), ("Last night", 11, 24), ("yesterday", 11, 24),
        ("since Sunday", 11, 22), ("sun", 11, 22), ("Thursday night", 11, 19), ("last Wednesday", 11, 18),
        ("3 days ago", 11, 22), ("two weeks", 11, 11), ("11/22", 11, 22), ("11/22/2026", 11, 22),
        ("2026-11-22", 11, 22), ("22 Nov", 11, 22), ("Nov. 22", 11, 22), ("since about nov 2", 11, 2),
    ],
)  # fmt: skip
def test_a_day_as_it_is_said_is_the_day_that_is_meant(said: str, month: int, day: int) -> None:
    if said == "last Wednesday":
        assert read_day(said, WEDNESDAY) is None  # today's own name: it could mean two days
    else:
        assert read_day(said, WEDNESDAY) == date(2026, month, day)


def test_a_date_without_its_year_is_never_a_day_to_come() -> None:
    assert read_day("12/30", WEDNESDAY) == date(2025, 12, 30)
    assert read_day("2026-12-30", WEDNESDAY) is None


@pytest.mark.parametrize(
    "said", ["", "wednesday", "t", "tu", "since the storm", "9 months", "13/40", "the 3rd or 4th", "a while ago"]
)
def test_what_is_not_sure_is_not_guessed(said: str) -> None:
    assert read_day(said, WEDNESDAY) is None


@given(st.text(max_size=40))
def test_whatever_is_typed_no_day_to_come_is_read(said: str) -> None:
    found = read_day(said, WEDNESDAY)
    assert found is None or found <= WEDNESDAY


@given(st.dates(date(2020, 1, 8), date(2030, 1, 1)), st.integers(0, 6))
def test_a_weekday_is_within_the_last_seven_days_and_is_that_day(today: date, wanted: int) -> None:
    found = read_day(WEEKDAYS[wanted], today)
    if wanted == today.weekday():
        assert found is None
    else:
        assert found is not None
        assert found.weekday() == wanted
        assert timedelta(0) < today - found < timedelta(7)


@pytest.mark.parametrize(
    ("said", "hour", "minute"),
    [("14:30", 14, 30), ("2:30 pm", 14, 30), ("2.30pm", 14, 30), ("9", 9, 0), ("9 am", 9, 0), ("12 pm", 12, 0),
     ("12:15 am", 0, 15), ("06:45", 6, 45)],
)  # fmt: skip
def test_an_hour_as_it_is_said(said: str, hour: int, minute: int) -> None:
    assert read_hour(said) == time(hour, minute)


@pytest.mark.parametrize("said", ["", "2", "2:30", "25:00", "13 pm", "0 am", "14:75", "noon", "2 to 4"])
def test_half_a_time_or_one_that_could_be_two_is_no_hour(said: str) -> None:
    assert read_hour(said) is None
