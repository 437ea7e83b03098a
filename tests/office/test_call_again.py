"""What the caller said is corrected on a booked job; and somebody below who was rung is out by the office's word."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from webapp.models import EventRow, Job

ASKED: dict[str, Any] = {
    **dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "no"),
    "lately": ["moved"],
    "said": [],
}


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def called(desk: Desk, who: Any = None, **said: Any) -> tuple[str, str]:
    site = desk.story.address()
    job = desk.story.book(site)
    desk.story.say(who or desk.story.desk, "call_taken", {**ASKED, **said}, site_id=site, job_id=job)
    return site, job


def corrected(desk: Desk, job: str, **typed: Any) -> Any:
    return desk.client.post(f"/jobs/{job}/call", data={"csrf_token": token(desk, job), **typed})


def token(desk: Desk, job: str) -> str:
    """Of the page's own form, the last on it."""
    return desk.client.get(f"/jobs/{job}/call").text.rpartition('name="csrf_token" value="')[2].partition('"')[0]


def calls(session: Session) -> list[EventRow]:
    session.rollback()
    return list(session.scalars(select(EventRow).where(EventRow.kind == "call_taken").order_by(EventRow.lamport)))


def test_the_page_shows_the_answers_as_they_stand(desk: Desk) -> None:
    _site, job = called(desk, smell_of_gas="yes", said=["gas_out"], home_words="a neighbour, until six")
    page = desk.client.get(f"/jobs/{job}/call").text
    assert 'id="smell_of_gas-yes" value="yes" checked' in page
    assert 'id="said-gas_out" value="gas_out" checked' in page
    assert 'id="lately-moved" value="moved" checked' in page
    assert "a neighbour, until six" in page


def test_a_corrected_answer_takes_the_place_of_the_first_and_ends_its_alarm(desk: Desk, session: Session) -> None:
    _site, job = called(desk, smell_of_gas="yes")
    assert session.get_one(Job, job).caller_alarm
    no = dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "no")
    refused = corrected(desk, job, **no, lately="moved")
    assert refused.status_code == 422
    assert "Say why: smell of gas was heard on the phone." in text_of(refused)
    answer = corrected(desk, job, **no, lately="moved", why="it was the neighbour's bin")
    assert answer.status_code == 303
    first, second = calls(session)
    assert second.replaces == [first.id]
    assert not session.get_one(Job, job).caller_alarm
    words = desk.read(f"/jobs/{job}")
    assert "smell of gas: no" in words
    assert "corrected by Dora Desk" in words
    assert "The call corrected, not so: smell of gas. Why: it was the neighbour's bin" in words


def test_when_the_call_was_taken_and_what_was_said_then_outlive_a_correction(desk: Desk, session: Session) -> None:
    _site, job = called(desk, smell_of_gas="yes", said=["gas_out"])
    taken = desk.read(f"/jobs/{job}").partition("taken by Dora Desk, ")[2].partition(" ")[0]
    desk.story.at += timedelta(minutes=22)
    no = dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "no")
    corrected(desk, job, **no, why="misheard")
    assert calls(session)[-1].body["said"] == ["gas_out"]
    assert f"taken by Dora Desk, {taken}" in desk.read(f"/jobs/{job}")
    assert "; corrected " in desk.read(f"/jobs/{job}")


def test_what_is_not_changed_is_not_said_again(desk: Desk, session: Session) -> None:
    _site, job = called(desk)
    answer = corrected(desk, job, smell_of_gas="no", co_alarm="no", unwell="no", water_leak="no", lately="moved")
    assert answer.status_code == 422
    assert "Nothing is changed yet." in text_of(answer)
    assert len(calls(session)) == 1


def test_a_day_that_was_said_is_the_day_that_it_meant_then(desk: Desk, session: Session) -> None:
    """Booked two days ago, "yesterday" does not become the day before today."""
    meant = (datetime.now(UTC).date() - timedelta(days=3)).isoformat()
    _site, job = called(desk, since_words="yesterday", no_hot_water_since=meant)
    typed = {"smell_of_gas": "no", "co_alarm": "no", "unwell": "no", "water_leak": "yes"}
    corrected(desk, job, **typed, since_words="yesterday", lately="moved")
    assert calls(session)[-1].body["no_hot_water_since"] == meant
    corrected(desk, job, **typed, since_words="today", lately="moved")
    assert date.fromisoformat(calls(session)[-1].body["no_hot_water_since"]) > date.fromisoformat(meant)


def test_what_another_heard_as_an_alarm_stays_and_both_are_shown(desk: Desk, session: Session) -> None:
    other = desk.story.another_technician("Dana Desk")  # who took the call; what else they do is nothing to this
    _site, job = called(desk, other, co_alarm="yes")
    assert "Somebody else took this call." in desk.read(f"/jobs/{job}/call")
    answer = corrected(desk, job, smell_of_gas="no", co_alarm="no", unwell="no", water_leak="no")
    assert answer.status_code == 303
    assert calls(session)[-1].replaces == []
    assert session.get_one(Job, job).caller_alarm
    words = desk.read(f"/jobs/{job}")
    assert "caller alarm: CO alarm" in words
    assert "The caller was understood differently. Dana Desk: CO alarm; Dora Desk: no alarm." in words


def below(desk: Desk, site: str, job: str, who: Any = None, minutes: int = 30) -> None:
    desk.story.at = datetime.now(UTC) - timedelta(minutes=1)
    due = (datetime.now(UTC) + timedelta(minutes=minutes)).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    body = {"due_out_wall": due, "ring_phone": "555-0100"}
    now = datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    desk.story.say(who or desk.story.hand, "due_out", body, site_id=site, job_id=job, at_wall=now)


def test_somebody_who_was_rung_is_out_and_the_other_is_still_waited_for(desk: Desk, session: Session) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    other = desk.story.another_technician("Bo Bright")
    below(desk, site, job, minutes=-12)
    below(desk, site, job, other)
    assert "overdue" in desk.read("/jobs")
    words = desk.read(f"/jobs/{job}")
    assert "Below ground: Tom Torch, due out" in words
    assert "Below ground: Bo Bright, due out" in words
    answer = desk.send(
        f"/jobs/{job}", f"/jobs/{job}/heard", person_id=desk.story.technician.id, heard_words="in the van"
    )
    assert answer.status_code == 303
    words = desk.read(f"/jobs/{job}")
    assert "Heard that Tom Torch is out" in words
    assert "Below ground: Tom Torch" not in words
    assert "Below ground: Bo Bright, due out" in words
    assert "overdue" not in desk.read("/jobs")
    assert "Bo Bright" in desk.read(f"/jobs/{job}")
    assert session.scalars(select(EventRow.body).where(EventRow.kind == "came_out")).one() == {
        "person_id": desk.story.technician.id,
        "words": "in the van",
    }


def test_who_is_not_below_cannot_be_heard_from(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    below(desk, site, job)
    answer = desk.send(f"/jobs/{job}", f"/jobs/{job}/heard", person_id=desk.story.dispatcher.id)
    assert answer.status_code == 409


def test_a_cancelled_job_still_says_who_is_below_and_that_the_phone_went_on(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    desk.story.open(site, job)
    below(desk, site, job, minutes=-5)
    desk.send(f"/jobs/{job}", f"/jobs/{job}/cancel", why="works again")
    words = desk.read(f"/jobs/{job}")
    assert "Below ground: Tom Torch, due out" in words
    assert "overdue" in desk.read("/jobs")
    desk.story.walk(site, job, ("job_closed", {"state": "waiting_part"}))
    words = desk.read(f"/jobs/{job}")
    assert "Cancelled: works again. It was cancelled; the phone had begun it all the same and closed it." in words
    assert "Below ground" not in words


def test_two_who_closed_it_differently_are_both_named(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    other = desk.story.another_technician("Bo Bright")
    desk.story.walk(site, job, ("job_closed", {"state": "not_seen_today"}))
    desk.story.say(other, "job_closed", {"state": "waiting_part"}, site_id=site, job_id=job)
    words = desk.read(f"/jobs/{job}")
    assert "Tom Torch: fault not seen that day; Bo Bright: waiting for a part." in words


def test_the_timeline_tells_due_out_by_the_servers_clock_as_the_list_does(desk: Desk) -> None:
    """The phone runs nine hours ahead, and that was measured."""
    site = desk.story.address()
    job = desk.story.book(site)
    due = datetime.now(UTC).replace(second=0, microsecond=0) + timedelta(minutes=30)
    nine_h = timedelta(hours=9)
    body = {"due_out_wall": (due + nine_h).isoformat().replace("+00:00", "Z")}
    desk.story.at = below_since = datetime.now(UTC) - timedelta(minutes=1)
    clock = (below_since + nine_h).isoformat().replace("+00:00", "Z")
    said = {"site_id": site, "job_id": job, "at_wall": clock, "clock_offset": -9 * 3_600_000}
    desk.story.say(desk.story.hand, "due_out", body, **said)
    words = desk.read(f"/jobs/{job}")
    shown = due.astimezone()
    assert f"Went below, due out {shown:%a} {shown.day} {shown:%b %Y, %H:%M}" in words
    told = dict(said, arrives_at=datetime.now(UTC))
    desk.story.say(desk.story.hand, "office_told", {"told_wall": clock, "who_words": "Tom"}, **told)
    assert f"Office told by voice: Tom, {below_since.astimezone():%a}" in desk.read(f"/jobs/{job}")
