"""The head of an address: which repair did not hold, who made it, and what nobody has measured."""

from __future__ import annotations

from sqlalchemy.orm import Session

from tests.sites.stories import Story
from webapp.sites.service import read_address


def test_a_repair_that_came_back_for_the_same_cause_did_not_hold_though_its_hot_run_did(
    story: Story, session: Session
) -> None:
    site = story.address()
    first = story.whole_visit(site)
    story.days_later(12)
    story.whole_visit(site)
    head = read_address(session, site, None).at_once
    (one,) = head.did_not_hold
    assert (one.job_id, one.technician, one.failed_run) == (first, "Tom Torch", "")
    assert one.came_back is not None


def test_a_return_for_another_cause_is_no_repair_that_did_not_hold(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site)
    story.days_later(12)
    story.whole_visit(site, cause="screen_shut")
    assert read_address(session, site, None).at_once.did_not_hold == []


def test_a_hot_run_that_failed_says_it_at_once(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site, passed=False)
    (one,) = read_address(session, site, None).at_once.did_not_hold
    assert one.failed_run == "Did not hold in the hot run of 20 min"


def test_what_was_tried_in_vain_is_named_with_its_reason_until_somebody_answers_it(
    story: Story, session: Session
) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("check_answered", {"check": "tube", "outcome": None, "could_not": "no_access"}))
    assert read_address(session, site, None).at_once.could_not == ["Sensing tube, both ends: could not reach it"]
    story.days_later(2)
    again = story.book(site)
    story.open(site, again)
    story.walk(site, again, ("check_answered", {"check": "tube", "outcome": "seated", "could_not": None}))
    assert read_address(session, site, None).at_once.could_not == []


def test_an_address_where_all_held_says_nothing_at_once(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site)
    assert not read_address(session, site, None).at_once.says_something


def test_a_heater_left_off_is_told_at_once(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    left = {"what_words": "heater", "why_words": "cracked vent", "told_words": "Mrs Vale"}
    story.walk(site, job, ("left_off", left))
    assert [visit.job_id for visit in read_address(session, site, None).at_once.left_off] == [job]
