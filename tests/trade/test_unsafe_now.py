"""What is found unsafe is said with the very next advice, and for as long as it stands."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from webapp.procedures import compiled, list_procedures


def unsafe(call, procedure, *events):
    opened = event(1, "job_opened", {"procedure_hash": procedure["hash"]})
    return call("step", {"procedure_hash": procedure["hash"], "events": [opened, *events]})["ok"]["advice"]["unsafe"]


def test_each_outcome_marked_unsafe_is_named_at_once_and_no_other(shipped, both):
    marked = 0
    for check in shipped["checks"]:
        if check["from_event"]:
            continue
        for outcome in check["outcomes"]:
            said = unsafe(both, shipped, answered(2, check["id"], outcome["id"]))
            if outcome.get("unsafe"):
                marked += 1
                assert said == [f"{check['title']}: {outcome['words']}"]
            else:
                assert said == [], (check["id"], outcome["id"])
    assert marked >= 15


def test_it_goes_when_the_check_is_answered_anew_and_stays_through_another_arrival(both, power_vent):
    parted = answered(2, "joints", "parted")
    line = ["Joints and pipe: Parted, cracked or unglued"]
    assert unsafe(both, power_vent, parted, event(3, "arrived", {})) == line
    both_found = unsafe(both, power_vent, parted, answered(3, "terminal", "iced"))
    assert both_found == ["Terminal and screen: Iced or snowed in", *line]  # in the procedure's order
    assert unsafe(both, power_vent, parted, answered(3, "joints", "sound", replaces=["e002"])) == []


def fires_now(call, procedure, *events):
    """The checks that run the burner and are offered, where the gate lets the walk go on."""
    opened = event(1, "job_opened", {"procedure_hash": procedure["hash"]})
    advice = call("step", {"procedure_hash": procedure["hash"], "events": [opened, *events]})["ok"]["advice"]
    if advice["gate"]["state"] == "stopped":
        return []
    fires = {check["id"] for check in procedure["checks"] if check["fires"]}
    return [check for check in advice["available"] if check in fires]


def all_in_order(procedure):
    """What may be fired, by its answers: relit, and every check that must stand before."""
    before = [(need["check"], need["outcomes"][0]) for need in procedure["may_fire"]]
    if procedure["name"] == "standing_pilot":
        before = [pair for pair in before if pair[0] != "gas_off"]  # gas off puts the pilot out again
        before += [("as_found", "burning"), ("relight_watch", "runs")]
    else:
        before = [pair for pair in before if pair[0] != "gas_off"]
    return [answered(number, check, outcome) for number, (check, outcome) in enumerate(before, 2)]


def test_nothing_but_its_own_new_test_fires_while_something_unsafe_stands(shipped, both):
    before = all_in_order(shipped)
    assert len(fires_now(both, shipped, *before)) >= 4
    for check in shipped["checks"]:
        for outcome in check["outcomes"]:
            if check["from_event"] is None and outcome.get("unsafe"):
                found = answered(80, check["id"], outcome["id"])
                assert set(fires_now(both, shipped, *before, found)) <= {check["id"]}, (check["id"], outcome["id"])


def test_a_plugged_intake_keeps_the_burner_off_until_it_is_clean_or_something_was_repaired(both, power_vent):
    plugged = [*all_in_order(power_vent), answered(80, "air_intake", "plugged")]
    advice = both("step", {"procedure_hash": power_vent["hash"], "events": plugged})["ok"]["advice"]
    words = "Put right first: Air to the burner: Plugged or closed in"
    assert words in advice["may_fire"]["missing"]
    assert fires_now(both, power_vent, *plugged, answered(81, "air_intake", "open"))
    assert fires_now(both, power_vent, *plugged, event(81, "repair_made", {"action": "clear_air"}))
    found_after = [event(79, "repair_made", {"action": "other"}), answered(80, "air_intake", "plugged")]
    assert not fires_now(both, power_vent, *all_in_order(power_vent), *found_after)


def test_no_repair_lets_the_burner_run_while_what_stops_the_visit_stands(shipped, both):
    for check in shipped["checks"]:
        for outcome in check["outcomes"]:
            if outcome["stop_words"] is None or check["from_event"] is not None:
                continue
            found = answered(80, check["id"], outcome["id"])
            stopped = [*all_in_order(shipped), found, event(81, "repair_made", {"action": "other"})]
            may_fire = both("step", {"procedure_hash": shipped["hash"], "events": stopped})["ok"]["advice"]["may_fire"]
            assert not may_fire["ok"], (check["id"], outcome["id"])


def test_nothing_that_stops_the_visit_is_lifted_by_a_repair_a_run_or_an_arrival(shipped, both):
    after = [
        event(81, "repair_made", {"action": "other"}),
        event(82, "proof_run", {"passed": True, "minutes": 30, "restarts": 3, "looks_done": [], "co_room_ppm": 0}),
        event(83, "arrived", {}),
    ]
    for check in shipped["checks"]:
        for outcome in check["outcomes"]:
            if outcome["stop_words"] is None:
                continue
            for until in range(1, len(after) + 1):
                found = [*all_in_order(shipped), answered(80, check["id"], outcome["id"]), *after[:until]]
                advice = both("step", {"procedure_hash": shipped["hash"], "events": found})["ok"]["advice"]
                offers = both("close_states", {"procedure_hash": shipped["hash"], "events": found})["ok"]
                where = (check["id"], outcome["id"], until)
                assert advice["gate"]["state"] != "passed", where
                assert not advice["may_fire"]["ok"], where
                running = ("proven", "not_proven", "not_seen_today")
                assert [one["state"] for one in offers if one["offered"] and one["state"] in running] == [], where


def test_a_smell_that_stays_after_the_wait_ends_the_visit(both, standing_pilot):
    events = [answered(2, "gas_cleared", "smell_stays")]
    gate = both("step", {"procedure_hash": standing_pilot["hash"], "events": events})["ok"]["advice"]["gate"]
    assert gate["state"] == "stopped"
    assert "Everybody out now" in gate["stop_words"]


@pytest.mark.parametrize("name", list_procedures())
def test_the_meter_is_on_and_zeroed_before_anybody_stands_at_the_heater(name):
    gate = compiled(name)["gate"]
    assert gate[:3] == ["smell_of_gas", "symptoms", "co_meter"]
    assert gate.index("co_meter") < gate.index("scene")
