"""Whoever sends somebody reads there and then what may hurt them, whom to ring, and what is still open."""

from __future__ import annotations

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from tests.office.test_urgency import LEFT_OFF, booked, due_out, row_of
from webapp.models import EventRow
from webapp.models.ids import new_id

STANDS = "A heater stands off at this address: heater: cracked vent."


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def left_off(desk: Desk, street: str) -> tuple[str, str]:
    site = desk.story.address(street, phone="555-0190")
    job_id = desk.story.book(site)
    desk.story.walk(site, job_id, ("left_off", LEFT_OFF), ("job_closed", {"state": "left_off"}))
    return site, job_id


def call(desk: Desk, **typed: str) -> str:
    """Book what was typed; gives what is read then."""
    common = {"complaint": "toy_vent/no_hot_water", "complaint_words": "cold", "technician_id": "nobody"}
    answer = desk.send("/jobs/book", **(common | typed))
    assert answer.status_code == 303, text_of(answer)
    return desk.read(answer.location)


def test_a_job_at_a_heater_that_stands_off_says_so_in_the_list_on_its_page_and_during_the_call(desk: Desk) -> None:
    site, off_by = left_off(desk, "1 Tag Road")
    for _later in range(4):  # more visits since than the call's page tells
        desk.story.whole_visit(site)
    matches = desk.client.get("/jobs/book/matches?phone=555-0190").text
    assert "A heater stands off here since " in matches
    job_id = desk.story.book(site)
    assert "a heater stands off here" in row_of(desk, "1 Tag Road", "/jobs?show=booked")
    page = desk.client.get(f"/jobs/{job_id}").text
    assert STANDS in desk.read(f"/jobs/{job_id}")
    assert f'href="/jobs/{off_by}">that visit' in page
    put_back = {"words": "new vent", "left_off_ids": None}
    desk.story.say(desk.story.hand, "put_back", put_back, schema=2, site_id=site, job_id=job_id)
    assert "A heater stands off" not in desk.read(f"/jobs/{job_id}")
    assert "stands off here" not in row_of(desk, "1 Tag Road", "/jobs?show=booked")
    assert "stands off here" not in desk.client.get("/jobs/book/matches?phone=555-0190").text


def test_the_job_that_left_it_off_does_not_warn_of_itself(desk: Desk) -> None:
    _site, job_id = left_off(desk, "1 Tag Road")
    assert "A heater stands off at this address" not in desk.read(f"/jobs/{job_id}")
    assert "stands off here" not in row_of(desk, "1 Tag Road")


def test_the_list_of_what_is_closed_says_what_became_of_a_heater_left_off(desk: Desk) -> None:
    site, _off_by = left_off(desk, "1 Tag Road")
    assert "left off and tagged the heater stands off" in row_of(desk, "1 Tag Road", "/jobs?show=closed")
    back = desk.story.book(site)
    desk.story.say(desk.story.hand, "put_back", {"words": "new vent"}, site_id=site, job_id=back)
    assert "left off and tagged the heater is back in service" in row_of(desk, "1 Tag Road", "/jobs?show=closed")
    desk.story.whole_visit(desk.story.address("2 Plain Road"))
    assert "the heater" not in row_of(desk, "2 Plain Road", "/jobs?show=closed")


def test_the_register_says_whether_anybody_is_to_go_there(desk: Desk) -> None:
    site, _off_by = left_off(desk, "1 Tag Road")
    assert "Nothing is booked there. Book a job" in desk.read("/heaters-off")
    assert f'href="/jobs/book?site={site}"' in desk.client.get("/heaters-off").text
    booked_for = {"complaint": "no_hot_water", "complaint_words": "cold", "procedure_name": "toy_vent"}
    job_id = new_id()
    desk.story.say(desk.story.desk, "job_booked", booked_for, schema=2, site_id=site, job_id=job_id)
    assert "Booked: nobody is going yet" in desk.read("/heaters-off")
    desk.story.say(
        desk.story.desk, "job_moved", {"technician_id": desk.story.technician.id}, site_id=site, job_id=job_id
    )
    assert "Booked: Tom Torch" in desk.read("/heaters-off")
    desk.story.open(site, job_id)
    assert "On the job now: Tom Torch" in desk.read("/heaters-off")
    assert "Nothing is booked" not in desk.read("/heaters-off")


def test_a_cancelled_call_is_nobody_on_the_way(desk: Desk) -> None:
    site = desk.story.address("1 Off Road", phone="555-0190")
    job_id = desk.story.book(site)
    desk.story.say(desk.story.desk, "job_cancelled", {"why": "works again"}, site_id=site, job_id=job_id)
    assert "Somebody is on it" not in desk.client.get("/jobs/book/matches?phone=555-0190").text


def test_a_corrected_number_is_the_one_that_is_rung(desk: Desk) -> None:
    site = desk.story.address("8 Elm Row", phone="555-0108")
    job_id = desk.story.book(site)
    desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/correct", phone="555-0109", why="misheard")
    assert "555-0109" in row_of(desk, "8 Elm Row")
    assert "555-0108" not in row_of(desk, "8 Elm Row")
    assert "Ring for this job 555-0109" in desk.read(f"/jobs/{job_id}")
    other = desk.story.book(site)
    assert "Ring for this job" not in desk.read(f"/jobs/{other}")


def test_what_is_booked_for_nobody_is_on_no_phone_and_says_so(desk: Desk) -> None:
    told = call(desk, street="9 Lock Street", town="Harrowby")
    assert "Booked. Nobody is going yet: send somebody here, or from the list." in told
    assert "It goes to the phone" not in told


def test_an_address_to_be_decided_later_stays_open_on_the_job(desk: Desk, session: Session) -> None:
    desk.story.address("127 Saint Osk's Lamplighter Passage North", town="Marrowick Underhill")
    typed = {"street": "127 St Osks Lamplighter Pass", "town": "Marrowick", "site_id": "later"}
    told = call(desk, **typed)
    wanted = "Address not decided yet. It may be 127 Saint Osk's Lamplighter Passage North, Marrowick Underhill."
    assert wanted in told
    assert "A known address? Same address as …" in told
    note = session.scalars(select(EventRow).where(EventRow.kind == "note")).one()
    assert (note.body, note.job_id is None) == ({"words": wanted}, False)


def test_a_caller_who_alarmed_keeps_everybody_outside_until_it_is_cleared(desk: Desk) -> None:
    _site, job_id = booked(desk, "2 Gas Road", smell_of_gas="unsure")
    assert "The caller alarmed. Nobody goes in before the gas company or the fire department" in desk.read(
        f"/jobs/{job_id}"
    )
    _site, job_id = booked(desk, "2 Plain Road", smell_of_gas="no")
    assert "The caller alarmed." not in desk.read(f"/jobs/{job_id}")


def test_a_closed_job_with_somebody_still_below_says_that_nobody_heard_them_come_out(desk: Desk) -> None:
    place = booked(desk, "1 Deep Road")
    due_out(desk, place, 30)
    second = desk.story.another_technician("Una Under")
    desk.story.say(second, "job_closed", {"state": "proven"}, site_id=place[0], job_id=place[1])
    row = row_of(desk, "1 Deep Road")
    assert row.startswith("due out ")
    assert "closed, not yet out" in row
    assert "closed, not yet out" in row_of(desk, "1 Deep Road", "/jobs?show=closed")
    desk.story.walk(*place, ("came_out", {"words": None}))
    assert "1 Deep Road" not in desk.client.get("/jobs").text
    assert "not yet out" not in row_of(desk, "1 Deep Road", "/jobs?show=closed")
