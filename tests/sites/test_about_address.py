"""What stands said about an address, over several jobs: their counters do not compare."""

from __future__ import annotations

from typing import Any

from tests.trade.making import event
from webapp.sites.about_address import address_facts

HEATER = {"appliance_id": "a", "kind": "power_vent"}


def described(number: int, at: str, serial: str, job: str, lamport: int, **over: Any) -> Any:
    body = {**HEATER, "serial_words": serial}
    return event(number, "appliance_described", body, job_id=job, lamport=lamport, at_wall=at, **over)


def test_a_short_visit_of_today_outdoes_a_long_one_of_years_ago() -> None:
    long_ago = described(1, "2024-03-02T10:00:00Z", "OLD-1", "first", 60)
    today = described(2, "2026-11-25T10:00:00Z", "NEW-2", "second", 4)
    typed = {"quantity": "make_point_in_wc", "where": "plate"}
    figures: list[Any] = [
        event(3, "sheet_number", {**typed, "value": 0.9}, job_id="first", lamport=61, at_wall="2024-03-02T10:05:00Z"),
        event(4, "sheet_number", {**typed, "value": 0.36}, job_id="second", lamport=5, at_wall="2026-11-25T10:05:00Z"),
    ]
    for events in ([long_ago, today, *figures], [*reversed(figures), today, long_ago]):
        facts = address_facts(events)
        assert "NEW-2" in facts.heaters[0]
        assert [figure.words for figure in facts.known[0].figures] == ["make point 0.36 in. w.c."]


def test_within_a_job_no_clock_moves_a_later_word_before_an_earlier_one() -> None:
    first = described(1, "2026-11-26T10:00:00Z", "ONE", "job", 4)
    second = described(2, "2026-11-25T10:00:00Z", "TWO", "job", 5, device_id="d2")
    assert "TWO" in address_facts([first, second]).heaters[0]


def test_a_clock_that_was_measured_is_put_right() -> None:
    """Nine hours ahead, and measured: its word of half past ten comes before another job's of eleven."""
    nine_h = {"clock_offset": -9 * 3_600_000}
    early = described(1, "2026-11-25T19:30:00Z", "EARLY", "first", 9, **nine_h)
    late = described(2, "2026-11-25T11:00:00Z", "LATE", "second", 2, device_id="d2")
    assert "LATE" in address_facts([early, late]).heaters[0]
