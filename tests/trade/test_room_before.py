"""CO in the room that was raised before and is not after is a figure to compare, also where another visit read it."""

from __future__ import annotations

import pytest

from tests.trade.making import event
from tests.trade.test_stands_off_before import left
from webapp.trade.record import fold_job
from webapp.trade.room_before import room_compared

NO_FIGURE = "no figure to compare"
CAUSE = "terminal_blocked"


def read(job, ppm):
    return job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": ppm})


def test_raised_before_the_repair_and_not_after_is_said_with_both_figures(job):
    read(job, 84).answer("co_room", "leave").looked_at()
    read(job, 0).answer("co_room", "acceptable")
    job.repaired(CAUSE).prove(co_room_ppm=2)
    held = job.holds(co_room_ppm=2)
    assert held["passed"] is True
    assert held["why_words"].startswith("CO in the room: 84 ppm before the repair, 2 ppm in the hot run.")


def test_read_by_the_visit_that_left_it_off_it_is_compared_at_the_one_that_puts_it_back(job):
    off = left() | {"room_co_ppm": 84}
    job.repaired(CAUSE).prove(co_room_ppm=2).add("put_back", {"words": "x", "left_off_ids": ["left1"]}, schema=2)
    held = job.ask("proof_holds", run={**job.whole_run(), "co_room_ppm": 2}, off_before=[off])
    assert held["why_words"].startswith("CO in the room: 84 ppm when it was left off, 2 ppm in the hot run.")
    offers = {one["state"]: one["why_words"] for one in job.ask("close_states", off_before=[off])}
    assert NO_FIGURE not in offers["proven"]


@pytest.mark.parametrize(("before", "after"), [(0, 0), (3, 2), (84, None), (84, 20)])
def test_what_was_never_raised_or_is_not_well_now_compares_nothing(before, after, job):
    read(job, before)
    job.answer("co_room", "acceptable").repaired(CAUSE).prove(co_room_ppm=after)
    assert "ppm before the repair" not in job.holds(co_room_ppm=after)["why_words"]


def test_what_was_read_after_the_repair_was_not_before_it(job):
    read(job.repaired(CAUSE), 84).answer("co_room", "leave")
    read(job, 0).answer("co_room", "acceptable").prove(co_room_ppm=2)
    assert NO_FIGURE in job.holds(co_room_ppm=2)["why_words"]


def test_a_row_that_an_older_phone_wrote_says_nothing_of_it(job):
    job.repaired(CAUSE).prove(co_room_ppm=2)
    held = job.ask("proof_holds", run={**job.whole_run(), "co_room_ppm": 2}, off_before=[left()])
    assert NO_FIGURE in held["why_words"]


@pytest.mark.parametrize(("heater", "is_compared"), [("cellar", True), ("upstairs", False)])
def test_what_was_read_when_another_heater_was_left_off_proves_nothing_of_this_one(heater, is_compared, job):
    off = left(appliances=[heater]) | {"room_co_ppm": 84}
    job.add("appliance_described", {"appliance_id": "cellar", "kind": "power_vent", "fuel": "natural_gas"})
    job.repaired(CAUSE).prove(co_room_ppm=2)
    held = job.ask("proof_holds", run={**job.whole_run(), "co_room_ppm": 2}, off_before=[off])
    assert ("84 ppm" in held["why_words"]) is is_compared


@pytest.mark.parametrize(
    ("own", "theirs", "after", "words"),
    [
        (9, [], 8.99, "9 ppm before the repair, 8.99 ppm in the hot run."),  # 9: the first that a rule set calls raised
        (8.99, [], 2, None),
        (84, [], 9, None),
        (12, [84], 2, "84 ppm when it was left off, 2 ppm in the hot run."),  # the most, whoever read it
        (84, [12], 2, "84 ppm before the repair, 2 ppm in the hot run."),
        (0, [12, 84], 2, "84 ppm when it was left off, 2 ppm in the hot run."),
    ],
)
def test_the_most_that_was_raised_is_what_the_run_is_compared_with(own, theirs, after, words):
    read = [("co_room_ppm", own), ("vent_temp_f", 140)]
    bodies = [{"check": None, "quantity": quantity, "value": value} for quantity, value in read]
    record = fold_job([event(number, "reading_taken", body) for number, body in enumerate(bodies)])
    found = room_compared(record, {"co_room_ppm": after}, [{"room_co_ppm": ppm} for ppm in theirs])
    assert found == (words and "CO in the room: " + words)
