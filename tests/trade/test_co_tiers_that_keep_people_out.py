"""A step of a CO rule set whose words keep people out of the room holds the gate, whichever firm chose it."""

import pytest

from tests.trade.making import answered, event
from webapp.procedures import compiled
from webapp.trade.co_ladders import LADDERS

KEEP_OUT = ("outside", "out now", "nobody goes")
STEPS = [(ladder["id"], step["from_ppm"], step["words"]) for ladder in LADDERS for step in ladder["steps"]]
OUT = [(ladder, ppm) for ladder, ppm, words in STEPS if any(one in words.lower() for one in KEEP_OUT)]


def propose(both, procedure, ppm, ladder):
    readings = [{"quantity": "co_room_ppm", "value": ppm}]
    asked = {"check": "co_room", "readings": readings, "answers": [], "ladder": ladder}
    return both("propose_outcome", {"procedure_hash": procedure["hash"], **asked})["ok"]


def gate_after(both, procedure, *said):
    """The gate of a visit on which `said`, as (ppm, outcome), was noted of the room's CO."""
    events = [event(1, "job_opened", {"procedure_hash": procedure["hash"]})]
    for check in procedure["gate"]:
        normal = next(one for one in procedure["checks"] if one["id"] == check)["outcomes"][0]["id"]
        if check != "co_room":
            events.append(answered(len(events) + 1, check, normal))
    for ppm, outcome in said:
        body = {"check": "co_room", "quantity": "co_room_ppm", "value": ppm, "place": "room"}
        events.append(event(len(events) + 1, "reading_taken", body))
        events.append(answered(len(events) + 1, "co_room", outcome))
    asked = {"procedure_hash": procedure["hash"], "events": events, "off_before": [], "found": []}
    return both("step", asked)["ok"]["advice"]["gate"]


def test_there_are_steps_that_keep_people_out_in_every_rule_set():
    assert {ladder for ladder, _ in OUT} == {ladder["id"] for ladder in LADDERS}


@pytest.mark.parametrize(("ladder", "ppm"), OUT)
def test_where_people_are_kept_out_nothing_can_be_answered_that_lets_the_walk_go_on(shipped, ladder, ppm, both):
    (check,) = [one for one in shipped["checks"] if one["id"] == "co_room"]
    proposed = propose(both, shipped, ppm, ladder)
    stops = [one["id"] for one in check["outcomes"] if one["stop_words"] is not None]
    left = [one["id"] for one in check["outcomes"] if one["id"] not in proposed["excluded"]]
    assert proposed["outcome"] in stops
    assert set(left) <= set(stops)
    gate = gate_after(both, shipped, (ppm, proposed["outcome"]))
    assert (gate["state"], gate["next_check"]) == ("stopped", "co_room")


def test_people_wait_outside_with_words_of_their_own_until_it_is_read_again(shipped, both):
    assert propose(both, shipped, 40, "protocol_9_36_70")["outcome"] == "outside"
    held = gate_after(both, shipped, (40, "outside"))
    assert held["state"] == "stopped"
    for words in ("waits outside", "read it again", "number"):
        assert words in held["stop_words"]
    assert "Call emergency services" not in held["stop_words"]
    assert gate_after(both, shipped, (40, "outside"), (12, "raised"))["state"] == "passed"
    assert gate_after(both, shipped, (40, "outside"), (38, "outside"))["state"] == "stopped"


def test_a_version_that_knows_no_waiting_has_people_leave(both):
    older = {**compiled("power_vent"), "hash": "of an earlier day"}
    (check,) = [one for one in older["checks"] if one["id"] == "co_room"]
    check["outcomes"] = [one for one in check["outcomes"] if one["id"] != "outside"]
    check["rows"].pop("outside", None)
    assert "ok" in both("load_procedure", {"procedure": older})
    assert propose(both, older, 40, "protocol_9_36_70")["outcome"] == "leave"
    assert propose(both, older, 40, "code_appendix")["outcome"] == "raised"
