"""Proof fits the cause: the figure that convicted must come right.

Minutes, restarts and margins are expert guesses; what they are held to here is the amendment of the trade page.
"""

from __future__ import annotations

import pytest

from tests.trade.job_in_the_making import Job
from tests.trade.making import small_procedure


def test_a_sag_asks_for_slope_and_drainage_and_more_than_ten_minutes(job):
    due = job.sag().due()
    assert due["proof"] == "drained_and_sloped"
    assert {"slope_measured", "water_runs_off", "joint_tested"} <= set(due["looks"])
    assert due["minutes"] > 10
    assert (due["before"], due["before_state"], due["limit"]) == (0.30, "cold", 0.36)


def test_a_cause_that_no_proof_names_gets_the_default(job):
    assert job.repaired("terminal_blocked").due()["proof"] == "hot_run"
    assert job.repaired("none_of_these").due()["proof"] == "hot_run"
    assert job.repaired("other").due()["proof"] == "hot_run"


def test_before_a_cause_is_named_the_default_says_what_is_missing(job):
    due = job.due()
    assert [due["missing"][0], due["missing"][1], due["missing"][-1]] == [
        "a cause named",
        "a repair noted",
        "the hot run",
    ]
    assert due["missing"][2:-1] == job.ask("step")["advice"]["may_fire"]["missing"]  # what may not fire has not run
    assert job.looked_at().due()["missing"] == ["a cause named", "a repair noted", "the hot run"]


@pytest.mark.parametrize(
    ("after", "passed"),
    [(0.42, True), (0.414, True), (0.41, False), (0.37, False), (0.30, False), (0.20, False), (-0.42, True)],
)
def test_the_margin_over_the_typed_make_point_is_15_in_100_hot(after, passed, job):
    """0.36 in. w.c. and 15 %: 0.414, worked by hand; the 15 % is an expert guess."""
    assert job.sag().holds(quantity="suction_in_wc", after_value=after)["passed"] is passed


def test_over_the_make_point_but_no_better_than_before_is_no_proof(job):
    job.read("suction_in_wc", 0.50, "hot").figure("make_point_in_wc", 0.36).repaired("terminal_blocked")
    held = job.holds(quantity="suction_in_wc", after_value=0.50)
    assert held["passed"] is False
    assert "no better" in held["why_words"]


def test_a_tap_after_the_blower_turns_it_round(job):
    job.answer("tap_type", "pressure").read("suction_in_wc", 0.40).figure("make_point_in_wc", 0.36)
    job.repaired("terminal_blocked")
    assert job.holds(after_value=0.20)["passed"] is True
    assert job.holds(after_value=0.34)["passed"] is False  # under its point, but with too little margin
    assert job.holds(after_value=0.45)["passed"] is False


def test_a_reading_taken_hot_before_the_repair_is_the_one_to_compare_with(job):
    job.read("suction_in_wc", 0.44, "cold").read("suction_in_wc", 0.31, "hot").read("suction_in_wc", 0.45, "cold")
    assert job.repaired("terminal_blocked").due()["before"] == 0.31


def test_a_reading_after_the_repair_is_not_the_one_before_it(job):
    job.read("suction_in_wc", 0.30).repaired("terminal_blocked").read("suction_in_wc", 0.60)
    assert job.due()["before"] == 0.30


def test_the_figure_as_the_office_read_it_counts(job):
    job.figure("make_point_in_wc", 0.36)
    sheet = job.events[-1]["id"]
    job.add(
        "sheet_confirmed",
        {"sheet_event_id": sheet, "quantity": "make_point_in_wc", "agrees": False, "read_value": 0.56},
    )
    assert job.repaired("blower_weak").due()["limit"] == 0.56


def test_a_switch_is_proven_by_its_point_on_the_pump(job):
    job.figure("make_point_in_wc", 0.36).read("makes_at_in_wc", 0.55, "dead").repaired("switch_drifted")
    assert job.due()["quantity"] == "makes_at_in_wc"
    assert job.holds(after_value=0.37)["passed"] is True
    assert job.holds(after_value=0.55)["passed"] is False


def test_the_room_is_proven_by_pascals_nearer_to_zero_with_the_fans_on(job):
    job.read("room_pa", -12).repaired("house_negative")
    assert job.due()["quantity"] == "room_pa"
    assert job.holds(after_value=-3)["passed"] is True
    assert job.holds(after_value=-15)["passed"] is False


def test_where_the_suction_convicted_the_suction_must_come_right(job):
    job.read("suction_in_wc", 0.3).figure("make_point_in_wc", 0.36).repaired("house_negative")
    assert job.due()["quantity"] == "suction_in_wc"


def test_after_the_vent_was_parted_a_joint_is_tested_whatever_the_cause(job):
    job.repaired("igniter_failed")
    assert "joint_tested" not in job.due()["looks"]
    job.answer("vent_parted", "comes_up")
    assert "joint_tested" in job.due()["looks"]


@pytest.mark.parametrize("parting", [("restrictor", "as_sheet"), ("vent_parted", "comes_up")])
def test_after_the_vent_was_parted_no_way_to_leave_it_running_is_offered_before_every_joint_is_seen_again(parting, job):
    job.sag().answer("joints", "sound")
    seen = job.offered()
    assert "not_proven" in seen
    job.answer(*parting).prove(after_value=0.43)
    again = "Every joint of the run seen and sound"
    assert job.offered() == {"left_off"}
    assert job.why("not_proven").startswith("Unsafe now: Not seen again since the vent was parted: " + again)
    assert again + ", seen again since the vent was parted" in job.due()["missing"]
    assert job.ask("proof_holds")["passed"] is None
    job.answer("joints", "sound")
    assert job.offered() == seen | {"proven"}
    assert job.ask("proof_holds")["passed"] is True


def test_a_check_that_could_not_be_done_calls_for_no_look(job):
    job.add("check_answered", {"check": "vent_parted", "outcome": None, "could_not": "no_tool"})
    assert "joint_tested" not in job.due()["looks"]


@pytest.mark.parametrize("cause", ["igniter_failed", "water_in_sag", "gas_low", "none_of_these"])
def test_valve_joints_terminal_tube_co_and_the_neighbours_hoods_are_always_looked_at(cause, job):
    looks = set(job.repaired(cause).due()["looks"])
    assert {"tube_back", "joints_again", "terminal_again", "tp_again", "co_again", "draft_hoods"} <= looks


@pytest.mark.parametrize("cause", ["couple_weak", "draft_wrong", "gas_low", "none_of_these"])
def test_a_standing_pilot_always_ends_with_smoke_at_every_hood(cause, pilot_job):
    looks = set(pilot_job.repaired(cause).due()["looks"])
    assert {"hood_smoke", "other_hoods", "vent_again", "tp_again", "co_again", "door_again"} <= looks


def test_a_couple_is_proven_in_millivolts_and_a_pile_in_its_own(both, standing_pilot):
    couple = Job(both, standing_pilot).read("couple_open_mv", 9).repaired("couple_weak")
    assert couple.due()["quantity"] == "couple_open_mv"
    assert couple.holds(after_value=28)["passed"] is True
    assert couple.holds(after_value=9)["passed"] is False
    pile = Job(both, standing_pilot).read("pile_open_mv", 300).repaired("couple_weak")
    assert pile.due()["quantity"] == "pile_open_mv"


def test_a_figure_that_has_neither_a_better_way_nor_a_typed_one_is_told_before_and_now(both, standing_pilot):
    mended = Job(both, standing_pilot).read("drop_out_seconds", 300).repaired("control_failed")
    assert mended.due()["quantity"] == "drop_out_seconds"
    now = mended.holds(after_value=30)
    assert now["passed"] is True
    assert now["why_words"].startswith("Drop-out, until the click: 300 s before, 30 s now.")
    fine_before = Job(both, standing_pilot).read("drop_out_seconds", 40).repaired("control_failed")
    told = fine_before.holds(after_value=30)
    assert told["passed"] is None
    assert "40 s before, 30 s now; no typed figure to compare with." in told["why_words"]


def test_a_bad_contact_is_proven_by_a_closed_reading_that_comes_down(pilot_job):
    """Ohm's law: 30 mV, 0.018 and 0.012 ohm give 12 mV at the adapter; 0.018 ohm of dirt more gives 18.75 mV."""
    pilot_job.read("couple_closed_mv", 18.75).repaired("couple_connection")
    assert pilot_job.holds(after_value=12.0)["passed"] is True
    assert pilot_job.holds(after_value=18.75)["passed"] is False


@pytest.mark.parametrize(
    ("run", "words"),
    [
        ({"minutes": 9}, "30 minutes of running"),
        ({"restarts": 1}, "2 restarts"),
        ({"fans_on": False}, "every fan and the dryer on"),
        ({"looks_done": []}, "Slope measured"),
        ({"after_value": None}, "Suction at the switch, after"),
        ({"quantity": "room_pa"}, "Suction at the switch, after"),
    ],
)
def test_what_the_run_lacks_is_said_and_then_nothing_is_judged(run, words, job):
    held = job.sag().holds(**{"quantity": "suction_in_wc", "after_value": 0.5, **run})
    assert held["passed"] is None
    assert words in held["why_words"]


def test_raised_co_in_the_room_is_never_a_proof(job):
    job.sag()
    due = job.due()
    run = {"minutes": 30, "restarts": 2, "fans_on": True, "looks_done": due["looks"], "after_value": 0.5}
    for ppm, passed in ((8, True), (29, True), (30, False)):
        held = job.ask("proof_holds", run={**run, "co_room_ppm": ppm}, ladder="code_appendix")
        assert held["passed"] is passed, ppm


def test_a_tick_for_room_co_without_its_number_proves_nothing(job):
    job.sag()
    due = job.due()
    run = {"minutes": 30, "restarts": 2, "fans_on": True, "looks_done": due["looks"], "after_value": 0.5}
    assert "co_again" in due["looks"]
    wanted = "CO in the room after the run, with its number"
    assert job.ask("proof_due", run=run)["missing"] == [wanted]
    assert job.ask("proof_due", run={**run, "co_room_ppm": 0})["missing"] == []
    job.prove(quantity="suction_in_wc", after_value=0.5, co_room_ppm=None)
    assert "proven" not in job.offered()
    assert wanted in job.why("proven")


def test_where_the_firm_chose_no_rules_a_run_with_room_co_says_whose_steps_it_was_judged_by(job):
    job.sag()
    looks = job.due()["looks"]
    run = {"minutes": 30, "restarts": 2, "fans_on": True, "looks_done": looks, "after_value": 0.5, "co_room_ppm": 8}
    for ppm in (8, 30):
        assert "the code appendix's" in job.ask("proof_holds", run={**run, "co_room_ppm": ppm})["why_words"], ppm
    chosen = job.ask("proof_holds", run=run, ladder="code_appendix")
    unread = job.ask("proof_holds", run={**run, "co_room_ppm": None})
    assert [chosen["passed"], unread["passed"]] == [True, None]
    assert "code appendix" not in chosen["why_words"] + unread["why_words"]


def test_with_nothing_read_before_and_no_figure_typed_it_cannot_tell(job):
    held = job.repaired("terminal_blocked").holds(after_value=0.5)
    assert held["passed"] is None


def test_a_cause_without_a_figure_is_proven_by_starts_and_looks(job):
    assert job.repaired("vapour_sensor").holds()["passed"] is True


def test_without_a_run_nothing_is_judged(job):
    assert job.ask("proof_holds")["passed"] is None


def test_a_run_that_no_event_could_carry_is_refused(job):
    answer = job.both(
        "proof_holds",
        {"procedure_hash": job.procedure["hash"], "events": job.events, "run": {"minutes": "ten"}},
    )
    assert answer["error"]["code"] == "bad_argument"


def test_a_procedure_of_an_earlier_day_has_a_plain_hot_run(both):
    old = small_procedure({"a": 1.0}, {"c": {"good": {"a": 1.0}}})
    old["closing_looks"] = [{"id": "tube_back", "words": "Tube back"}]
    assert both("load_procedure", {"procedure": old})["ok"]
    due = Job(both, old).repaired("a").due()
    assert (due["proof"], due["looks"], due["words"], due["quantity"]) == ("hot_run", ["tube_back"], "held", None)


def test_a_run_before_all_that_must_stand_before_fire_proves_nothing(job):
    """Smell, meter, terminal, joints: a burner that may not run has not run."""
    job.sag().prove(quantity="suction_in_wc", after_value=0.5)
    assert "proven" in job.offered()
    job.add("arrived", {})  # another day: what keeps one safe is asked again
    assert "proven" not in job.offered()
    assert "No smell of gas" in job.why("proven")
