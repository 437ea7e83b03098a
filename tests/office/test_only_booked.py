"""What is only booked is no visit: nobody was there. And two people sent to one door are told of each other."""

from __future__ import annotations

import pytest

from tests.office.conftest import Desk
from tests.office.test_booking import PAGE


@pytest.fixture
def twice(desk: Desk) -> tuple[str, str]:
    """Two bookings of one address; nobody has been there."""
    site = desk.story.address("8 Elm Row")
    first = desk.story.book(site)
    due = {"technician_id": desk.story.technician.id, "due_wall": "2026-03-04T17:00:00.000Z"}
    desk.story.say(desk.story.desk, "job_moved", due, site_id=site, job_id=first, schema=2)
    desk.story.days_later(1)
    return first, desk.story.book(site)


def test_a_second_booking_is_no_return(desk: Desk, twice: tuple[str, str]) -> None:
    for page in (desk.read("/jobs"), desk.read(f"/jobs/{twice[1]}")):
        assert "returning:" not in page
        assert "visit here before" not in page
    assert "1 visit before" not in desk.client.get(f"{PAGE}/matches?street=8+Elm+Row&town=Harrowby").text


def test_addresses_count_visits_and_not_bookings(desk: Desk, twice: tuple[str, str]) -> None:
    row = desk.client.get("/addresses").text
    assert '<td class="figure" data-word="Visits">0</td>' in row
    assert '<td class="when" data-word="Last visit">never</td>' in row


def test_list_page_and_panel_tell_of_another_job_at_the_address(desk: Desk, twice: tuple[str, str]) -> None:
    assert "also booked here: Wed 4 Mar, 17:00, Tom Torch" in desk.read("/jobs")
    assert "Also booked here: Wed 4 Mar 2026, 17:00, Tom Torch. That job" in desk.read(f"/jobs/{twice[1]}")
    assert "Wed 4 Mar, 17:00, Tom Torch" in desk.client.get(f"{PAGE}/matches?street=8+Elm+Row&town=Harrowby").text


def test_what_is_closed_there_is_in_nobodys_way(desk: Desk) -> None:
    site = desk.story.address("8 Elm Row")
    desk.story.whole_visit(site)
    desk.story.days_later(1)
    job = desk.story.book(site)
    page = desk.read(f"/jobs/{job}")
    assert "Also booked here" not in page
    assert "returning: 1 visit before" in page


def test_the_address_page_names_a_visit_by_the_day_on_which_it_was_made(desk: Desk) -> None:
    story = desk.story
    site = story.address("2 Dusk Water")
    job = story.book(site)
    booked = story.at
    story.days_later(1)
    story.open(site, job)
    off = {"what_words": "the heater", "why_words": "soot", "told_words": "the customer"}
    story.walk(site, job, ("arrived", {}), ("left_off", off), ("job_closed", {"state": "left_off"}))
    made = story.at
    page = desk.read(f"/addresses/{site}")
    assert f"Left off and tagged {made:%a} {made.day} {made:%b}" in page
    assert f"Visits 1, the last {made:%a} {made.day} {made:%b}" in page
    assert f"{booked:%a} {booked.day} {booked:%b}" not in page.partition("Logbook")[0]
