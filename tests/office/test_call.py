"""What is asked on the phone: nothing chosen beforehand, the words to say at once in the page, all of it kept."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

import webapp.look
from tests.office.conftest import Desk, text_of
from tests.office.test_booking import PAGE, jobs, the_call
from webapp.models import EventRow
from webapp.office.call_words import CO_OUT, GAS_OUT, QUESTIONS, SAY, WATER_AWAY, AtOnceWords

ASKED = [one.name for one in QUESTIONS]


def call_of(session: Session) -> dict[str, Any]:
    return session.scalars(select(EventRow).where(EventRow.kind == "call_taken")).one().body


def test_a_call_that_asked_nothing_is_booked_and_says_not_asked(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call(desk))
    assert answer.status_code == 303
    assert {name: call_of(session)[name] for name in ASKED} == dict.fromkeys(ASKED, "not_asked")
    assert call_of(session)["said"] == []
    assert not jobs(session)[0].caller_alarm
    assert "smell of gas: not asked" in desk.read(answer.location)


def test_no_answer_is_chosen_beforehand(desk: Desk) -> None:
    panel = desk.client.get(PAGE).text.partition('class="panel ask"')[2].partition("</section>")[0]
    assert len(re.findall(r'type="radio"', panel)) == 3 * len(QUESTIONS)
    assert "checked" not in panel


def test_smell_of_gas_is_the_first_thing_on_the_page_and_has_the_keyboard(desk: Desk) -> None:
    page = desk.client.get(PAGE).text.partition("<main")[2]
    first = re.search(r'<(?:input|select|textarea)(?![^>]*type="hidden")[^>]*>', page)
    assert first is not None
    assert 'name="smell_of_gas"' in first[0]
    assert "autofocus" in first[0]
    assert page.count("autofocus") == 1


def test_the_words_to_say_are_in_the_page_before_any_answer(desk: Desk) -> None:
    """No script stands between an answer and its words: the style sheet alone shows them."""
    page = unescape(desk.client.get(PAGE).text)
    for words in SAY:
        piece = page.partition(f'data-say="{words.id}"')[2].partition("</ol>")[0]
        assert all(line in piece for line in words.lines)
        assert "hidden" not in piece


def test_every_answer_that_calls_for_words_shows_them_and_no_other_does(desk: Desk) -> None:
    """Read from the style sheet: a yes and a not sure of each question, never a no."""
    assert "/desk.css" in desk.client.get(PAGE).text
    sheet = (Path(str(webapp.look.__file__)).parent / "static" / "desk.css").read_text("utf-8")
    shown = re.findall(r"\.ask:has\((.*)\) \[data-say=\"(\w+)\"\]", sheet)
    by_words = {say: rule for rule, say in shown}
    for one in QUESTIONS:
        rule = by_words[one.say.id]
        assert f'[name="{one.name}"]' in rule
        assert ':is([value="yes"], [value="unsure"]):checked' in rule
        assert "no" not in re.findall(r'value="(\w+)"', rule)
    assert "@supports selector(:has(*))" in sheet.partition("display: none")[0]


# What must be said, whatever words are chosen for it (IFGC/IRC appendix D.2: out first, then the call; the rest is
# common practice, no source).
SAID = [
    (GAS_OUT, ["Everybody out", "Touch no switch", "light nothing", "Do not relight", "No phone inside", "Stay out"]),
    (CO_OUT, ["Everybody out into fresh air", "Call 911 from out there", "carbon monoxide", "Do not go back in"]),
    (WATER_AWAY, ["Keep everybody away from the water", "may be live", "scald", "call the power company or 911"]),
]


@pytest.mark.parametrize(("say", "wanted"), SAID, ids=lambda one: getattr(one, "id", ""))
def test_what_is_said_at_once_sends_people_out_first_and_leaves_nothing_out(
    say: AtOnceWords, wanted: list[str]
) -> None:
    assert wanted[0] in say.lines[0]
    said = " ".join(say.lines)
    places = [said.find(words) for words in wanted]
    assert -1 not in places
    assert places == sorted(places)


@pytest.mark.parametrize("name", ["smell_of_gas", "co_alarm", "unwell"])
def test_an_alarm_still_books_and_is_marked_wherever_the_job_is(desk: Desk, session: Session, name: str) -> None:
    answer = desk.send(PAGE, **the_call(desk, **{name: "yes"}))
    (job,) = jobs(session)
    assert job.caller_alarm
    for path in ("/jobs", "/jobs?show=all", answer.location, f"/addresses/{job.site_id}"):
        assert "caller alarm" in desk.read(path), path
    assert "caller alarm" in desk.client.get("/jobs/book/matches?street=12+mill+lane").text


@pytest.mark.parametrize("name", ["smell_of_gas", "co_alarm", "unwell"])
def test_a_caller_who_is_not_sure_is_an_alarm_too_and_told_as_not_sure(desk: Desk, session: Session, name: str) -> None:
    answer = desk.send(PAGE, **the_call(desk, **{name: "unsure"}))
    (job,) = jobs(session)
    assert job.caller_alarm
    for path in ("/jobs", answer.location, f"/addresses/{job.site_id}"):
        assert re.search(r"caller alarm: [^:]*\(not sure\)", desk.read(path)), path


def test_water_on_the_floor_is_no_caller_alarm(desk: Desk, session: Session) -> None:
    desk.send(PAGE, **the_call(desk, water_leak="yes"))
    assert not jobs(session)[0].caller_alarm


def test_what_was_said_is_kept_and_what_was_not_is_told_as_such(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call(desk, smell_of_gas="yes", unwell="unsure", said=["gas_out", "water_away"]))
    assert call_of(session)["said"] == ["gas_out"]
    words = desk.read(answer.location)
    assert "Said to the caller everybody out, touch no switch, call from outside" in words
    assert "not marked as said: everybody out into fresh air, call 911" in words
    assert "gas out" not in words


def test_words_that_nobody_marked_as_said_stand_on_top_until_somebody_did(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call(desk, co_alarm="yes"))
    unsaid = "Not marked as said to the caller: everybody out into fresh air, call 911, do not go back in. If nobody"
    assert unsaid in desk.read(answer.location)
    path = f"{answer.location}/call"
    desk.send(path, co_alarm="yes", said=["co_out"])
    assert "Not marked as said" not in desk.read(answer.location)


def test_a_caller_who_was_told_leaves_nothing_to_say(desk: Desk) -> None:
    answer = desk.send(PAGE, **the_call(desk, co_alarm="yes", said=["co_out"]))
    assert "Not marked as said" not in desk.read(answer.location)


def test_all_that_was_asked_is_kept_and_read_on_the_jobs_page(desk: Desk, session: Session) -> None:
    asked = {
        "smell_of_gas": "no", "co_alarm": "no", "unwell": "no", "water_leak": "unsure", "since_words": "11/20/2026",
        "home_words": "son, until four", "lately": ["serviced", "new_fan_or_dryer"], "lately_words": "dryer in May",
        "lights_words": "red, winks", "resets_tried": "2",
    }  # fmt: skip
    answer = desk.send(PAGE, **the_call(desk, **asked))
    body = call_of(session)
    assert body["no_hot_water_since"] == "2026-11-20"
    assert (body["lately"], body["resets_tried"]) == (["serviced", "new_fan_or_dryer"], 2)
    assert jobs(session)[0].no_hot_water_since == "2026-11-20"
    words = desk.read(answer.location)
    for told in ("Fri 20 Nov 2026", "son, until four", "serviced, new fan or dryer", "dryer in May", "red, winks"):
        assert told in words
    assert "Resets tried by the household 2" in words


def test_a_day_that_is_not_understood_stays_as_words_and_stops_nobody(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call(desk, since_words="ever since the storm"))
    assert "no_hot_water_since" not in call_of(session)
    assert "“ever since the storm”" in desk.read(answer.location)


def test_a_fault_elsewhere_keeps_every_answer_of_the_call(desk: Desk) -> None:
    answer = desk.send(
        PAGE,
        **the_call(desk, town="", co_alarm="unsure", said=["co_out"], lately=["moved"], resets_tried="many"),
    )
    assert answer.status_code == 422
    assert 'id="co_alarm-unsure" value="unsure" checked' in answer.text
    assert 'value="co_out" checked' in answer.text
    assert 'value="moved" checked' in answer.text
    assert 'value="many"' in answer.text
    assert 'id="resets_tried-fault"' in answer.text


def test_an_appointment_is_kept_and_shown_in_the_offices_own_time(desk: Desk, session: Session) -> None:
    page = desk.client.get(PAGE).text
    tomorrow = re.search(r'<option value="(\d{4}-\d\d-\d\d)">Tomorrow', page)
    assert tomorrow is not None
    answer = desk.send(PAGE, **the_call(desk, due_day=tomorrow[1], due_time="2:30 pm"))
    (job,) = jobs(session)
    assert job.due_wall is not None
    assert job.due_wall.endswith("Z")
    assert ", 14:30" in desk.read(answer.location).partition("Appointment")[2][:40]
    assert "appointment" in desk.read("/jobs")


@pytest.mark.parametrize(("day", "hour"), [("", "14:30"), ("tomorrow", ""), ("tomorrow", "2")])
def test_half_an_appointment_is_a_fault_beside_its_field(desk: Desk, day: str, hour: str) -> None:
    days = re.findall(r'<option value="(\d{4}-\d\d-\d\d)">', desk.client.get(PAGE).text)
    answer = desk.send(PAGE, **the_call(desk, due_day=days[1] if day else "", due_time=hour))
    assert answer.status_code == 422
    assert 'id="due_time-fault"' in answer.text
    assert "1 thing is missing" in text_of(answer)
