"""A heater that was left off goes back into use after a hot run that held, or found in service and looked at anew."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from tests.trade.test_stands_off_before import closable, gate_passed, left, may_be_fired
from webapp.trade.record import fold_job

PUT_BACK = {"words": "ok", "left_off_ids": ["left1"]}


def advised(job):
    return job.ask("step", off_before=[left()])["advice"]["put_back"]


def in_order(job):
    return gate_passed(may_be_fired(job))


def test_as_the_first_tap_of_a_visit_it_is_not_open_and_closes_nothing_as_running(job):
    found = advised(job)
    assert not found["ok"]
    assert not found["found_ok"]
    assert {"the hot run", "Safety first passed at this visit"} <= set(found["missing"])
    job.add("put_back", PUT_BACK, schema=2)  # as an older phone may write it
    assert not closable(job, left()) & {"proven", "not_proven", "not_seen_today"}


def test_a_hot_run_of_this_visit_with_the_rooms_co_opens_it(job):
    in_order(job).repaired("joint_leak_at_blower")
    assert advised(job)["missing"] == ["the hot run"]
    job.prove(co_room_ppm=None)
    assert advised(job)["missing"] == ["CO in the room after the run, with its number"]
    job.prove(passed=False)
    assert advised(job)["missing"] == ["a hot run that held"]
    assert advised(job.prove())["ok"]
    job.answer("joints", "parted")
    assert "Joints and pipe: Parted, cracked or unglued" in advised(job)["missing"]


def test_found_in_service_already_wants_the_gate_and_the_rooms_co_of_this_visit(job):
    job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 0}).add("arrived", {})
    assert advised(in_order(job))["found_missing"] == ["CO in the room read at this visit, with its number"]
    job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 0})
    assert advised(job)["found_ok"]
    job.add("put_back", PUT_BACK, schema=2)
    assert "not_seen_today" in closable(job, left())


@pytest.mark.parametrize(("person", "counts"), [("ann", False), ("desk", True)])
def test_nobody_puts_back_against_their_own_unsafe_word(person, counts):
    """Whoever found it may not; the office, told that somebody put it right, may."""
    events = [
        answered(1, "co_room", "raised"),
        event(2, "left_off", {"what_words": "heater", "why_words": "CO", "told_words": "owner"}),
        event(3, "put_back", {"words": "ok", "left_off_ids": ["e002"]}, schema=2, person_id=person, device_id="d9"),
    ]
    record = fold_job(events)
    assert record["put_back"][0]["counts"] is counts
    assert record["heater_off"] is not counts


def test_looked_at_again_it_may_be_put_back_by_whoever_found_it():
    events = [
        answered(1, "joints", "parted"),
        event(2, "left_off", {"what_words": "heater", "why_words": "CO", "told_words": "owner"}),
        event(3, "repair_made", {"action": "other"}),
        answered(4, "joints", "sound"),
        event(5, "put_back", {"words": "made up again", "left_off_ids": ["e002"]}, schema=2),
    ]
    assert fold_job(events)["standing_off"] == []


@pytest.mark.parametrize("run", [False, True])
@pytest.mark.parametrize("ppm", [24, 200])
def test_nor_against_a_figure_of_their_own_that_nobody_answered(ppm, run, job):
    job.add("left_off", {"what_words": "heater", "why_words": "CO", "told_words": "customer"})
    if run:
        job.prove(co_room_ppm=ppm, passed=False)
    else:
        job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": ppm})
    job.add("put_back", {"words": "ok"})
    assert job.ask("step")["record"]["heater_off"]
    job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 0})
    job.add("put_back", {"words": "read anew, and proved"})
    assert not job.ask("step")["record"]["heater_off"]
