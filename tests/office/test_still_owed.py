"""What a technician left for the office: a part to come, a heater handed over, water where it should not be."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tests.office.conftest import Desk, text_of
from tests.office.test_urgency import booked, days_ago, row_of, streets

OWED = [("waiting_part", "waiting for a part, nothing booked"), ("handed_over", "handed over: who goes next?")]


@pytest.fixture(autouse=True)
def _now(desk: Desk) -> None:
    desk.story.at = datetime.now(UTC) - timedelta(hours=8)


def closed(desk: Desk, state: str) -> tuple[str, str]:
    site, job = booked(desk, "7 Owing Road")
    desk.story.open(site, job)
    desk.story.walk(site, job, ("job_closed", {"state": state, "words": "valve, ordered"}))
    return site, job


@pytest.mark.parametrize(("state", "words"), OWED)
def test_a_job_after_which_somebody_must_go_again_stays_on_the_list(desk: Desk, state: str, words: str) -> None:
    _site, job = closed(desk, state)
    words += " “valve, ordered”" if words.endswith("?") else ": “valve, ordered”"
    assert row_of(desk, "7 Owing Road").startswith(words)
    assert "To do 1" in desk.read("/jobs")
    page = desk.read(f"/jobs/{job}")
    assert f"{words[0].upper()}{words[1:]}. Book the next visit" in page


@pytest.mark.parametrize("state", ["proven", "declined", "not_proven"])
def test_other_closes_leave_nothing_to_do(desk: Desk, state: str) -> None:
    closed(desk, state)
    assert streets(desk) == []


def test_the_next_booking_there_ends_it(desk: Desk) -> None:
    site, job = closed(desk, "waiting_part")
    desk.story.days_later(0.1)
    again = desk.story.book(site)
    assert "nothing booked" not in desk.read("/jobs")
    assert "Book the next visit" not in desk.read(f"/jobs/{job}")
    desk.story.say(desk.story.desk, "job_cancelled", {"why": "entered twice"}, site_id=site, job_id=again)
    assert "nothing booked" in desk.read("/jobs")


def test_another_job_that_was_done_before_the_close_settles_nothing(desk: Desk) -> None:
    """Two jobs at one door: the one booked second was over before the first was closed for its part."""
    site, job = booked(desk, "7 Owing Road")
    desk.story.open(site, job)
    beside = desk.story.book(site)
    desk.story.open(site, beside)
    desk.story.walk(site, beside, ("job_closed", {"state": "proven"}))
    desk.story.walk(site, job, ("job_closed", {"state": "waiting_part", "words": "valve"}))
    assert row_of(desk, "7 Owing Road").startswith("waiting for a part, nothing booked")
    assert "Book the next visit" in desk.read(f"/jobs/{job}")


def test_somebody_who_goes_there_anyway_or_went_since_is_who_goes_next(desk: Desk) -> None:
    site, job = booked(desk, "7 Owing Road")
    desk.story.open(site, job)
    beside = desk.story.book(site)
    desk.story.walk(site, job, ("job_closed", {"state": "waiting_part", "words": "valve"}))
    assert "nothing booked" not in desk.read("/jobs")
    desk.story.open(site, beside)
    desk.story.walk(site, beside, ("job_closed", {"state": "proven"}))
    assert "nothing booked" not in desk.read("/jobs")


def test_no_note_settles_it_and_the_button_does_with_why(desk: Desk) -> None:
    site, job = closed(desk, "handed_over")
    desk.story.walk(site, job, ("note", {"words": "the gas company has it"}))
    desk.send(f"/jobs/{job}", f"/jobs/{job}/note", note_words="They rang: when does somebody come?")
    assert "who goes next" in desk.read("/jobs")
    nothing = desk.send(f"/jobs/{job}", f"/jobs/{job}/settle", why="")
    assert "Say why" in text_of(nothing)
    assert desk.send(f"/jobs/{job}", f"/jobs/{job}/settle", why="The gas company does it").status_code == 303
    assert "who goes next" not in desk.read("/jobs")
    page = desk.read(f"/jobs/{job}")
    for told in ("Nobody goes again: The gas company does it", "Settled: nobody goes again “The gas", "closed"):
        assert told in page
    assert "Cancelled" not in page
    again = desk.send(f"/jobs/{job}", f"/jobs/{job}/settle", why="The gas company does it")
    assert "settled meanwhile" in text_of(again)


def test_a_booking_that_was_cancelled_before_the_phone_closed_it_settles_nothing(desk: Desk) -> None:
    site, job = booked(desk, "7 Owing Road")
    desk.story.open(site, job)
    desk.story.say(desk.story.desk, "job_cancelled", {"why": "entered twice"}, site_id=site, job_id=job)
    desk.story.walk(site, job, ("job_closed", {"state": "waiting_part", "words": "valve, ordered"}))
    assert "nothing booked" in desk.read("/jobs")
    assert "the phone had begun it all the same" in desk.read(f"/jobs/{job}")


def test_water_stands_below_gas_and_above_the_cold_and_on_the_page(desk: Desk) -> None:
    booked(desk, "3 Cold Road", no_hot_water_since=days_ago(6))
    site, job = booked(desk, "2 Wet Road", water_leak="yes")
    booked(desk, "1 Gas Road", smell_of_gas="yes")
    assert streets(desk) == ["1 Gas Road", "2 Wet Road", "3 Cold Road"]
    assert row_of(desk, "2 Wet Road").startswith("water where it should not be")
    assert "Water where it should not be. Nobody reaches for anything electric" in desk.read(f"/jobs/{job}")
    desk.story.open(site, job)
    desk.story.walk(site, job, ("job_closed", {"state": "declined"}))
    assert "Nobody reaches for anything electric" not in desk.read(f"/jobs/{job}")


def test_a_caller_who_is_not_sure_of_water_is_one_to_be_careful_with(desk: Desk) -> None:
    _site, job = booked(desk, "2 Wet Road", water_leak="unsure")
    assert row_of(desk, "2 Wet Road").startswith("water where it should not be")
    assert "Water where it should not be, the caller is not sure." in desk.read(f"/jobs/{job}")


def test_a_caller_without_water_stands_as_before(desk: Desk) -> None:
    booked(desk, "5 Rest Road", water_leak="no")
    assert row_of(desk, "5 Rest Road").startswith("waiting ")
