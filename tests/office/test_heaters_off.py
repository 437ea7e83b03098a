"""The register of heaters left off: nothing leaves it but by somebody's word that the heater is back in service."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session
from werkzeug.test import TestResponse

from tests.office.conftest import Desk, text_of
from tests.sites.stories import HELD
from webapp.extensions import Database
from webapp.models import EventRow, Job
from webapp.models.ids import new_id

LEFT_OFF = {"what_words": "heater, gas shut and tagged", "why_words": "cracked vent", "told_words": "Mrs Vale"}


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def heard(work: str, ppm: str = "2") -> dict[str, str]:
    """What the office asks somebody who put a heater back."""
    when = f"{datetime.now().astimezone():%Y-%m-%dT%H:%M}"
    return {"back_who": "Ada Pipe, licence 4711", "back_when": when, "back_work": work, "back_co_ppm": ppm}


def left_off(desk: Desk, street: str = "12 Mill Lane", days_ago: float = 4, *acts: tuple[str, dict[str, Any]]) -> Any:
    desk.story.at = datetime.now(UTC) - timedelta(days=days_ago)
    site = desk.story.address(street)
    job = desk.story.book(site)
    desk.story.open(site, job)
    ended = "handed_over" if any(kind == "put_back" for kind, _body in acts) else "left_off"
    desk.story.walk(site, job, ("left_off", LEFT_OFF), *acts, ("job_closed", {"state": ended}))
    return site, job


def token_of(page: TestResponse) -> str:
    found = re.search('name="csrf_token" value="([^"]+)"', page.text)
    return found[1] if found else ""


def lists(desk: Desk) -> tuple[str, str]:
    """The two lists: what stands off, what was put back."""
    off, _, back = desk.read("/heaters-off").partition("Put back in service, newest first")
    return off, back


def test_an_empty_register_says_so(desk: Desk) -> None:
    assert "No heater stands off." in desk.read("/heaters-off")


def test_a_heater_left_off_stands_there_with_who_knows_and_for_how_long(desk: Desk) -> None:
    left_off(desk)
    off, _back = lists(desk)
    for told in ("12 Mill Lane", "4 days", "heater, gas shut and tagged", "cracked vent", "Mrs Vale", "Tom Torch"):
        assert told in off, told
    assert "office not told" in off


def test_the_longest_off_stands_first(desk: Desk) -> None:
    left_off(desk, "2 Late Road", 2)
    left_off(desk, "1 Long Road", 9)
    off, _back = lists(desk)
    assert off.index("1 Long Road") < off.index("2 Late Road")


def test_a_call_to_the_office_is_noted_with_who_and_when(desk: Desk, session: Session) -> None:
    _site, job = left_off(desk)
    answer = desk.send(f"/jobs/{job}", f"/jobs/{job}/office-told", who_words="Tom Torch", told_words="tagged at meter")
    assert answer.status_code == 303
    body = session.scalars(select(EventRow).where(EventRow.kind == "office_told")).one().body
    assert abs(datetime.fromisoformat(body["told_wall"]) - datetime.now(UTC)) < timedelta(minutes=2)
    off, _back = lists(desk)
    assert "office not told" not in off
    assert "Tom Torch," in off
    assert "12 Mill Lane" in off


def test_the_office_puts_it_back_with_words_and_it_moves_to_the_other_list(desk: Desk) -> None:
    _site, job = left_off(desk)
    refused = desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", back_who="")
    assert refused.status_code == 422
    assert "Say who put it back: name, licence or company." in text_of(refused)
    answer = desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("Ada Pipe, vent replaced, hot run held"))
    assert answer.location == "/heaters-off"
    off, back = lists(desk)
    assert "12 Mill Lane" not in off
    for told in ("12 Mill Lane", "Ada Pipe, vent replaced, hot run held", "Dora Desk", "had been off"):
        assert told.lower() in back.lower(), told


def test_closing_the_job_ends_nothing(desk: Desk) -> None:
    site, _job = left_off(desk)
    desk.story.days_later(1)
    desk.story.whole_visit(site)
    assert "12 Mill Lane" in lists(desk)[0]


def test_a_later_job_at_another_entry_of_the_same_door_puts_it_back(desk: Desk) -> None:
    site, _job = left_off(desk)
    other = desk.story.address("12 Mill Ln")
    desk.story.say(desk.story.desk, "same_address", {"other_site_id": other}, site_id=site)
    desk.story.days_later(1)
    later = desk.story.book(other)
    back = desk.story.walk(other, later, ("put_back", {"words": "proved"}))[0]
    off, put_back = lists(desk)
    assert "12 Mill Lane" not in off
    assert "12 Mill Ln" in put_back
    desk.story.say(desk.story.hand, "withdrawn", {}, site_id=other, job_id=later, replaces=[back["id"]])
    assert "12 Mill Lane" in lists(desk)[0]
    assert lists(desk)[1] == ""


def test_an_earlier_put_back_ends_nothing_that_was_left_off_after_it(desk: Desk) -> None:
    site, job = left_off(desk, "12 Mill Lane", 9, HELD, ("put_back", {"words": "new vent"}))
    assert "No heater stands off." in lists(desk)[0]
    desk.story.days_later(3)
    again = desk.story.book(site)
    desk.story.walk(site, again, ("left_off", LEFT_OFF))
    assert "12 Mill Lane" in lists(desk)[0]
    assert f"/jobs/{again}" in desk.client.get("/heaters-off").text
    assert job != again


def test_jobs_overlap_and_what_was_left_off_after_the_put_back_stands_off(desk: Desk) -> None:
    """Booked first, left off last: the put back of the job that was booked in between ended something else."""
    desk.story.at = datetime.now(UTC) - timedelta(days=6)
    site = desk.story.address()
    first = desk.story.book(site)
    second = desk.story.book(site)
    desk.story.walk(site, second, ("put_back", {"words": "of a visit before these"}))
    desk.story.days_later(1)
    desk.story.walk(site, first, ("left_off", LEFT_OFF))
    assert f"/jobs/{first}" in desk.client.get("/heaters-off").text.partition("Put back in service, newest")[0]


def test_a_job_that_was_booked_before_the_other_puts_its_heater_back(desk: Desk) -> None:
    desk.story.at = datetime.now(UTC) - timedelta(days=6)
    site = desk.story.address()
    first = desk.story.book(site)
    second = desk.story.book(site)
    desk.story.walk(site, second, ("left_off", LEFT_OFF))
    desk.story.days_later(1)
    desk.story.walk(site, first, ("put_back", {"words": "new vent, proved"}))
    off, back = lists(desk)
    assert "No heater stands off." in off
    assert "new vent, proved" in back


def test_a_clock_a_day_ahead_puts_nothing_back_that_was_left_off_after_it(desk: Desk) -> None:
    """The phone that put it back says tomorrow; no later than when it got here is believed."""
    desk.story.at = datetime.now(UTC) - timedelta(days=6)
    site = desk.story.address()
    first, second = desk.story.book(site), desk.story.book(site)
    wrong = (desk.story.at + timedelta(days=1)).isoformat().replace("+00:00", "Z")
    said = {"site_id": site, "job_id": second, "at_wall": wrong, "clock_offset": None}
    desk.story.say(desk.story.hand, "put_back", {"words": "early"}, **said)
    desk.story.walk(site, first, ("left_off", LEFT_OFF))
    assert "12 Mill Lane" in lists(desk)[0]


def test_what_arrives_after_the_put_back_stands_off_until_somebody_says_so(desk: Desk) -> None:
    """Left off first, but below ground until the day after: nobody who put it back can have been asked about it."""
    desk.story.at = datetime.now(UTC) - timedelta(days=6)
    site = desk.story.address()
    first, second = desk.story.book(site), desk.story.book(site)
    late = desk.story.at + timedelta(days=2)
    desk.story.say(desk.story.hand, "left_off", LEFT_OFF, site_id=site, job_id=first, arrives_at=late)
    desk.story.walk(site, second, ("put_back", {"words": "proved"}))
    assert "12 Mill Lane" in lists(desk)[0]
    desk.send(f"/jobs/{first}", f"/jobs/{first}/put-back", **heard("it was the same one"))
    assert "No heater stands off." in lists(desk)[0]


def test_another_heater_of_the_address_is_not_put_back_with_it(desk: Desk) -> None:
    heater = {"appliance_id": new_id(), "kind": "power_vent"}
    site, _job = left_off(desk, "12 Mill Lane", 9, ("appliance_described", heater))
    desk.story.days_later(1)
    later = desk.story.book(site)
    back = [("appliance_described", heater | {"appliance_id": new_id()}), ("put_back", {"words": "the other one"})]
    desk.story.walk(site, later, *back)
    assert "12 Mill Lane" in lists(desk)[0]
    same = desk.story.book(site)
    desk.story.walk(site, same, ("appliance_described", heater), ("put_back", {"words": "this one"}))
    assert "No heater stands off." in lists(desk)[0]


def two_left_off(desk: Desk) -> tuple[str, str, str, str]:
    """Two heaters of one house at one visit: the address, the job, and both entries."""
    desk.story.at = datetime.now(UTC) - timedelta(days=5)
    site = desk.story.address()
    job = desk.story.book(site)
    one, _, other = desk.story.walk(
        site,
        job,
        ("left_off", LEFT_OFF | {"what_words": "the left heater"}),
        ("note", {"words": "a second one in the corner"}),
        ("left_off", LEFT_OFF | {"what_words": "the right heater", "why_words": "soot"}),
    )
    return site, job, one["id"], other["id"]


def test_of_two_heaters_of_one_job_each_is_put_back_for_itself(desk: Desk) -> None:
    _site, job, left, right = two_left_off(desk)
    off, _ = lists(desk)
    assert "2 stand off" in off
    page = desk.read(f"/jobs/{job}")
    assert "2 entries stand off" in page
    unsaid = desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("proved"))
    assert unsaid.status_code == 422
    assert "Mark what is back in service." in text_of(unsaid)
    desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("vent made new"), left_off_ids=[left])
    off, back = lists(desk)
    assert "1 stands off" in off
    assert "the right heater" in off
    assert "the left heater" not in off
    assert "the left heater: Ada Pipe, licence 4711, " in back
    assert ": vent made new" in back
    page = desk.read(f"/jobs/{job}")
    assert "This heater stands off" in page
    assert page.count("This one is back in service.") == 1
    desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("door and glass made new"))
    assert "No heater stands off." in lists(desk)[0]
    assert desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("x"), left_off_ids=[right]).status_code == 409


def test_what_somebody_put_back_meanwhile_is_not_taken_for_the_other_one(desk: Desk) -> None:
    _site, job, left, _right = two_left_off(desk)
    shown = desk.client.get(f"/jobs/{job}")  # with both
    desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("first one"), left_off_ids=[left])
    late = {"csrf_token": token_of(shown), **heard("second one"), "left_off_ids": [left]}
    assert desk.client.post(f"/jobs/{job}/put-back", data=late).status_code == 409
    none = late | {"left_off_ids": []}
    assert desk.client.post(f"/jobs/{job}/put-back", data=none).status_code == 422
    assert "the right heater" in lists(desk)[0]


def test_another_job_puts_back_by_name_whatever_the_clocks_say_and_the_other_heater_stands_off(desk: Desk) -> None:
    site, job, left, _right = two_left_off(desk)
    later = desk.story.book(site)
    long_ago = "2020-01-01T10:00:00Z"
    body = {"words": "this one", "left_off_ids": [left]}
    said = {"site_id": site, "job_id": later, "schema": 2, "at_wall": long_ago, "clock_offset": None}
    desk.story.walk(site, later, HELD)
    back = desk.story.say(desk.story.hand, "put_back", body, **said)
    off, put_back = lists(desk)
    assert "the right heater" in off
    assert "the left heater" not in off
    assert "the left heater: this one" in put_back
    assert "another visit" in desk.read(f"/jobs/{job}")
    desk.story.say(desk.story.hand, "withdrawn", {}, site_id=site, job_id=later, replaces=[back["id"]])
    assert "the left heater" in lists(desk)[0]


def test_a_word_said_at_another_address_puts_nothing_back_here(desk: Desk) -> None:
    site, _job, left, right = two_left_off(desk)
    elsewhere = desk.story.address("9 Far Road")
    body = {"words": "mine", "left_off_ids": [left, right]}
    said = {"site_id": elsewhere, "job_id": desk.story.book(elsewhere), "schema": 2}
    desk.story.say(desk.story.hand, "put_back", body, **said)
    assert "2 stand off" in lists(desk)[0]
    desk.story.say(desk.story.desk, "same_address", {"other_site_id": elsewhere}, site_id=site)
    assert "No heater stands off." in lists(desk)[0]
    desk.story.say(desk.story.desk, "not_same_address", {"other_site_id": elsewhere}, site_id=site)
    assert "2 stand off" in lists(desk)[0]


def test_what_a_job_says_of_its_own_entry_goes_by_its_record(desk: Desk, session: Session) -> None:
    site, job, left, right = two_left_off(desk)
    body, bo = {"words": "x", "left_off_ids": [left, right]}, desk.story.another_technician("Bo")
    desk.story.say(bo, "put_back", body, schema=2, site_id=site, job_id=job, lamport=1)  # by its counter before both
    session.rollback()
    assert session.get_one(Job, job).heater_off
    assert "2 stand off" in lists(desk)[0]


def test_an_older_word_about_something_else_is_not_told_as_what_put_it_back(desk: Desk) -> None:
    site = desk.story.address()
    job, other = desk.story.book(site), desk.story.book(site)
    desk.story.walk(site, other, ("put_back", {"words": "the one of last year"}))
    (left,) = desk.story.walk(site, job, ("left_off", LEFT_OFF))
    body = {"words": "proved", "left_off_ids": [left["id"]]}
    desk.story.say(desk.story.hand, "put_back", body, schema=2, site_id=site, job_id=other)
    page = desk.read(f"/jobs/{job}")
    assert "by another visit : proved" in page
    assert "the one of last year" not in page


def test_a_visit_whose_row_an_older_fold_made_is_told_all_the_same(
    desk: Desk, session: Session, database: Database
) -> None:
    site = desk.story.address()
    job, other = desk.story.book(site), desk.story.book(site)
    desk.story.walk(site, job, ("left_off", LEFT_OFF))
    desk.story.walk(site, other, ("put_back", {"words": "all of it"}))
    session.rollback()
    record = dict(session.get_one(Job, other).record or {})
    record["put_back"] = [{"words": one["words"], "by": one["by"]} for one in record["put_back"]]
    session.rollback()
    with database.session() as writing:
        writing.get_one(Job, other).record = record
        writing.commit()
    assert "all of it" in desk.read(f"/jobs/{job}")


def test_the_sheet_says_which_of_two_is_back_in_service(desk: Desk) -> None:
    _site, job, left, _right = two_left_off(desk)
    desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("vent made new"), left_off_ids=[left])
    sheet = desk.read(f"/jobs/{job}/sheet")
    assert "Your heater was left off" in sheet
    assert "What was left off, and is back in service the left heater" in sheet
    assert "What was left off the right heater" in sheet


def test_a_job_closed_as_left_off_stands_there_without_its_own_entry_too(desk: Desk) -> None:
    desk.story.at = datetime.now(UTC) - timedelta(days=2)
    site = desk.story.address()
    job = desk.story.book(site)
    desk.story.walk(site, job, ("job_closed", {"state": "left_off"}))
    assert "12 Mill Lane" in lists(desk)[0]


def test_a_heater_that_does_not_stand_off_cannot_be_put_back(desk: Desk) -> None:
    _site, job = left_off(desk)
    other = desk.story.whole_visit(desk.story.address("7 Other Street"))
    for act, typed in (("put-back", {"words": "x"}), ("office-told", {"who_words": "x"})):
        assert desk.send(f"/jobs/{job}", f"/jobs/{other}/{act}", **typed).status_code == 409
    assert "stands off" not in desk.read(f"/jobs/{other}")


def test_the_days_count_from_when_the_caller_had_no_hot_water(desk: Desk) -> None:
    site, job = left_off(desk, days_ago=1)
    since = (datetime.now().astimezone().date() - timedelta(days=6)).isoformat()
    asked = dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "no") | {"lately": [], "said": []}
    call = {**asked, "no_hot_water_since": since}
    desk.story.say(desk.story.desk, "call_taken", call, site_id=site, job_id=job)
    assert "6 days" in lists(desk)[0]
