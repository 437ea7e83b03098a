"""When somebody is due out, for the desk: by the server's clock, not by a phone's that is hours off."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.trade.making import event
from webapp.sites.clock import reckoned
from webapp.sync.rows import job_row
from webapp.trade.record import fold_job

HEARD = datetime(2026, 11, 25, 8, 30, tzinfo=UTC)


def row_of(events: list[dict[str, Any]], heard: datetime = HEARD) -> dict[str, Any]:
    received = {one["id"]: heard for one in events}
    return job_row(fold_job(events), site_id="site", job_id="job", received=received)


@pytest.mark.parametrize(
    ("clock_offset", "due_wall", "due_by_the_server"),
    [
        (-9 * 3_600_000, "2026-11-25T17:40:00.000Z", "2026-11-25T08:40:00.000Z"),
        (9 * 3_600_000, "2026-11-24T23:40:00Z", "2026-11-25T08:40:00.000Z"),
        (None, "2026-11-25T08:40:00.000Z", "2026-11-25T08:40:00.000Z"),
        (60_000, "no time at all", "no time at all"),
    ],
)
def test_due_out_is_told_by_the_servers_clock(clock_offset, due_wall, due_by_the_server):
    body = {"due_out_wall": due_wall, "ring_phone": "555-0100"}
    said_at = {"at_wall": due_wall.replace(":40", ":20"), "clock_offset": clock_offset}
    events = [event(1, "job_opened", {"procedure_hash": "h"}), event(2, "due_out", body, **said_at)]
    row = row_of(events)
    assert row["due_out_wall"] == due_by_the_server


def test_the_page_of_a_job_reckons_as_the_list_of_jobs_does():
    body = {"due_out_wall": "2026-11-25T17:40:00.000Z"}
    due = event(1, "due_out", body, clock_offset=-9 * 3_600_000)
    below = fold_job([due])["below"]
    assert reckoned(below["due_out_wall"], below["by"], HEARD) == datetime(2026, 11, 25, 8, 40, tzinfo=UTC)


def test_a_clock_a_day_ahead_that_nobody_measured_hides_nobody():
    due = event(1, "due_out", {"due_out_wall": "2026-11-26T10:00:00.000Z"}, at_wall="2026-11-26T08:30:00.000Z")
    assert row_of([due])["due_out_wall"] == "2026-11-25T10:00:00.000Z"
    late = HEARD + timedelta(days=1, minutes=5)  # the phone had no signal: no clock need have been wrong
    assert row_of([due], late)["due_out_wall"] == "2026-11-26T10:00:00.000Z"


def test_of_two_below_the_list_waits_for_whoever_is_due_out_first():
    events = [
        event(1, "due_out", {"due_out_wall": "2026-11-25T09:30:00.000Z", "ring_phone": "555-0101"}),
        event(2, "due_out", {"due_out_wall": "2026-11-25T10:30:00.000Z"}, person_id="bo", device_id="d2"),
    ]
    row = row_of(events)
    assert (row["due_out_wall"], row["ring_phone"]) == ("2026-11-25T09:30:00.000Z", "555-0101")
    row = row_of([*events, event(3, "came_out", {})])
    assert (row["due_out_wall"], row["ring_phone"]) == ("2026-11-25T10:30:00.000Z", None)


def test_an_alarm_that_one_of_two_heard_on_the_phone_stays():
    asked = dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "no") | {"lately": [], "said": []}
    heard = event(1, "call_taken", asked | {"co_alarm": "unsure"})
    other = event(2, "call_taken", asked, person_id="bo", device_id="d2")
    assert row_of([heard, other])["caller_alarm"] is True
    assert row_of([heard, event(2, "call_taken", asked, replaces=[heard["id"]])])["caller_alarm"] is False
