from __future__ import annotations

import time
from datetime import UTC, date, datetime

import pytest

from webapp.importing.columns import COLUMNS
from webapp.importing.csv_reading import Fault, Row
from webapp.importing.derived_ids import NO_DAY, derived_id, noon_here, noon_of
from webapp.importing.lines import Line, read_line
from webapp.sites.clock import local
from webapp.sync.bodies import BODIES
from webapp.sync.fields import UUID7_FORM

TODAY = date(2026, 11, 25)


def read(**told: str) -> Line | list[Fault]:
    return read_line(Row(7, {"street": "12 Mill Lane", "town": "Harrowby", **told}), TODAY)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"street": ""}, "The street is missing."),
        ({"town": "--"}, "no letter and no digit"),
        ({"postcode": "x" * 21}, "postcode has 21 characters. At most 20"),
        ({"access_words": "a\0b"}, "NUL"),
        ({"visited_on": "03/04/2025"}, "Write the day as 2024-03-18"),
        ({"visited_on": "20250304"}, "Write the day as 2024-03-18"),
        ({"visited_on": "2025-02-29"}, "Write the day as 2024-03-18"),
        ({"visited_on": "2026-11-26"}, "still to come"),
        ({"visited_on": "1970-12-31"}, "before 1971"),
        ({"visited_on": "2025-03-04", "held": "maybe"}, "Write yes, no or unknown"),
        ({"cause": "Terminal blocked"}, "visited_on is missing"),
    ],
)
def test_what_is_wrong_with_a_line_is_told_with_what_to_do(told: dict[str, str], words: str) -> None:
    faults = read(**told)
    assert isinstance(faults, list)
    assert [fault.line for fault in faults] == [7]
    assert words in faults[0].words


def test_everything_wrong_with_a_line_is_told_at_once() -> None:
    faults = read(street="", visited_on="soon", held="maybe")
    assert isinstance(faults, list)
    assert len(faults) == 3


def test_a_visit_of_today_is_past_and_one_without_a_day_is_none() -> None:
    today, none = read(visited_on="2026-11-25", held="YES"), read(phone="555-0142")
    assert isinstance(today, Line)
    assert today.visit is not None
    assert (today.visit.day, today.visit.held) == (TODAY, "yes")
    assert isinstance(none, Line)
    assert none.visit is None


def test_no_column_lets_through_more_than_the_events_can_carry() -> None:
    shape = BODIES["address_given", 1]
    for name, field in shape.fields.items():
        assert COLUMNS[name].longest <= field.metadata["maxLength"], name
    assert len(f"Brought in from a file. {'x' * 40}: ") + COLUMNS["access_words"].longest <= 4000


def test_a_derived_id_is_a_uuid7_of_its_moment_and_the_same_again() -> None:
    moment = noon_of(date(2024, 3, 18))
    made = derived_id(moment, "job", "a", "b")
    assert UUID7_FORM.fullmatch(made)
    assert made == derived_id(moment, "job", "a", "b")
    # RFC 9562, section 5.7: the first 48 bits are milliseconds since 1970.
    assert int(made.replace("-", "")[:12], 16) == 1_710_763_200_000
    assert derived_id(NO_DAY, "x").startswith("00000000-0000-7")


def test_ids_of_different_things_are_different_however_their_parts_are_cut() -> None:
    made = [derived_id(NO_DAY, *parts) for parts in (("ab", "c"), ("a", "bc"), ("abc",), ("abc", ""), ("1:abc",))]
    assert len(set(made)) == len(made)


def test_the_bits_that_stand_for_chance_are_spread_evenly() -> None:
    made = [int(derived_id(NO_DAY, str(n)).replace("-", ""), 16) for n in range(2000)]
    free = [bit for bit in range(128) if not (62 <= bit < 64 or bit >= 76)] + list(range(64, 76))
    for bit in set(free):
        share = sum(one >> bit & 1 for one in made) / len(made)
        assert 0.44 < share < 0.56, bit  # five standard deviations of a fair coin


@pytest.mark.parametrize("zone", ["UTC", "Pacific/Kiritimati", "Pacific/Auckland", "Etc/GMT+12", "America/New_York"])
@pytest.mark.parametrize("day", [date(2024, 3, 18), date(2024, 12, 31), date(2024, 3, 10), date(1971, 1, 1)])
def test_a_day_is_that_day_on_the_offices_own_clock(monkeypatch: pytest.MonkeyPatch, zone: str, day: date) -> None:
    """Kiritimati is 14 hours ahead of UTC, GMT+12 is 12 behind (the sign is POSIX's); New York changed on 10 March."""
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        shown = local(noon_here(day))
        assert (shown.date(), shown.hour) == (day, 12)
        assert derived_id(noon_of(day), "x") == derived_id(datetime(day.year, day.month, day.day, 12, tzinfo=UTC), "x")
    finally:
        monkeypatch.undo()
        time.tzset()
