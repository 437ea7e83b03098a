"""A heater that was left off goes back into use after a hot run that held, and by no word or clean reading."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from tests.trade.test_stands_off_before import closable, gate_passed, left, may_be_fired
from webapp.trade.found_running import FOUND_IN_SERVICE, MAY_RUN, NOT_BACK, found_running
from webapp.trade.record import fold_job

PUT_BACK = {"words": "ok", "left_off_ids": ["left1"]}
LEFT_OFF = {"what_words": "heater", "why_words": "CO", "told_words": "owner"}
ROOM_CO = {"check": "co_room", "quantity": "co_room_ppm", "value": 0}


def advised(job, *, off_before=True):
    return job.ask("step", off_before=[left()] if off_before else [])["advice"]["put_back"]


def folded(job):
    return job.ask("step")["record"]


def in_order(job):
    return gate_passed(may_be_fired(job))


def test_as_the_first_tap_of_a_visit_it_is_not_open_and_closes_nothing_as_running(job):
    found = advised(job)
    assert not found["ok"]
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


def test_a_good_run_without_a_cause_or_a_repair_asks_what_made_it_safe(job):
    in_order(job)
    assert advised(job)["asks_words"] is None, "it is not open yet"
    job.prove()
    assert advised(job)["ok"]
    assert "say who put it right" in advised(job)["asks_words"]
    job.add("cause_named", {"cause": "none_of_these"})
    assert advised(job)["asks_words"] is not None
    job.add("cause_named", {"cause": "joint_leak_at_blower"})
    assert (advised(job)["ok"], advised(job)["asks_words"]) == (True, None)


def test_a_run_made_past_the_looks_that_it_asks_for_puts_nothing_back(job):
    """The gate by rote, a locked-out heater that makes no CO, a run that held: nobody has looked at the heater."""
    for check in ("smell_of_gas", "co_meter", "co_room"):
        job.answer(check, {"smell_of_gas": "no_smell", "co_meter": "on", "co_room": "acceptable"}[check])
    gate_passed(job).add("cause_named", {"cause": "joint_leak_at_blower"}).prove()
    asked = job.ask("step", off_before=[left()])["advice"]
    assert not asked["put_back"]["ok"]
    assert asked["may_fire"]["missing"]
    assert asked["put_back"]["missing"] == asked["may_fire"]["missing"]
    assert advised(may_be_fired(job))["missing"] == []


def found_in_service(job, words="by the owner"):
    return job.add("put_back", {**PUT_BACK, "words": FOUND_IN_SERVICE + words}, schema=2)


def test_found_in_service_with_the_gate_passed_and_a_clean_reading_ends_nothing(job):
    found_in_service(in_order(job).add("reading_taken", ROOM_CO))
    assert not folded(job)["put_back"][0]["counts"]
    assert [one["event_id"] for one in job.ask("step", off_before=[left()])["advice"]["off_before"]] == ["left1"]
    assert not closable(job, left()) & {"proven", "not_proven", "not_seen_today"}
    refused = {one["why_words"] for one in job.ask("close_states", off_before=[left()]) if not one["offered"]}
    assert refused == {NOT_BACK}
    assert not closable(job) & {"proven", "not_proven", "not_seen_today"}  # also where the entry has not come


def test_found_in_service_may_be_said_before_anything_is_looked_at_and_says_what_to_do_at_once(job):
    assert (advised(job)["found_ok"], advised(job)["found_words"]) == (True, None)
    found_in_service(job)
    assert "Shut it off again and tag it now" in advised(job)["found_words"]
    for state in ("waiting_part", "declined", "handed_over", "replaced"):
        offers = {one["state"]: one["why_words"] for one in job.ask("close_states", off_before=[left()])}
        assert offers[state].endswith(MAY_RUN)
        assert "stands off" not in offers[state]
    job.add("left_off", LEFT_OFF)
    assert advised(job)["found_words"] is None
    assert found_running(folded(job)) == []


def test_found_in_service_is_not_offered_for_what_this_visit_left_off(job):
    job.add("left_off", LEFT_OFF)
    assert not advised(job, off_before=False)["found_ok"]
    assert advised(job)["found_ok"]  # another visit left one off too


def test_found_in_service_and_then_run_it_goes_back_by_what_every_put_back_needs(job):
    found_in_service(in_order(job)).repaired("joint_leak_at_blower").prove()
    assert not folded(job)["put_back"][0]["counts"]
    job.add("put_back", {**PUT_BACK, "words": "hot run held"}, schema=2)
    assert [one["counts"] for one in folded(job)["put_back"]] == [False, True]
    assert advised(job)["found_words"] is None


def test_said_after_a_run_that_held_it_is_shown_and_so_is_what_a_word_without_names_puts_back(job):
    found_in_service(in_order(job)).repaired("joint_leak_at_blower").prove().add("put_back", {"words": "it held"})
    assert advised(job)["found_words"] is None
    assert folded(found_in_service(job))["put_back"][-1]["counts"]
    assert advised(job)["found_words"] is None


def test_of_two_that_were_left_off_putting_the_other_back_leaves_this_one_as_it_was_found(job):
    found_in_service(in_order(job)).repaired("joint_leak_at_blower").prove()
    for named, running in (["left2"], True), (["left1", "left2"], False):
        job.add("put_back", {"words": "hot run held", "left_off_ids": named}, schema=2)
        assert folded(job)["put_back"][-1]["counts"]
        assert (advised(job)["found_words"] is not None) is running


def test_a_word_that_it_was_found_in_service_ends_nothing_from_a_desk_either(job):
    job.add("left_off", LEFT_OFF)
    job.add("put_back", {"words": FOUND_IN_SERVICE + "x"}, person_id="desk", device_id="d9", clock_offset=0)
    assert folded(job)["heater_off"]


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


def test_looked_at_again_and_run_it_may_be_put_back_by_whoever_found_it(job):
    job.answer("joints", "parted").add("left_off", LEFT_OFF).repaired("joint_leak_at_blower")
    job.answer("joints", "sound").prove().add("put_back", {"words": "made up again"})
    assert folded(job)["standing_off"] == []


def test_a_run_whose_minutes_cannot_have_passed_puts_nothing_back(job):
    in_order(job).add("left_off", LEFT_OFF).prove(at_wall=job.events[0]["at_wall"])
    assert advised(job, off_before=False)["missing"] == ["a hot run noted after its minutes have passed"]
    job.add("put_back", {"words": "ok"})
    assert folded(job)["heater_off"]
    assert advised(job.prove(), off_before=False)["ok"]
    job.add("put_back", {"words": "run the whole time"})
    assert not folded(job)["heater_off"]


def test_what_was_put_back_and_found_unsafe_after_that_is_put_back_anew_and_by_no_other_answer(job):
    in_order(job).answer("terminal", "clear").add("left_off", LEFT_OFF).prove()
    clear = job.events[-3]["id"]
    job.add("put_back", {"words": "screen cleaned"})
    assert not folded(job)["heater_off"]
    job.answer("terminal", "nest_or_debris", replaces=[clear])
    assert folded(job)["heater_off"]
    job.answer("terminal", "clear", replaces=[job.events[-1]["id"]])
    assert folded(job)["heater_off"]
    job.prove().add("put_back", {"words": "run again"})
    assert [one["counts"] for one in folded(job)["put_back"]] == [False, True]


OLDER = pytest.mark.parametrize("words", ["ok", "vent re-glued, hot run held"])


@OLDER
def test_a_word_of_whoever_was_there_ends_nothing_as_an_older_phone_took_it(words, job):
    job.add("left_off", LEFT_OFF).add("put_back", {"words": words})
    assert (folded(job)["put_back"][0]["counts"], folded(job)["heater_off"]) == (False, True)
    assert not closable(job) & {"proven", "not_proven", "not_seen_today"}
    for state in ("waiting_part", "declined", "handed_over", "replaced"):
        assert job.why(state).endswith("What was left off stands off until it is put back.")


@OLDER
def test_nor_at_a_later_visit_that_names_what_an_earlier_one_left_off(words, job):
    job.answer("co_room", "acceptable").add("reading_taken", ROOM_CO)  # of a heater that is off it says nothing
    job.add("put_back", {**PUT_BACK, "words": words}, schema=2)
    assert not folded(job)["put_back"][0]["counts"]
    offers = {one["state"]: one for one in job.ask("close_states", off_before=[left()])}
    assert not offers["not_seen_today"]["offered"]
    assert offers["handed_over"]["why_words"].endswith("What was left off stands off until it is put back.")
    assert [one["event_id"] for one in job.ask("step", off_before=[left()])["advice"]["off_before"]] == ["left1"]


@pytest.mark.parametrize("late", ["repair_made", "left_off"])
def test_a_run_of_before_the_repair_or_of_before_it_was_left_off_shows_nothing(late, job):
    in_order(job).repaired("joint_leak_at_blower").prove()
    job.add(late, {"action": "other"} if late == "repair_made" else LEFT_OFF)
    assert "the hot run" in advised(job, off_before=False)["missing"]
    job.add("put_back", {"words": "ok"})
    assert not folded(job)["put_back"][0]["counts"]
    assert advised(job.prove(), off_before=False)["ok"]
    job.add("put_back", {"words": "after all"})
    assert [one["counts"] for one in folded(job)["put_back"]] == [False, True]


def test_a_word_of_before_the_run_does_not_come_to_count_by_it(job):
    in_order(job).add("left_off", LEFT_OFF).add("put_back", {"words": "ok"}).repaired("joint_leak_at_blower").prove()
    assert folded(job)["heater_off"]
    assert not closable(job) & {"proven", "not_proven", "not_seen_today"}


@pytest.mark.parametrize(
    ("by", "counts"),
    [
        ({"person_id": "desk", "device_id": "d9"}, True),
        ({"device_id": "d9", "clock_offset": 0}, True),  # the owner who was there himself, at the office's desk
        ({"device_id": "d9", "clock_offset": 1200}, False),  # another phone of whoever was there
        ({"person_id": "bo"}, False),  # this phone, handed on
        ({"person_id": "cy", "device_id": "d9"}, False),  # who is to go there, and has begun nothing
    ],
)
def test_whoever_was_not_there_notes_what_somebody_else_put_right(by, counts, job):
    job.add("job_moved", {"technician_id": "cy", "due_wall": None, "why": None}).add("left_off", LEFT_OFF).add(
        "put_back", {"words": "the maker's man, by phone"}, **by
    )
    assert folded(job)["heater_off"] is not counts


@pytest.mark.parametrize("run", [False, True])
@pytest.mark.parametrize("ppm", [24, 200])
def test_nor_against_a_figure_of_their_own_that_nobody_answered(ppm, run, job):
    job.add("left_off", {"what_words": "heater", "why_words": "CO", "told_words": "customer"})
    if run:
        job.prove(co_room_ppm=ppm)
    else:
        job.prove().add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": ppm})
    job.add("put_back", {"words": "ok"})
    assert job.ask("step")["record"]["heater_off"]
    job.add("reading_taken", ROOM_CO).prove()
    job.add("put_back", {"words": "run anew"})
    assert not job.ask("step")["record"]["heater_off"]


def test_nor_against_an_unsafe_word_of_their_own_whatever_the_run_showed(job):
    in_order(job).answer("terminal", "nest_or_debris").add("left_off", LEFT_OFF).prove().add(
        "put_back", {"words": "ok"}
    )
    assert folded(job)["heater_off"]
    job.answer("terminal", "clear").prove().add("put_back", {"words": "screen cleaned"})
    assert not folded(job)["heater_off"]


def test_nor_by_a_run_without_the_rooms_co_as_a_number(job):
    job.add("left_off", LEFT_OFF).prove(co_room_ppm=None).add("put_back", {"words": "ok"})
    assert folded(job)["heater_off"]


def test_the_run_has_to_come_after_what_is_named_and_not_after_what_was_left_off_since(job):
    job.add("left_off", LEFT_OFF)
    first = job.events[-1]["id"]
    job.prove().add("left_off", LEFT_OFF).add("put_back", {"words": "the first", "left_off_ids": [first]}, schema=2)
    assert folded(job)["standing_off"] == [job.events[-2]["id"]]


BO = {"person_id": "bo", "device_id": "d2"}


def test_a_figure_is_answered_by_its_own_reader_and_holds_nobody_else(job):
    """9 ppm, from where one rule set calls it raised."""
    job.add("left_off", LEFT_OFF).prove(co_room_ppm=9).answer("co_room", "acceptable", **BO).add(
        "put_back", {"words": "ok"}
    )
    assert folded(job)["heater_off"]
    job.add("put_back", {"words": "I ran nothing"}, person_id="cy", device_id="d3")
    assert not folded(job)["heater_off"]


def test_could_not_check_takes_no_unsafe_word_back(job):
    job.answer("terminal", "nest_or_debris").add("left_off", LEFT_OFF).prove()
    job.answer("terminal", None, could_not="no_access").add("put_back", {"words": "ok"})
    assert folded(job)["heater_off"]


def test_nor_by_a_run_that_did_not_hold(job):
    job.add("left_off", LEFT_OFF).repaired("joint_leak_at_blower").prove(passed=False).add("put_back", {"words": "ok"})
    assert folded(job)["heater_off"]
    job.prove().add("put_back", {"words": "run again"})
    assert not folded(job)["heater_off"]


def test_an_answer_of_before_the_figure_is_none_to_it(job):
    job.add("left_off", LEFT_OFF).repaired("joint_leak_at_blower").answer("co_room", "acceptable")
    job.prove(co_room_ppm=24).add("put_back", {"words": "ok"})
    assert folded(job)["heater_off"]
    job.prove().answer("co_room", "acceptable").add("put_back", {"words": "run again"})
    assert not folded(job)["heater_off"]
