"""The list of jobs, one job, and sending somebody else."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy.orm import Session

from tests.factories import PersonFactory
from tests.office.conftest import Desk, text_of
from webapp.models import Device, Job
from webapp.models.ids import new_id


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_an_empty_list_says_what_to_do(desk: Desk) -> None:
    assert "Nothing to do: no job is booked, nobody is on one." in desk.read("/jobs")
    assert "No job yet. The first call makes it." in desk.read("/jobs?show=all")


def test_what_waits_longest_is_on_top_and_what_is_closed_is_newest_first(desk: Desk) -> None:
    for number in (1, 2):
        desk.story.book(desk.story.address(f"{number} Weir Road"))
    words = desk.read("/jobs")
    assert words.index("1 Weir Road") < words.index("2 Weir Road")
    for number in (3, 4):
        desk.story.whole_visit(desk.story.address(f"{number} Weir Road"))
    words = desk.read("/jobs?show=closed")
    assert words.index("4 Weir Road") < words.index("3 Weir Road")
    assert "1 Weir Road" not in words


def test_a_filter_shows_its_state_alone_and_the_counts_say_how_many_wait(desk: Desk) -> None:
    site = desk.story.address("1 Weir Road")
    desk.story.book(site)
    other = desk.story.address("2 Weir Road")
    desk.story.open(other, desk.story.book(other))
    words = desk.read("/jobs?show=open")
    assert "2 Weir Road" in words
    assert "1 Weir Road" not in words
    assert "To do 2 Booked 1 On the job 1" in words


def test_a_place_that_nobody_knows_shows_the_first_page(desk: Desk) -> None:
    assert "Nothing to do" in desk.read("/jobs?show=to_do&from=x&after=y")


def test_a_returning_address_says_how_often_it_was_visited_before_this_job(desk: Desk) -> None:
    site = desk.story.address()
    desk.story.whole_visit(site)
    assert "returning" not in desk.read("/jobs?show=all")
    desk.story.whole_visit(site)
    desk.story.book(site)
    assert "returning: 2 visits before" in desk.read("/jobs")
    assert "returning: 1 visit before" in desk.read("/jobs?show=closed")


def test_visits_under_another_entry_of_the_same_door_count_as_returning(desk: Desk) -> None:
    one, other = desk.story.address(), desk.story.address("12 Mill Ln")
    desk.story.whole_visit(one)
    desk.story.say(desk.story.desk, "same_address", {"other_site_id": other}, site_id=one)
    desk.story.book(other)
    assert "returning: 1 visit before" in desk.read("/jobs")


def test_a_job_that_the_phone_has_not_fetched_yet_says_so(desk: Desk, session: Session) -> None:
    desk.story.book(desk.story.address())
    assert "not on the phone yet" in desk.read("/jobs")
    phone = session.get(Device, desk.story.phone.id)
    assert phone is not None
    phone.last_seen_at = datetime(2030, 1, 1, tzinfo=UTC)
    session.commit()
    assert "not on the phone yet" not in desk.read("/jobs")


def test_a_technician_without_a_phone_is_told_before_anybody_waits_for_them(desk: Desk) -> None:
    desk.story.book(desk.story.address(), technician=PersonFactory(name="Nell New"))
    assert "technician has no phone signed in" in desk.read("/jobs")


def test_photos_that_are_still_on_a_phone_are_counted_in_the_list(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    body = {"sha256": "cd" * 32, "length_bytes": 9, "media_type": "image/jpeg", "width_px": 1, "height_px": 1}
    desk.story.walk(site, job, ("photo_taken", {**body, "check": None}))
    assert "1 photo still on the phone" in desk.read("/jobs?show=all")
    assert "photo still on the phone" in desk.read(f"/jobs/{job}")
    desk.story.walk(site, job, ("photo_taken", {**body, "check": None, "words": "said of it later"}))
    assert "1 photo still on the phone" in desk.read("/jobs?show=all")


def test_the_list_comes_in_pages_without_a_gap_or_a_repeat(desk: Desk) -> None:
    site = desk.story.address()
    for number in range(60):
        desk.story.book(site, words=f"call-{number:02d}.")
    seen, path = "", "/jobs"
    pages = 0
    while path:
        page = desk.client.get(path).text
        seen += page.partition("<tbody>")[2]
        before, found, _after = page.partition(">Later jobs<")
        path = before.rpartition('href="')[2].partition('"')[0].replace("&amp;", "&") if found else ""
        pages += 1
    assert pages == 3
    assert [seen.count(f"call-{number:02d}.") for number in range(60)] == [1] * 60


def test_the_caller_cannot_write_into_the_page(desk: Desk) -> None:
    desk.story.book(desk.story.address('<script>alert("x")</script>'), words="<img src=x onerror=alert(1)>")
    page = desk.client.get("/jobs").text
    assert "<script>alert" not in page
    assert "<img src=x" not in page


def test_a_jobs_page_tells_its_timeline_with_who_and_when(desk: Desk) -> None:
    site = desk.story.address()
    words = desk.read(f"/jobs/{desk.story.whole_visit(site)}")
    for told in ("Tom Torch", "Found: sensing tube off its port", "Done: seated the sensing tube", "held"):
        assert told in words
    assert words.index("Closed: repaired") < words.index("Booked for Tom Torch")


def test_a_job_moves_to_another_technician_and_both_words_stay(desk: Desk, session: Session) -> None:
    other = PersonFactory(name="Una Under")
    job_id = desk.story.book(desk.story.address())
    answer = desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/move", technician_id=other.id, why="Tom is ill")
    assert answer.status_code == 303
    session.expire_all()
    job = session.get(Job, job_id)
    assert job is not None
    assert job.technician_id == other.id
    words = desk.read(f"/jobs/{job_id}")
    assert "Moved to Una Under" in words
    assert "“Tom is ill”" in words
    assert "Booked for Tom Torch" in words


def test_moving_to_nobody_is_a_fault_beside_its_field(desk: Desk) -> None:
    job_id = desk.story.book(desk.story.address())
    answer = desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/move", technician_id="", why="because")
    assert answer.status_code == 422
    assert "Choose who goes." in text_of(answer)
    assert 'value="because"' in answer.text


def test_a_closed_job_is_not_moved(desk: Desk) -> None:
    site = desk.story.address()
    closed = desk.story.whole_visit(site)
    waiting = desk.story.book(site)
    technician = desk.story.technician.id
    answer = desk.send(f"/jobs/{waiting}", f"/jobs/{closed}/move", technician_id=technician)
    assert answer.status_code == 409
    assert "Send somebody else" not in desk.read(f"/jobs/{closed}")


def test_a_job_or_address_that_is_not_here_is_a_page_not_a_crash(desk: Desk) -> None:
    for path in (f"/jobs/{new_id()}", f"/addresses/{new_id()}", "/jobs/no-such", "/photos/nothing"):
        desk.read(path, status=404)
