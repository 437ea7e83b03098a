"""The company's time zone: every page, sheet and file goes by it, and an appointment is typed in it."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime, time

import pytest
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from webapp.extensions import Database
from webapp.models import Job, Person
from webapp.office.call_form import day_choices
from webapp.sheets.service import change_settings
from webapp.sheets.time_zone import zone_named, zone_names
from webapp.sites.clock import at_local, local, use_zone

EVENING = datetime(2026, 3, 3, 1, 30, tzinfo=UTC)
"""Half past eight on the evening before, in New York: winter time, five hours behind (tz database)."""


@pytest.fixture
def new_york(database: Database, desk: Desk) -> None:
    with database.session() as session:
        person = session.get_one(Person, desk.story.dispatcher.id)
        change_settings(session, person, co_ladder=None, office_phone="", time_zone="America/New_York")


def test_without_a_choice_times_are_the_machines_and_the_page_says_whose(desk: Desk) -> None:
    assert f"Times: {local(datetime.now(UTC)):%Z}" in desk.client.get("/jobs").text


def test_a_place_is_found_whatever_its_capitals_and_a_bare_offset_is_none() -> None:
    assert zone_named("america/new york") == zone_named("America/New_York")
    assert zone_named("EST5EDT") is None
    assert zone_named("Etc/GMT+5") is None
    assert {"UTC", "America/New_York", "Europe/Vienna"} <= set(zone_names())


def test_pages_and_the_sheet_show_the_companys_time(new_york: None, desk: Desk) -> None:
    desk.story.at = EVENING
    site = desk.story.address()
    job = desk.story.whole_visit(site)
    words = desk.read(f"/jobs/{job}")
    assert "Booked Mon 2 Mar 2026, 20:32" in words
    assert "Times: America/New_York, E" in desk.client.get(f"/jobs/{job}").text  # EST or EDT, by the day of the test
    assert "Mon 2 Mar" in desk.read(f"/addresses/{site}")
    sheet = desk.read(f"/jobs/{job}/sheet")
    assert "Monday, 2 March 2026, 20:33 to 20:59" in sheet
    assert "(EST, UTC-05:00)" in sheet


def test_the_owners_file_tells_the_companys_time_with_its_offset(
    new_york: None, desk: Desk, database: Database
) -> None:
    with database.session() as writing:
        writing.get_one(Person, desk.story.dispatcher.id).role = "owner"
        writing.commit()
    desk.story.at = EVENING
    desk.story.whole_visit(desk.story.address())
    answer = desk.client.get("/held/jobs.csv?list=over&days=90")
    assert answer.status_code == 200
    rows = list(csv.reader(io.StringIO(answer.text.lstrip("\ufeff"))))
    assert any("2026-03-02T20:" in cell and cell.endswith("-05:00") for row in rows for cell in row)


def test_an_appointment_is_typed_in_the_companys_time(new_york: None, desk: Desk, session: Session) -> None:
    job = desk.story.book(desk.story.address())
    use_zone(zone_named("America/New_York"))
    try:
        day = day_choices()[2].value
        meant = at_local(date.fromisoformat(day), time(14, 30))
    finally:
        use_zone(None)
    answer = desk.send(f"/jobs/{job}", f"/jobs/{job}/correct", due_day=day, due_time="2:30 pm", why="they rang")
    assert answer.status_code == 303, text_of(answer)
    session.rollback()
    due = session.get_one(Job, job).due_wall
    assert due is not None
    assert datetime.fromisoformat(due) == meant
    assert ", 14:30" in desk.read(f"/jobs/{job}").partition("Appointment")[2][:40]


def test_an_hour_that_the_clocks_leave_out_is_still_one_moment() -> None:
    """In New York 8 March 2026 has no half past two: clocks go from 2:00 to 3:00 (tz database)."""
    use_zone(zone_named("America/New_York"))
    try:
        meant = at_local(date(2026, 3, 8), time(2, 30))
        assert meant == datetime(2026, 3, 8, 7, 30, tzinfo=UTC)
        assert f"{local(meant):%H:%M}" == "03:30"
    finally:
        use_zone(None)


def test_one_companys_zone_does_not_stay_for_the_next_request(new_york: None, desk: Desk) -> None:
    desk.read("/jobs")
    assert local(EVENING).utcoffset() == EVENING.astimezone().utcoffset()
