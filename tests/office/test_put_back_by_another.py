"""A second visit puts back what a first one left off: whatever page is read tells both, and the same of each."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.office.conftest import Desk
from tests.office.test_heaters_off import LEFT_OFF, left_off
from tests.sites.stories import HELD
from webapp.models.ids import new_id

WORDS = "Ada Pipe: new vent, hot run of 20 min held"


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def second_visit(desk: Desk, site: str, left_off_ids: list[str] | None) -> str:
    """It noted without signal, and what it noted got here half an hour later; its end came later still."""
    desk.story.at += timedelta(days=2)
    job = desk.story.book(site, words="back to make it right")
    desk.story.open(site, job)
    desk.story.walk(site, job, HELD)
    body = {"words": WORDS} | ({} if left_off_ids is None else {"left_off_ids": left_off_ids})
    heard = desk.story.at + timedelta(minutes=31)
    schema = 1 if left_off_ids is None else 2
    desk.story.say(desk.story.hand, "put_back", body, site_id=site, job_id=job, schema=schema, arrives_at=heard)
    at = heard + timedelta(minutes=20)
    desk.story.say(desk.story.hand, "job_closed", {"state": "proven"}, site_id=site, job_id=job, arrives_at=at)
    return job


def entry_of(desk: Desk, site: str, job: str) -> str:
    return str(desk.story.say(desk.story.hand, "left_off", LEFT_OFF, site_id=site, job_id=job)["id"])


@pytest.mark.parametrize("by_name", [True, False])
def test_the_second_visit_names_what_it_put_back(desk: Desk, by_name: bool) -> None:
    site = desk.story.address()
    first = desk.story.book(site)
    entry = entry_of(desk, site, first)
    second = second_visit(desk, site, [entry] if by_name else None)
    page = desk.client.get(f"/jobs/{second}").text
    strip = page.partition("Put back in service:")[2].partition("</div>")[0]
    assert WORDS in strip
    assert "It had been left off on" in strip
    assert f'href="/jobs/{first}"' in strip
    assert LEFT_OFF["what_words"] in strip
    assert f'href="/jobs/{first}"' in desk.client.get(f"/addresses/{site}").text
    assert "hot run of 20 min, 2 restarts, CO in the room 0 ppm" in desk.read("/heaters-off")


@pytest.mark.parametrize("by_name", [True, False])
def test_its_sheet_says_first_that_the_heater_is_back_in_service(desk: Desk, by_name: bool) -> None:
    """Whoever was left a tag on the first visit has the sheet of the second one."""
    site = desk.story.address()
    entry = entry_of(desk, site, desk.story.book(site))
    sheet = desk.read(f"/jobs/{second_visit(desk, site, [entry] if by_name else None)}/sheet")
    head = sheet.partition("Your visit")[0]
    assert "A heater that was left off on another visit is back in service since this one" in head
    assert f"What was left off {LEFT_OFF['what_words']} Why cracked vent When it was left off " in head
    assert f"Put back in service {WORDS}" in head
    assert "Do not use it" not in sheet


def test_both_pages_say_the_same_of_when_it_got_here(desk: Desk) -> None:
    site = desk.story.address()
    first = desk.story.book(site)
    second = second_visit(desk, site, [entry_of(desk, site, first)])
    told = [desk.read(f"/jobs/{job}").partition("Put back in service")[2] for job in (first, second)]
    heard = [words.partition("arrived here ")[2][:5] for words in told]
    assert heard[0] == heard[1] != ""


def test_a_visit_that_put_back_its_own_heater_speaks_of_no_other(desk: Desk) -> None:
    _site, job = left_off(desk, "12 Mill Lane", 4, HELD, ("put_back", {"words": WORDS}))
    assert "It had been left off on" not in desk.read(f"/jobs/{job}")
    assert "left off on another visit" not in desk.read(f"/jobs/{job}/sheet")


def test_a_word_about_what_nobody_left_off_here_names_nothing(desk: Desk) -> None:
    site = desk.story.address()
    job = second_visit(desk, site, [new_id()])
    assert "It had been left off on" not in desk.read(f"/jobs/{job}")
    assert "left off on another visit" not in desk.read(f"/jobs/{job}/sheet")
