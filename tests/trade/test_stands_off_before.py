"""A heater that an earlier visit left off: the walk goes on, no burner runs unasked, and none is closed as running."""

from __future__ import annotations

import pytest

from webapp.trade.closing import RUNNING

CAUSE = "joint_leak_at_blower"
KNOWN_FIRST = "What the heater was left off for known: the cause named, or put back"


def left(number=1, appliances=()):
    return {
        "event_id": f"left{number}",
        "wall": "2026-11-03T09:00:00Z",
        "what_words": "the heater",
        "why_words": "joint parted",
        "appliance_ids": list(appliances),
    }


def may_be_fired(job):
    """All that must stand before the burner runs."""
    for need in job.procedure["may_fire"]:
        job.answer(need["check"], need["outcomes"][0])
    return job


def gate_passed(job):
    job.add("code_read", {"shown": "steady"}).answer("symptoms", "nobody").answer("scene", "safe")
    return job


def advice(job, *off):
    return job.ask("step", off_before=list(off))["advice"]


def closable(job, *off):
    return {one["state"] for one in job.ask("close_states", off_before=list(off)) if one["offered"]}


def proven(job):
    job.repaired(CAUSE)
    for check in ("joints", "terminal", "tp_valve"):
        job.answer(check, {"joints": "sound", "terminal": "clear", "tp_valve": "sound"}[check])
    return job.prove()


def test_the_walk_goes_on_and_nothing_fires_before_it_is_known_what_it_was_left_off_for(job):
    may_be_fired(job)
    assert advice(job)["may_fire"]["ok"]
    assert "watch_cycle" in advice(job)["available"]
    waits = advice(job, left())
    assert waits["gate"]["state"] != "stopped"
    assert waits["available"]
    assert waits["may_fire"] == {"ok": False, "missing": [KNOWN_FIRST]}
    fires = {check["id"] for check in job.procedure["checks"] if check["fires"]}
    assert not fires & set(waits["available"])
    assert {one["check"]: one["missing_words"] for one in waits["blocked"]}["watch_cycle"] == [KNOWN_FIRST]
    assert waits["off_before"] == [
        {
            "event_id": "left1",
            "wall": "2026-11-03T09:00:00Z",
            "what_words": "the heater",
            "why_words": "joint parted",
            "other_heater": False,
        }
    ]


@pytest.mark.parametrize(
    ("kind", "schema", "body"),
    [
        ("cause_named", 1, {"cause": CAUSE}),
        ("repair_made", 1, {"action": "other"}),
        ("put_back", 2, {"words": "joint remade", "left_off_ids": ["left1"]}),
    ],
)
def test_a_cause_a_repair_or_putting_it_back_lets_what_may_fire_fire(kind, schema, body, job):
    may_be_fired(job).add(kind, body, schema=schema, person_id="desk", device_id="d9")
    assert advice(job, left())["may_fire"] == {"ok": True, "missing": []}


def test_a_put_back_without_names_ends_nothing_that_the_clocks_left_standing(job):
    """Of two jobs that overlap only the clocks know which came first: whoever lists the entries has asked them."""
    may_be_fired(job).add("put_back", {"words": "joint remade"})
    assert not advice(job, left())["may_fire"]["ok"]
    assert [one["event_id"] for one in advice(job, left())["off_before"]] == ["left1"]


def test_naming_the_cause_lets_nothing_fire_that_may_not_be_fired_anyway(job):
    job.add("cause_named", {"cause": CAUSE})
    found = advice(job, left())["may_fire"]
    assert not found["ok"]
    assert KNOWN_FIRST not in found["missing"]


def test_a_heater_that_this_visit_left_off_waits_alike(job):
    may_be_fired(job).add("left_off", {"what_words": "heater", "why_words": "CO", "told_words": "owner"})
    assert advice(job)["may_fire"]["missing"] == [KNOWN_FIRST]
    assert advice(job.add("cause_named", {"cause": CAUSE}))["may_fire"]["ok"]


def test_no_job_is_closed_as_running_while_it_stands_off(job):
    may_be_fired(job)
    proven(job)
    assert "proven" in closable(job)
    assert not closable(job, left()) & set(RUNNING)
    assert {"left_off", "waiting_part", "handed_over"} <= closable(job, left())
    offers = {one["state"]: one["why_words"] for one in job.ask("close_states", off_before=[left()])}
    assert offers["proven"].startswith("It was left off at an earlier visit and stands off: put it back in service")
    assert offers["waiting_part"] == "Say which part. What was left off stands off until it is put back."


def test_put_back_by_name_it_is_closed_as_running_and_another_entry_still_stands_in_the_way(job):
    proven(gate_passed(may_be_fired(job))).add("put_back", {"words": "held", "left_off_ids": ["left1"]}, schema=2)
    assert "proven" in closable(job, left(1))
    assert not closable(job, left(1), left(2)) & set(RUNNING)


def test_another_heater_of_the_address_stands_in_nobodys_way_once_both_are_described(job):
    may_be_fired(job)
    elsewhere = left(appliances=["upstairs"])
    assert not advice(job, elsewhere)["may_fire"]["ok"]  # nobody said which heater this is
    job.add("appliance_described", {"appliance_id": "cellar", "kind": "power_vent"})
    told = advice(job, elsewhere)
    assert told["may_fire"]["ok"]
    assert [one["other_heater"] for one in told["off_before"]] == [True]
    assert not advice(job, left(appliances=["cellar"]))["may_fire"]["ok"]
    assert not advice(job, left(appliances=["cellar", "upstairs"]))["may_fire"]["ok"]  # which of the two, nobody knows
    assert "proven" in closable(proven(job), elsewhere)
