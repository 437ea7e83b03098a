"""Times as the office reads them: local, and honest about when a thing was noted and when it arrived."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from webapp.sites.clock import day_words, moment_beside, moment_words, noted_at, parse_wall, span_words, zone_words

NOON = datetime(2026, 11, 25, 17, 5, tzinfo=UTC)


@pytest.fixture(autouse=True)
def new_york(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "America/New_York")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def an_event(at_wall: str, clock_offset: int | None = 0) -> Any:
    return {"at_wall": at_wall, "clock_offset": clock_offset}


def test_a_moment_is_shown_in_the_offices_own_zone() -> None:
    assert moment_words(NOON, NOON) == "Wed 25 Nov, 12:05"


def test_the_zone_of_all_times_is_named_with_its_distance_from_utc() -> None:
    assert zone_words(NOON) == "EST, UTC-05:00"


def test_summer_time_is_that_of_the_day_not_of_today() -> None:
    assert moment_words(datetime(2026, 7, 1, 16, 0, tzinfo=UTC), NOON) == "Wed 1 Jul, 12:00"


def test_another_year_is_said() -> None:
    assert day_words(NOON - timedelta(days=365), NOON) == "Tue 25 Nov 2025"


def test_the_day_is_said_once_where_two_times_share_it() -> None:
    assert moment_beside(NOON + timedelta(hours=2), NOON, NOON) == "14:05"
    assert moment_beside(NOON + timedelta(hours=20), NOON, NOON) == "Thu 26 Nov, 08:05"


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (timedelta(seconds=30), "0 min"),
        (timedelta(minutes=59), "59 min"),
        (timedelta(hours=3, minutes=20), "3 h 20 min"),
        (timedelta(hours=47), "47 h"),
        (timedelta(days=12, hours=5), "12 days"),
        (timedelta(hours=-9), "9 h"),
    ],
)
def test_a_length_of_time_is_said_in_words_that_fit_it(span: timedelta, words: str) -> None:
    assert span_words(span) == words


@pytest.mark.parametrize("junk", ["", "yesterday", None, 7, "2026-13-45T99:00:00Z", "0001-01-01T00:00:00Z"])
def test_a_time_that_says_nothing_sensible_is_no_time(junk: object) -> None:
    assert parse_wall(junk) is None


# RFC 3339, section 5.8, gives these two as the same moment.
def test_a_time_with_an_offset_is_the_same_moment_in_utc() -> None:
    assert parse_wall("1996-12-19T16:39:57-08:00") == parse_wall("1996-12-20T00:39:57Z")


def test_what_was_sent_at_once_is_one_time_and_what_waited_below_ground_is_two() -> None:
    wall = "2026-11-25T17:05:00Z"
    assert not noted_at(an_event(wall), NOON + timedelta(seconds=90)).arrived_later
    assert noted_at(an_event(wall), NOON + timedelta(hours=2)).arrived_later


def test_a_small_offset_puts_right_without_a_word_and_a_large_one_is_told() -> None:
    assert noted_at(an_event("2026-11-25T17:05:00Z", 900), NOON).clock_was_off is None
    told = noted_at(an_event("2026-11-25T08:05:00Z", 9 * 3_600_000), NOON)
    assert (told.noted, told.clock_was_off) == (NOON, timedelta(hours=9))


def test_an_offset_beyond_all_calendars_is_left_out() -> None:
    assert noted_at(an_event("2026-11-25T17:05:00Z", 10**18), NOON).noted == NOON
