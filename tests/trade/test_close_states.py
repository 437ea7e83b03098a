"""How a job may end: no state is offered that its record does not bear, and an unsafe heater is left off."""

from __future__ import annotations

import pytest


def test_proven_is_offered_only_with_a_run_that_held_and_every_compulsory_look(job):
    job.sag()
    assert "proven" not in job.offered()
    job.prove(passed=False, quantity="suction_in_wc", after_value=0.31)
    assert "proven" not in job.offered()
    job.prove(quantity="suction_in_wc", after_value=0.5, looks_done=["tube_back"])
    assert "proven" not in job.offered()
    assert "Slope measured" in job.why("proven")
    job.prove(quantity="suction_in_wc", after_value=0.5)
    assert "proven" in job.offered()


def test_a_run_called_good_whose_figure_did_not_come_right_is_not_offered_as_proven(job):
    job.sag().prove(quantity="suction_in_wc", after_value=0.37)
    assert "proven" not in job.offered()
    assert "too little margin" in job.why("proven")


def test_a_run_that_held_with_nothing_measured_before_may_be_called_proven_and_says_so(job):
    job.repaired("terminal_blocked").prove()
    assert "proven" in job.offered()
    assert "no figure to compare" in job.why("proven")


@pytest.mark.parametrize(
    ("check", "outcome"),
    [
        ("joints", "parted"),
        ("tp_valve", "missing_or_plugged"),
        ("burn_marks", "roll_out"),
        ("terminal", "iced"),
        ("manual_limit", "tripped_not_explained"),
        ("switch_pump", "off_point"),
        ("flue_gas", "co_high_or_o2_low"),
        ("symptoms", "somebody"),
        ("co_room", "raised"),  # the burner may not be fired
        ("co_meter", "not_with_me"),
        ("slope", "sag_or_back_slope"),
    ],
)
def test_an_unsafe_heater_is_left_off_and_nothing_else(check, outcome, job):
    job.answer(check, outcome)
    assert job.offered() == {"left_off"}
    job.add("left_off", {"what_words": "heater", "why_words": "unsafe", "told_words": "owner"})
    assert job.offered() == {"left_off", "handed_over"}


def test_an_unsafe_heater_never_stays_running_as_not_proven(job):
    job.answer("joints", "parted").repaired("joint_leak_at_blower")
    assert "not_proven" not in job.offered()
    assert "Joints and pipe: Parted" in job.why("not_proven")
    job.answer("joints", "sound")  # looked at again after the repair
    assert "not_proven" in job.offered()


def test_one_persons_unsafe_finding_stands_against_anothers_all_clear(job):
    job.answer("joints", "parted").answer("joints", "sound", person_id="bo", device_id="d2")
    assert job.offered() == {"left_off"}


def test_a_stop_at_the_gate_stays_unsafe_until_it_is_looked_at_again_after_a_new_arrival(job):
    job.answer("smell_of_gas", "smell").add("arrived", {})
    assert job.offered() == {"left_off"}
    job.answer("smell_of_gas", "no_smell")
    assert "waiting_part" in job.offered()


def test_could_not_check_after_the_repair_takes_no_unsafe_finding_back(job):
    job.answer("joints", "parted").answer("slope", "sag_or_back_slope").repaired("joint_leak_at_blower")
    for check in ("joints", "slope"):
        job.add("check_answered", {"check": check, "outcome": None, "could_not": "no_access"})
    assert job.offered() == {"left_off"}
    job.answer("joints", "sound")
    assert job.offered() == {"left_off"}  # the sag stands
    job.answer("slope", "falls_right")
    assert "not_proven" in job.offered()


def test_joints_found_parted_stay_so_when_the_vent_is_parted_for_a_test(job):
    job.answer("joints", "parted").answer("vent_parted", "comes_up")
    assert job.offered() == {"left_off"}


def test_a_repair_after_the_hot_run_asks_for_another(job):
    job.sag().prove(quantity="suction_in_wc", after_value=0.5)
    assert "proven" in job.offered()
    job.add("repair_made", {"action": "clear_drain"})
    assert "proven" not in job.offered()
    assert "after the last hot run" in job.why("proven")
    assert "the hot run" in job.due()["missing"]


def test_another_cause_named_after_the_run_asks_for_its_own_proof(job):
    job.repaired("terminal_blocked").prove()
    assert "proven" in job.offered()
    job.add("cause_named", {"cause": "water_in_sag"})
    assert "Slope measured" in job.why("proven")


def test_co_air_free_over_the_firms_own_limit_is_never_a_proof(job):
    job.figure("co_air_free_limit_ppm", 200).repaired("igniter_failed")
    assert job.holds(after_value=40, co_air_free_ppm=201)["passed"] is False
    assert job.holds(after_value=40, co_air_free_ppm=200)["passed"] is not False


def test_co_air_free_noted_in_its_own_field_is_the_figure_of_a_starved_burner(job):
    job.read("co_air_free_ppm", 450, "hot").figure("co_air_free_limit_ppm", 200).repaired("air_starved")
    assert job.due()["before"] == 450
    assert job.holds(co_air_free_ppm=60)["passed"] is True
    assert job.holds()["passed"] is None


def test_what_nobody_looked_at_is_not_unsafe_only_not_known(job):
    assert job.offered() == {"waiting_part", "declined", "handed_over", "replaced", "left_off"}
    for state in ("waiting_part", "declined", "handed_over", "replaced"):  # turned away at the door
        words = "No look for safety was made on this visit. Nobody has shown that it runs safely."
        assert job.why(state).endswith(words)
    assert "safety" not in job.why("left_off")


def test_nobody_has_seen_it_run_where_the_burner_may_not_be_fired(job):
    job.answer("smell_of_gas", "no_smell")
    assert job.why("not_seen_today").startswith("Still missing: CO meter on, and staying on; Room CO acceptable; ")
    assert "not_seen_today" in job.looked_at().offered()
    assert "made" not in job.why("handed_over")
    job.add("arrived", {})  # on another day it is looked at anew
    assert job.why("not_seen_today").startswith("Still missing: No smell of gas; ")


def test_a_job_that_ends_with_looks_for_safety_not_made_says_which(job):
    for need in job.procedure["may_fire"]:
        if need["check"] not in ("co_room", "tp_valve"):
            job.answer(need["check"], need["outcomes"][0])
    words = " Not looked at on this visit: CO in the room; T&P valve. Nobody has shown that it runs safely."
    assert all(job.why(state).endswith(words) for state in ("waiting_part", "declined", "handed_over", "replaced"))
    job.add("check_answered", {"check": "tp_valve", "outcome": None, "could_not": "no_access"})
    assert job.why("declined").endswith(words)
    job.add("repair_made", {"action": "other"})
    assert job.why("not_proven").endswith(words)
    job.add("left_off", {"what_words": "heater", "why_words": "waiting", "told_words": "owner"})
    assert "Not looked at" not in job.why("handed_over")


def test_of_many_looks_that_were_not_made_the_first_are_named_and_the_rest_counted(job):
    job.answer("smell_of_gas", "no_smell")
    words = "Not looked at on this visit: CO in the room; terminal and screen; joints and pipe; and 4 more. Nobody has"
    assert words in job.why("handed_over")


def test_why_it_stands_off_comes_before_what_else_is_missing(job):
    job.add("left_off", {"what_words": "heater", "why_words": "waiting", "told_words": "owner"})
    for state in ("proven", "not_proven", "not_seen_today"):
        assert job.why(state) == "The heater is off and tagged: put it back in service first."


def test_a_place_that_cannot_be_reached_says_nothing_about_the_heater(job):
    job.answer("scene", "cannot_reach")
    assert "handed_over" in job.offered()


def test_a_heater_that_is_off_and_tagged_is_not_closed_as_running(job):
    job.add("left_off", {"what_words": "heater", "why_words": "waiting", "told_words": "owner"})
    assert job.offered() == {"waiting_part", "declined", "handed_over", "replaced", "left_off"}
    desk = {"person_id": "desk", "device_id": "d9"}
    job.add("put_back", {"words": "new part, by the maker's man"}, **desk)
    assert "not_seen_today" not in job.offered()
    assert job.why("not_seen_today").startswith("Put back, and not shown to be safe. Still missing: ")


def test_a_standing_pilot_that_spills_is_left_off(pilot_job):
    pilot_job.answer("draft_smoke", "spills")
    assert pilot_job.offered() == {"left_off"}


@pytest.mark.parametrize("mended", [False, True])
@pytest.mark.parametrize(
    ("check", "outcome", "missing"),
    [
        ("draft_smoke", "spills", "No flue gas found spilling at the draft hood"),
        ("tco_continuity", "open", "TCO not found open"),
    ],
)
def test_what_could_not_be_looked_at_again_still_keeps_the_burner_from_firing(
    mended, check, outcome, missing, pilot_job
):
    pilot_job.answer(check, outcome)
    if mended:
        pilot_job.add("repair_made", {"action": "other"})
    pilot_job.answer(check, None, could_not="no_access")
    assert missing in pilot_job.ask("step")["advice"]["may_fire"]["missing"]


@pytest.mark.parametrize("mended", [False, True])
def test_could_not_check_takes_no_stop_at_the_gate_back(mended, job):
    job.answer("smell_of_gas", _stopping(job.procedure, "smell_of_gas"))
    if mended:
        job.add("repair_made", {"action": "other"})
    job.answer("smell_of_gas", None, could_not="no_access")
    assert job.ask("step")["advice"]["gate"]["state"] == "stopped"


def _stopping(procedure, check_id):
    check = next(one for one in procedure["checks"] if one["id"] == check_id)
    return next(outcome["id"] for outcome in check["outcomes"] if outcome["stop_words"])
