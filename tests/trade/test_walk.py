"""The walk: gate first, then eye, hand, meter, gauge, analyser; nothing that fires before it may; one line of why."""

from __future__ import annotations

import json
import random

import pytest

from tests.trade.making import answered, event
from webapp.trade.phone import call

SENSES = ["eye", "hand", "meter", "gauge", "analyser"]


class Walk:
    """A technician who answers what is asked: the normal outcome, or what `seen` says."""

    def __init__(self, ask, procedure, seen=None):
        self.ask, self.procedure, self.seen = ask, procedure, seen or {}
        self.checks = {check["id"]: check for check in procedure["checks"]}
        self.events = [event(1, "job_opened", {"procedure_hash": procedure["hash"]})]
        self.asked = []

    def step(self):
        answer = self.ask("step", {"procedure_hash": self.procedure["hash"], "events": self.events})["ok"]
        self.record, self.advice = answer["record"], answer["advice"]
        return self.advice

    def add(self, kind, body, **envelope):
        self.events.append(event(len(self.events) + 1, kind, body, **envelope))

    def answer(self, check, outcome=None, **envelope):
        outcome = outcome or self.seen.get(check) or self.checks[check]["outcomes"][0]["id"]
        self.asked.append(check)
        if self.checks[check]["from_event"]:
            self.add("code_read", {"shown": outcome})
        else:
            self.events.append(answered(len(self.events) + 1, check, outcome, **envelope))

    def go(self, until=None, most=80):
        for _ in range(most):
            advice = self.step()
            check = advice["gate"]["next_check"] or (advice["next"] or {}).get("check")
            if check is None or check == until or advice["gate"]["state"] == "stopped":
                return check
            self.answer(check)
        pytest.fail("the walk does not end")


def here(name, args):
    return json.loads(call(name, json.dumps(args)))


@pytest.fixture
def walk(power_vent):
    return lambda **seen: Walk(here, power_vent, seen)


@pytest.mark.parametrize("seen", [{}, {"watch_cycle": "never_makes", "suction_at_switch": "short"}])
def test_both_engines_walk_the_same_way_to_the_end(seen, both, power_vent):
    one = Walk(both, power_vent, seen)
    one.go()
    assert len(one.asked) > 30


def test_the_gate_comes_first_and_in_its_order(shipped):
    one = Walk(here, shipped)
    while one.step()["next"] is None:
        one.answer(one.advice["gate"]["next_check"])
    assert one.asked == shipped["gate"]
    assert one.advice["gate"] == {"state": "passed", "next_check": None, "stop_words": None}


def test_nothing_is_asked_while_the_gate_is_open(walk):
    one = walk()
    assert one.step()["next"] is None


@pytest.mark.parametrize(
    ("check", "outcome"),
    [("smell_of_gas", "smell"), ("symptoms", "somebody"), ("scene", "wet_or_failing"), ("co_room", "leave")],
)
def test_a_finding_that_stops_ends_the_walk_with_its_words(check, outcome, walk):
    one = walk(**{check: outcome})
    one.go()
    assert one.advice["gate"]["state"] == "stopped"
    assert one.advice["gate"]["stop_words"]
    assert one.advice["next"] is None


def test_one_persons_stop_is_not_lifted_by_anothers_all_clear(walk):
    one = walk()
    one.answer("smell_of_gas", "smell")
    one.answer("smell_of_gas", "no_smell", person_id="bo")
    assert one.step()["gate"]["state"] == "stopped"


def test_a_new_arrival_asks_the_gate_plug_and_gas_anew_and_keeps_what_was_found(walk):
    one = walk()
    one.add("arrived", {})
    one.go(until="sensing_tube")
    one.answer("plug_out")
    one.answer("terminal", "nest_or_debris")
    ranked = one.step()["ranking"]
    one.add("arrived", {}, person_id="bo", device_id="d2")
    advice = one.step()
    assert advice["gate"] == {"state": "open", "next_check": "smell_of_gas", "stop_words": None}
    assert advice["next"] is None
    assert "plug_out" in advice["available"]
    assert advice["ranking"] == ranked
    assert one.go(until="joints") == "joints"
    assert one.asked.count("smell_of_gas") == 2
    assert one.asked.count("terminal") == 1


def test_a_stop_of_another_day_is_lifted_by_looking_again_not_by_arriving(walk):
    one = walk()
    one.answer("smell_of_gas", "smell")
    assert one.step()["gate"]["state"] == "stopped"
    one.add("arrived", {})
    assert one.step()["gate"]["state"] == "open"
    one.answer("smell_of_gas", "smell")
    assert one.step()["gate"]["state"] == "stopped"


def test_a_gate_check_that_could_not_be_done_is_asked_again(walk):
    one = walk()
    one.events.append(answered(2, "smell_of_gas", None, "cannot_tell"))
    assert one.step()["gate"] == {"state": "open", "next_check": "smell_of_gas", "stop_words": None}


def test_a_code_that_could_not_be_read_does_not_hold_up_the_walk_and_counts_when_read_after_all(walk):
    one = walk()
    one.go(until="control_code")
    one.events.append(answered(len(one.events) + 1, "control_code", None, "no_access"))
    assert one.step()["gate"]["state"] == "passed"
    one.add("code_read", {"shown": "dark"})
    one.step()
    assert one.advice["gate"]["state"] == "passed"
    history = here("history_entry", {"procedure_hash": one.procedure["hash"], "events": one.events})["ok"]
    assert [line["words"] for line in history["found"]] == ["Dark"]


def test_the_code_is_read_before_anything_is_unplugged(walk):
    one = walk()
    one.go()
    unplugging = [one.asked.index(check) for check in ("plug_out", "connectors", "outlet") if check in one.asked]
    assert unplugging
    assert one.asked.index("control_code") < min(unplugging)


def test_looks_come_before_touches_before_meter_before_gauge(walk):
    """First of each sense; what opens a check, or is on the way, may come in a later sense's turn."""
    one = walk(watch_cycle="never_makes", suction_at_switch="short")
    one.go()
    first = {}
    for position, check in enumerate(one.asked[6:]):
        first.setdefault(one.checks[check]["sense"], position)
    order = [sense for sense in SENSES if sense in first]
    assert [first[sense] for sense in order] == sorted(first[sense] for sense in order)


def test_the_walk_takes_in_tube_terminal_run_warmth_limit_and_suction(walk):
    """Of a heater that never makes and breathes weakly; where the breath is strong no vent is parted for a ring."""
    one = walk(watch_cycle="never_makes", plume="weak", suction_at_switch="short")
    one.go()
    for check in (
        "sensing_tube",
        "terminal",
        "elbows",
        "restrictor",
        "vent_warmth",
        "limit_continuity",
        "suction_at_switch",
    ):
        assert check in one.asked, check


def test_dead_tests_come_before_live_ones_and_leads_beep_before_the_limit(walk):
    one = walk(watch_cycle="never_makes", suction_at_switch="short")
    one.go()
    place = one.asked.index
    assert place("vent_warmth") < place("limit_continuity")
    assert place("plug_out") < place("leads_beep") < place("limit_continuity") < place("chain_volts")
    assert place("tap_type") < place("suction_at_switch")
    assert place("gas_off") < place("suction_at_switch")


@pytest.mark.parametrize("seed", range(6))
def test_nothing_fires_before_all_that_must_stand_recorded_stands(seed, walk):
    chance = random.Random(seed)
    one = walk()
    for _ in range(60):
        advice = one.step()
        check = advice["gate"]["next_check"] or (advice["next"] or {}).get("check")
        if check is None or advice["gate"]["state"] == "stopped":
            break
        offered = advice["available"] + ([advice["next"]["check"]] if advice["next"] else [])
        if not advice["may_fire"]["ok"]:
            assert not [name for name in offered if one.checks[name]["fires"]]
            assert advice["may_fire"]["missing"]
        safe = [o["id"] for o in one.checks[check]["outcomes"] if not o["stop_words"]]
        one.answer(check, chance.choice(safe))


def test_after_a_blocked_terminal_nothing_fires_until_it_is_cleared(walk):
    one = walk(terminal="nest_or_debris", plume="weak", suction_at_switch="short", vent_parted="comes_up")
    one.go()
    assert "Terminal seen and clear" in one.advice["may_fire"]["missing"]
    assert one.advice["ranking"][0]["cause"] == "terminal_blocked"
    one.add("cause_named", {"cause": "terminal_blocked"})
    one.add("repair_made", {"action": "clear_terminal"})
    one.answer("terminal", "clear")
    for check in ("joints", "slope", "burn_marks", "manual_limit", "tp_valve"):
        if check not in one.asked:
            one.answer(check)
    advice = one.step()
    assert advice["may_fire"] == {"ok": True, "missing": []}
    assert advice["ranking"][0]["cause"] == "terminal_blocked"  # what was found is not forgotten


def test_what_must_always_be_seen_is_seen_before_the_walk_concludes(walk, power_vent):
    one = walk(sensing_tube="off_or_split")
    one.go()
    for check in power_vent["checks"]:
        if check["always"]:
            assert check["id"] in one.asked, check["id"]
    assert one.advice["conclude"]["ready"]
    assert one.advice["conclude"]["cause"] == "tube_off"


def test_a_check_that_two_people_saw_differently_is_offered_again_and_says_so(walk):
    one = walk()
    one.go(until="terminal")
    one.answer("terminal", "clear")
    before = one.step()["ranking"]
    one.answer("terminal", "iced", person_id="bo")
    advice = one.step()
    assert "terminal" in advice["available"]
    assert advice["ranking"] != before
    one.go(until="terminal")
    assert one.advice["next"] == {"check": "terminal", "why_words": "Two people saw this differently: look again."}


def test_a_check_that_could_not_be_done_is_no_evidence_and_not_offered(walk):
    one = walk()
    one.go(until="sensing_tube")
    before = {line["cause"]: line["p"] for line in one.advice["ranking"]}
    one.events.append(answered(len(one.events) + 1, "sensing_tube", None, "no_access"))
    advice = one.step()
    assert {line["cause"]: line["p"] for line in advice["ranking"]} == before
    assert "sensing_tube" not in advice["available"]


def test_a_check_that_says_almost_nothing_is_set_aside_and_stays_available(walk):
    one = walk(sensing_tube="off_or_split")
    one.go()
    assert one.advice["aside"]
    assert set(one.advice["aside"]) <= set(one.advice["available"])


def test_a_need_that_was_answered_no_closes_what_waits_for_it(walk):
    one = walk(leads_beep="silent")
    one.go()
    assert "limit_continuity" not in one.asked
    blocked = {line["check"]: line["missing_words"] for line in one.advice["blocked"]}
    assert "Leads beeped first" in blocked["limit_continuity"]


@pytest.mark.parametrize(("check", "outcome"), [("gas_off", "cannot_shut"), ("plug_out", "not_dead")])
def test_what_cannot_be_made_safe_to_touch_ends_the_walk_until_it_is_looked_at_again(check, outcome, walk):
    one = walk(**{check: outcome})
    assert one.go() == check
    assert one.asked[-1] == check
    assert one.advice["gate"]["state"] == "stopped"
    assert one.advice["gate"]["stop_words"].endswith("Tell the customer and the office.") or (
        one.advice["gate"]["stop_words"].endswith("tell the customer and the office.")
    )
    one.answer("outlet")  # power, and then a flame, by way of the list of all checks
    one.answer("watch_cycle", "never_makes")
    assert one.step()["gate"]["state"] == "stopped"  # going on all the same takes nothing back
    last = [line for line in one.events if line["body"].get("check") == check][-1]
    one.answer(check, one.checks[check]["outcomes"][0]["id"], replaces=[last["id"]])
    assert one.step()["gate"]["state"] == "passed"
    assert one.advice["unsafe"] == []


def test_a_plug_that_cannot_be_reached_is_not_asked_for_over_and_over(walk):
    one = walk()
    one.go(until="sensing_tube")
    one.answer("plug_out")
    one.answer("outlet")  # power again
    assert "plug_out" in one.step()["available"]
    one.events.append(answered(len(one.events) + 1, "plug_out", None, "no_access", person_id="bo"))
    assert "plug_out" not in one.step()["available"]
    blocked = {line["check"]: line["missing_words"] for line in one.advice["blocked"]}
    assert "Plug out and proved dead" in blocked["connectors"]  # what stood before the power does not stand again


@pytest.mark.parametrize("check", ["plug_out", "gas_off"])
def test_what_whoever_is_here_may_not_do_is_asked_once_and_of_the_next_who_comes(check, walk):
    one = walk()
    one.go(until="sensing_tube")
    asked = 0
    while (now := one.go(until=check)) == check:
        asked += 1
        assert asked == 1, f"{check} is asked again"
        body = {"check": check, "outcome": None, "could_not": "not_allowed"}
        one.events.append(event(len(one.events) + 1, "check_answered", body, schema=2))
    assert now is None
    assert asked == 1
    one.add("arrived", {}, person_id="bo", device_id="d2")
    assert one.go(until=check) == check


def test_whoever_comes_later_looks_anew_at_what_could_not_be_made_safe(walk):
    one = walk(plug_out="not_dead")
    one.go()
    one.add("arrived", {}, person_id="bo", device_id="d2")
    assert one.step()["gate"]["state"] == "open"
    assert one.advice["unsafe"] == ["Plug out: Still live"]  # found, and not yet looked at again
    one.seen = {}
    one.go(until="plug_out")
    live = next(event["id"] for event in one.events if event["body"].get("outcome") == "not_dead")
    one.answer("plug_out", "proved_dead", person_id="bo", device_id="d2")
    assert one.step()["gate"]["state"] == "stopped"  # bo had not heard of it
    one.answer("plug_out", "proved_dead", person_id="bo", device_id="d2", replaces=[live])
    assert one.step()["gate"]["state"] == "passed"
    assert one.advice["unsafe"] == []
    assert "connectors" in one.advice["available"]


@pytest.mark.parametrize("could_not", [False, True])
@pytest.mark.parametrize(("check", "outcome"), [("gas_off", "cannot_shut"), ("plug_out", "not_dead")])
def test_arriving_anew_lifts_no_stop_and_brings_no_flame_and_no_live_test_near(check, outcome, could_not, walk):
    one = walk()
    one.add("arrived", {})
    for need in one.procedure["may_fire"]:
        if not need.get("if_answered"):
            one.answer(need["check"], need["outcomes"][0])
    one.answer(check, outcome)
    one.add("arrived", {})
    if could_not:
        one.events.append(answered(len(one.events) + 1, check, None, "no_tool"))
    assert one.step()["gate"]["next_check"] == one.procedure["gate"][0]  # a smell of gas comes before the plug
    for name in one.procedure["gate"]:
        one.answer(name)
    advice = one.step()
    assert (advice["gate"]["state"], advice["gate"]["next_check"]) == ("stopped", check)
    assert not advice["may_fire"]["ok"]
    available = [one.checks[name] for name in advice["available"]]
    assert not [known["id"] for known in available if known["fires"]]
    if check == "plug_out":
        assert not [known["id"] for known in available if known["live"] and known["sense"] == "meter"]
    one.answer(check)
    assert one.step()["gate"]["state"] == "passed"
    assert one.advice["may_fire"]["ok"]
    assert one.advice["unsafe"] == []


def test_a_limit_found_open_raises_its_parents_not_the_limit_alone(walk):
    """A limit that opened has a reason: restriction, closed dilution air, a hot tank. Source: docs/trade.md."""
    one = walk()
    one.go(until="sensing_tube")
    before = {line["cause"]: line["p"] for line in one.advice["ranking"]}
    one.answer("chain_volts", "stops_at_limit")
    after = {line["cause"]: line["p"] for line in one.step()["ranking"]}
    parents = (
        "terminal_blocked",
        "run_over_limit",
        "water_in_sag",
        "elbows_close",
        "restrictor_wrong",
        "dilution_closed",
    )
    for cause in parents:
        assert after[cause] > before[cause], cause
    assert after["limit_failed"] < sum(after[cause] for cause in parents)


def test_a_failed_proof_sends_the_walk_on_to_the_next_cause(walk):
    one = walk(sensing_tube="off_or_split")
    one.go()
    one.add("cause_named", {"cause": "tube_off"})
    one.add("repair_made", {"action": "new_tube"})
    one.add("proof_run", {"passed": False, "minutes": 4, "restarts": 0, "looks_done": []})
    advice = one.step()
    held = next(line for line in advice["ranking"] if line["cause"] == "tube_off")
    assert held["p"] < 0.95
    one.go()
    assert one.asked[-1] != "sensing_tube"


def test_no_line_of_why_names_a_cause(walk, power_vent):
    words = {cause["words"].lower() for cause in power_vent["causes"]}
    one = walk(watch_cycle="never_makes", suction_at_switch="short")
    for _ in range(60):
        advice = one.step()
        check = advice["gate"]["next_check"] or (advice["next"] or {}).get("check")
        if check is None:
            break
        if advice["next"]:
            assert 0 < len(advice["next"]["why_words"]) < 110
            assert not [one_of for one_of in words if one_of in advice["next"]["why_words"].lower()]
        one.answer(check)


def test_every_walk_ends_whatever_is_seen(shipped):
    chance = random.Random(7)
    undone = {check["id"] for check in shipped["checks"] if check["undone_by"]}
    for _ in range(20):
        one = Walk(here, shipped)
        for check in shipped["checks"]:
            safe = [outcome["id"] for outcome in check["outcomes"] if not outcome["stop_words"]]
            one.seen[check["id"]] = chance.choice(safe)
        one.go()
        again = {check for check in one.asked if one.asked.count(check) > 1}
        assert again <= undone


def test_nothing_fires_before_all_of_may_fire_stands(shipped):
    """Whatever is seen on the way: when a check that fires is offered, every need stands, of its own and of all."""
    chance = random.Random(11)
    fired = 0
    for _ in range(50):
        one = Walk(here, shipped)
        for _ in range(80):
            advice = one.step()
            check = advice["gate"]["next_check"] or (advice["next"] or {}).get("check")
            if check is None:
                break
            if one.checks[check]["fires"]:
                fired += 1
                now = {line["check"]: line["now_outcome"] for line in one.record["checks"]}
                for need in shipped["may_fire"]:
                    met = one.checks[need["check"]].get("met_by")  # a pilot seen burning stands for the wait
                    stands = now.get(need["check"]) in need["outcomes"] or (
                        met and now.get(met["check"]) == met["outcome"]
                    )
                    assert stands or (need.get("if_answered") and need["check"] not in now), (check, need["check"])
            safe = [outcome["id"] for outcome in one.checks[check]["outcomes"] if not outcome["stop_words"]]
            one.answer(check, safe[0] if chance.random() < 0.8 else chance.choice(safe))
    assert fired > 20


def test_plug_out_is_asked_again_after_a_check_under_power(walk):
    one = walk()
    one.go(until="sensing_tube")
    one.answer("plug_out")
    assert "connectors" in one.step()["available"]
    one.answer("outlet")
    advice = one.step()
    assert "plug_out" in advice["available"]
    assert "connectors" in [line["check"] for line in advice["blocked"]]
    one.answer("plug_out")
    assert "connectors" in one.step()["available"]


def test_gas_off_is_asked_again_after_a_check_that_fires(walk):
    one = walk()
    one.go(until="sensing_tube")
    one.answer("gas_off")
    one.answer("plume")
    assert "gas_off" not in one.step()["available"]  # the blower alone undoes nothing
    one.answer("watch_cycle", "never_makes")
    assert "gas_off" in one.step()["available"]


@pytest.mark.parametrize("parting", ["restrictor", "vent_parted"])
def test_nobody_parts_the_vent_with_gas_or_plug_on(parting, walk):
    one = walk()
    one.go(until="sensing_tube")
    for check in ("tap_type", "gas_off", "suction_at_switch", "gas_off", "plug_out"):
        assert parting not in one.step()["available"]
        one.answer(check)
    assert parting in one.step()["available"]
    one.answer("outlet")  # power again
    assert parting not in one.step()["available"]


@pytest.mark.parametrize("parting", ["restrictor", "vent_parted"])
def test_the_joints_are_seen_again_and_nothing_fires_once_the_vent_was_parted(parting, walk):
    one = walk()
    one.go()
    if not one.advice["may_fire"]["ok"]:
        one.answer("joints", "sound")
    assert one.step()["may_fire"]["ok"]
    one.answer(parting)
    advice = one.step()
    assert advice["may_fire"] == {"ok": False, "missing": ["Every joint of the run seen and sound"]}
    assert "joints" in advice["available"]
    one.answer("joints", "sound")
    assert one.step()["may_fire"]["ok"]
