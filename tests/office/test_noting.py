"""What the office hears or does after the booking is kept with the job, and who knew of it when."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from tests.office.test_urgency import LEFT_OFF, booked, due_out
from webapp.models import EventRow, Job
from webapp.sites.clock import local


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(autouse=True)
def _now(desk: Desk) -> None:
    desk.story.at = datetime.now(UTC) - timedelta(hours=8)


def note(desk: Desk, job_id: str, words: str):  # type: ignore[no-untyped-def]
    return desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/note", note_words=words)


@pytest.mark.parametrize("end", ["", "job_closed", "job_cancelled"])
def test_a_note_of_the_office_stands_on_the_timeline_whatever_became_of_the_job(desk: Desk, end: str) -> None:
    site, job_id = booked(desk, "1 Note Road")
    bodies = {"job_closed": {"state": "proven"}, "job_cancelled": {"why": "works again"}}
    if end:
        desk.story.say(desk.story.desk, end, bodies[end], site_id=site, job_id=job_id)
    assert note(desk, job_id, "They rang again: the key is at number 3").status_code == 303
    told = desk.read(f"/jobs/{job_id}")
    assert "Note “They rang again: the key is at number 3”" in told
    assert told.index(desk.story.dispatcher.name) < told.index("They rang again: the key")


def test_a_note_begins_no_job(desk: Desk, session: Session) -> None:
    _site, job_id = booked(desk, "1 Note Road")
    note(desk, job_id, "rang again")
    session.rollback()
    assert session.get_one(Job, job_id).state == "booked"
    assert "In short" not in desk.read(f"/jobs/{job_id}")


def test_nothing_typed_is_no_note(desk: Desk) -> None:
    _site, job_id = booked(desk, "1 Note Road")
    answer = note(desk, job_id, "  ")
    assert answer.status_code == 422
    assert "Nothing is typed yet." in text_of(answer)


def test_words_of_a_second_call_that_mention_gas_ask_for_the_question(desk: Desk) -> None:
    _site, job_id = booked(desk, "1 Note Road")
    assert "mention gas" not in desk.read(f"/jobs/{job_id}")
    note(desk, job_id, "Now she smells gas in the cellar")
    assert "mention gas" in desk.read(f"/jobs/{job_id}")


def test_that_nobody_answered_is_noted_with_one_tap_and_brings_nobody_out(desk: Desk, session: Session) -> None:
    place = booked(desk, "1 Below Road")
    due_out(desk, place, -12)
    page = desk.client.get(f"/jobs/{place[1]}").text
    words = re.search(r'name="note_words" value="([^"]+)"', page)
    assert words is not None
    assert re.fullmatch(r"Rang about Tom Torch, due out .*, overdue 12 min; ring 555-0100: nobody answered\.", words[1])
    assert note(desk, place[1], words[1]).status_code == 303
    assert "Overdue below: " in desk.client.get("/jobs").text
    assert session.scalars(select(EventRow).where(EventRow.kind == "note")).one().person_id == desk.story.dispatcher.id


def test_a_voice_call_noted_later_keeps_the_hour_in_which_it_came(desk: Desk, session: Session) -> None:
    site, job_id = booked(desk, "1 Tag Road")
    desk.story.walk(site, job_id, ("left_off", LEFT_OFF))
    told = {"who_words": "Tom, by phone", "told_words": "gas off"}
    hour = local(datetime.now(UTC)).replace(second=0, microsecond=0)
    later = desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/office-told", **told, told_at="25:61")
    assert "As 14:30 or 2:30 pm." in text_of(later)
    if hour.hour < 23:
        ahead = f"{hour.hour + 1:02}:{hour.minute:02}"
        later = desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/office-told", **told, told_at=ahead)
        assert "That hour is still to come." in text_of(later)
    assert session.scalars(select(EventRow).where(EventRow.kind == "office_told")).all() == []
    desk.send(f"/jobs/{job_id}", f"/jobs/{job_id}/office-told", **told, told_at="00:00")
    session.rollback()
    body = session.scalars(select(EventRow.body).where(EventRow.kind == "office_told")).one()
    assert datetime.fromisoformat(body["told_wall"]) == hour.replace(hour=0, minute=0).astimezone(UTC)
    assert "office not told" not in desk.read("/heaters-off")
