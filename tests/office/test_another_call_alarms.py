"""A call that alarms stands on every open job of its address: in the list, on the page, and while another is booked."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.office.conftest import Desk
from tests.office.test_urgency import booked, days_ago, row_of, streets

ALARM: dict[str, Any] = {
    **dict.fromkeys(("smell_of_gas", "co_alarm", "unwell"), "yes"),
    "water_leak": "no",
    "lately": [],
    "said": [],
}
HEARD = "nother call from this address "
WHAT = "smell of gas, CO alarm, anybody unwell"


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def two(desk: Desk) -> tuple[str, str, str]:
    """A lukewarm job, and hours later the same caller: the address, the first job, and the call's."""
    desk.story.at = datetime.now(UTC) - timedelta(hours=5)
    booked(desk, "9 Cold Road", no_hot_water_since=days_ago(9))
    site, first = booked(desk, "2 Plumbline Passage")
    second = desk.story.book(site)
    desk.story.say(desk.story.desk, "call_taken", ALARM, site_id=site, job_id=second)
    return site, first, second


def answered(check: str, outcome: str) -> tuple[str, dict[str, Any]]:
    return "check_answered", {"check": check, "outcome": outcome, "could_not": None}


def test_it_stands_in_red_on_the_other_jobs_page_and_before_the_longest_cold(desk: Desk, two: tuple[str, ...]) -> None:
    _site, first, second = two
    page = desk.read(f"/jobs/{first}")
    assert f"A{HEARD}" in page
    assert f": {WHAT}." in page
    assert f"A{HEARD}" not in desk.read(f"/jobs/{second}")  # its own says so itself
    assert streets(desk) == ["2 Plumbline Passage", "2 Plumbline Passage", "9 Cold Road"]
    assert f"a{HEARD}" in row_of(desk, "2 Plumbline Passage")


def test_it_has_the_hour_of_the_call_and_not_of_its_correction(desk: Desk, two: tuple[str, ...]) -> None:
    site, first, second = two
    came = desk.read(f"/jobs/{first}").partition(f"A{HEARD}")[2].partition(": smell")[0]
    desk.story.at += timedelta(minutes=7)
    desk.story.say(desk.story.desk, "call_taken", ALARM | {"co_alarm": "no"}, site_id=site, job_id=second)
    assert f"A{HEARD}{came}: smell of gas, anybody unwell." in desk.read(f"/jobs/{first}")


def test_it_is_quiet_once_that_visit_has_looked_into_all_of_it(desk: Desk, two: tuple[str, ...]) -> None:
    site, first, _second = two
    desk.story.walk(site, first, ("arrived", {}), answered("smell_of_gas", "no_smell"), answered("symptoms", "nobody"))
    assert f"A{HEARD}" in desk.read(f"/jobs/{first}")
    desk.story.walk(site, first, answered("co_room", "acceptable"))
    assert f"A{HEARD}" not in desk.read(f"/jobs/{first}")


def test_it_goes_with_its_own_job(desk: Desk, two: tuple[str, ...]) -> None:
    site, first, second = two
    desk.story.walk(site, second, ("job_closed", {"state": "handed_over"}))
    assert f"A{HEARD}" not in desk.read(f"/jobs/{first}")


def test_who_books_a_third_job_there_reads_the_alarm_first(desk: Desk, two: tuple[str, ...]) -> None:
    shown = desk.client.get("/jobs/book/matches?street=2+Plumbline+Passage&town=Harrowby").text
    assert f"<strong>Caller alarm: {WHAT}.</strong> <strong>Already booked here:" in shown
