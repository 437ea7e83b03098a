"""A booking is corrected or cancelled, with the reason; the first words and whatever a phone notes meanwhile stay."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from webapp.models import EventRow, Job
from webapp.models.ids import new_id
from webapp.office.call_form import day_choices


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def correct(desk: Desk, job_id: str, **typed: str):  # type: ignore[no-untyped-def]
    return desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/correct", **typed)


def test_a_correction_shows_the_new_words_and_keeps_the_first_ones(desk: Desk, session: Session) -> None:
    job_id = desk.story.book(desk.story.address(), words="cold since morning")
    answer = correct(
        desk, job_id, complaint="toy_vent/noise", complaint_words="it howls", phone="555-0199", why="heard wrong"
    )
    assert answer.status_code == 303
    session.rollback()
    job = session.get_one(Job, job_id)
    assert (job.complaint, job.complaint_words) == ("noise", "it howls")
    words = desk.read(f"/jobs/{job_id}")
    for told in ("a noise", "“it howls”", "heard wrong", "cold since morning", "ring 555-0199", "Booking corrected"):
        assert told in words, told
    assert "it howls" in desk.read("/jobs")


def test_the_first_appointment_is_one_and_the_next_is_moved_to(desk: Desk) -> None:
    job_id = desk.story.book(desk.story.address())
    day = (datetime.now(UTC) + timedelta(days=3)).date().isoformat()
    for hour in ("14:30", "16:00"):
        assert correct(desk, job_id, due_day=day, due_time=hour, why="promised").status_code == 303
    page = desk.read(f"/jobs/{job_id}")
    assert page.count("Appointment moved to ") == 1
    assert re.search(r"Appointment (?!moved)[^“]*14:30 “promised”", page)
    assert "Moved to" not in page


def test_a_corrected_kind_of_heater_stands_in_words(desk: Desk) -> None:
    job_id = desk.story.book(desk.story.address())
    desk.story.say(
        desk.story.desk, "job_moved", {"procedure_name": "power_vent", "why": "x"}, schema=2, job_id=job_id,
        site_id=desk.story.session.get_one(Job, job_id).site_id,
    )  # fmt: skip
    assert "kind of heater: tank with a blower on top" in desk.read(f"/jobs/{job_id}")


def test_what_no_phone_has_is_heard_by_none(desk: Desk) -> None:
    site = desk.story.address()
    booked = {"complaint": "no_hot_water", "complaint_words": "cold", "procedure_name": "toy_vent"}
    job_id = new_id()
    desk.story.say(desk.story.desk, "job_booked", booked, schema=2, site_id=site, job_id=job_id)
    correct(desk, job_id, complaint_words="cold and damp", why="more was said")
    desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/cancel", why="works again")
    page = desk.read(f"/jobs/{job_id}")
    assert "Cancelled. Nobody was to go yet: no phone has it." in page
    assert "phone hears" not in page


def test_only_what_was_changed_is_said(desk: Desk, session: Session) -> None:
    job_id = desk.story.book(desk.story.address(), words="cold")
    correct(desk, job_id, complaint="toy_vent/no_hot_water", complaint_words="cold and damp", why="more was said")
    body = session.scalars(select(EventRow).where(EventRow.kind == "job_moved")).one().body
    assert body == {"complaint_words": "cold and damp", "why": "more was said"}


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"complaint_words": "it howls", "why": ""}, "Say why: whoever reads it later was not on the phone."),
        ({"complaint_words": "cold since morning", "why": "typo"}, "Nothing above is changed yet."),
        ({"phone": "12", "why": "typo"}, "Withheld, or not said: leave it empty"),
    ],
)
def test_a_correction_without_a_reason_or_without_a_change_is_not_saved(
    desk: Desk, session: Session, typed: dict[str, str], told: str
) -> None:
    job_id = desk.story.book(desk.story.address())
    answer = correct(desk, job_id, **typed)
    assert answer.status_code == 422
    assert told in text_of(answer)
    assert session.scalars(select(EventRow).where(EventRow.kind == "job_moved")).all() == []


def test_a_cancelled_job_leaves_the_list_and_has_one_of_its_own(desk: Desk) -> None:
    job_id = desk.story.book(desk.story.address(), words="it drips")
    answer = desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/cancel", why="works again")
    assert answer.status_code == 303
    assert "it drips" not in desk.read("/jobs")
    assert "it drips" in desk.read("/jobs?show=cancelled")
    assert "it drips" in desk.read("/jobs?show=all")
    words = desk.read(f"/jobs/{job_id}")
    assert "Cancelled: works again" in words
    assert "Correct the booking" not in words
    assert "Send somebody after all" in words


def test_a_cancelled_booking_is_no_visit_and_nobody_came_back_by_it(desk: Desk) -> None:
    site = desk.story.address()
    desk.story.whole_visit(site)
    desk.story.days_later(3)
    cancelled = desk.story.book(site)
    desk.send(f"/jobs/{cancelled}", f"/jobs/{cancelled}/cancel", why="entered twice")
    words = desk.read(f"/addresses/{site}")
    assert "Return visit" not in words
    assert "Visits 1, the last Mon 2 Mar" in words
    desk.story.days_later(4)
    desk.story.book(site)
    assert "Return visit after" in desk.read(f"/addresses/{site}")
    assert "returning: 1 visit before" in desk.read("/jobs")


def test_an_appointment_is_moved_by_a_correction_and_stands_until_then(desk: Desk, session: Session) -> None:
    job_id = desk.story.book(desk.story.address())
    page = desk.client.get(f"/jobs/{job_id}").text
    assert "Leave it as it is" in page
    day = page.partition(">Tomorrow")[0].rpartition('value="')[2].partition('"')[0]
    correct(desk, job_id, due_day=day, due_time="8:15", why="they rang again")
    session.rollback()
    due = session.get_one(Job, job_id).due_wall
    assert due is not None
    correct(desk, job_id, phone="555-0199", why="new number")
    session.rollback()
    assert session.get_one(Job, job_id).due_wall == due
    assert ", 08:15" in desk.read(f"/jobs/{job_id}").partition("Appointment")[2][:40]


def test_an_appointment_is_taken_back(desk: Desk, session: Session) -> None:
    job_id = desk.story.book(desk.story.address())
    assert "None any more" not in desk.client.get(f"/jobs/{job_id}").text
    correct(desk, job_id, due_day=day_choices()[2].value, due_time="8:15", why="promised")
    answer = correct(desk, job_id, due_day="none", due_time="9:00", why="they cannot")
    assert answer.status_code == 422
    assert correct(desk, job_id, due_day="none", why="they cannot").status_code == 303
    session.rollback()
    assert session.get_one(Job, job_id).due_wall is None
    words = desk.read(f"/jobs/{job_id}")
    assert "no appointment stands any more" in words
    assert "appointment" not in desk.read("/jobs")


def test_cancelling_needs_a_reason(desk: Desk) -> None:
    job_id = desk.story.book(desk.story.address())
    answer = desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/cancel", why=" ")
    assert answer.status_code == 422
    assert 'id="cancel_why-fault"' in answer.text


def test_what_a_phone_notes_after_the_cancelling_is_shown(desk: Desk) -> None:
    site = desk.story.address()
    job_id = desk.story.book(site)
    desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/cancel", why="works again")
    desk.story.open(site, job_id)
    desk.story.walk(site, job_id, ("check_answered", {"check": "tube", "outcome": "off", "could_not": None}))
    words = desk.read(f"/jobs/{job_id}")
    assert "cancelled" in words
    assert "off at the housing" in words
    assert "the phone went on" in desk.read("/jobs?show=cancelled")


def test_a_cancelled_job_that_is_sent_after_all_waits_again(desk: Desk) -> None:
    job_id = desk.story.book(desk.story.address(), words="it drips")
    desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/cancel", why="works again")
    desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/move", technician_id=desk.story.technician.id, why="cold again")
    assert "it drips" in desk.read("/jobs")


def test_a_closed_job_is_neither_corrected_nor_cancelled(desk: Desk) -> None:
    site = desk.story.address()
    closed, waiting = desk.story.whole_visit(site), desk.story.book(site)
    for act in ("correct", "cancel"):
        typed = {"complaint_words": "other", "why": "late"}
        assert desk.send(f"/jobs/{waiting}", f"/jobs/{closed}/{act}", **typed).status_code == 409
        assert f"/{act}" not in desk.client.get(f"/jobs/{closed}").text


def test_two_at_one_booking_the_second_reads_the_firsts_words_before_they_are_taken_back(desk: Desk) -> None:
    job = desk.story.book(desk.story.address())
    page = f"/jobs/{job}"
    first, second = _form_of(desk, page), _form_of(desk, page)
    why = {"correct_why": "heard wrong", "why": "heard wrong"}
    assert desk.client.post(f"{page}/correct", data={**first, "complaint_words": "it hums", **why}).status_code == 303
    answer = desk.client.post(f"{page}/correct", data={**second, "phone": "555-0177", **why})
    assert answer.status_code == 422
    words = text_of(answer)
    assert "Somebody corrected this booking meanwhile. It stands now: " in words
    assert "“it hums”" in words
    assert 'value="555-0177"' in answer.text
    assert "555-0177" not in desk.read(page)
    again = {**_form_in(answer.text), "phone": "555-0177", "complaint_words": "it hums", **why}
    assert desk.client.post(f"{page}/correct", data=again).status_code == 303
    told = desk.read(page)
    assert "ring 555-0177" in told
    assert "“it hums”" in told.partition("Who goes")[0]


def _form_of(desk: Desk, page: str) -> dict[str, str]:
    return _form_in(desk.client.get(page).text)


def _form_in(page: str) -> dict[str, str]:
    """What the form that corrects would send, its words as they stand."""
    piece = re.split(r'action="/jobs/[^"]+/correct"', page)[1].partition("</form>")[0]
    hidden = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', piece))
    words = re.search(r"<textarea[^>]*>\s*([^<]*)</textarea>", piece)
    return {**hidden, "complaint_words": words[1].strip() if words else ""}
