"""When somebody is due out, for the desk: by the server's clock, not by a phone's that is hours off."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from tests.trade.making import event
from webapp.sites.logbook import due_out_at
from webapp.sync.rows import job_row
from webapp.trade.record import fold_job


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
    events = [event(1, "job_opened", {"procedure_hash": "h"}), event(2, "due_out", body, clock_offset=clock_offset)]
    row = job_row(fold_job(events), site_id="site", job_id="job", last_received_at=datetime(2026, 11, 25, tzinfo=UTC))
    assert row["due_out_wall"] == due_by_the_server


def test_the_page_of_a_job_reckons_as_the_list_of_jobs_does():
    body = {"due_out_wall": "2026-11-25T17:40:00.000Z"}
    below = fold_job([event(1, "due_out", body, clock_offset=-9 * 3_600_000)])["below"]
    assert due_out_at(below) == datetime(2026, 11, 25, 8, 40, tzinfo=UTC)
