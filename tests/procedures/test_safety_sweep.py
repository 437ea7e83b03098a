"""The safety sweep over every shipped procedure, and that it catches what is planted.

What must be said where is trade practice and 29 CFR 1910.147 and 1910.333 (lock-out, and no work on live parts without
need); the words that are looked for are ours.
"""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path

import pytest

from tests.trade.making import answered, event
from webapp.procedures import compiled, list_procedures
from webapp.procedures.loader import source
from webapp.procedures.validate import problems
from webapp.procedures.validate_power_back import power_back_problems
from webapp.procedures.validate_safety import safety_problems
from webapp.procedures.validate_words import BANNED, safety_word_problems
from webapp.trade.phone import call

NAMES = list_procedures()
WRITTEN = source("power_vent")
SHELL = Path(__file__).parents[2] / "service_worker" / "shell"
OUR_OWN_USE = re.compile(r"\bunit\b|callback|\?disabled=|aria-disabled", re.IGNORECASE)


def texts(value):
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from texts(one)
    elif isinstance(value, list):
        for one in value:
            yield from texts(one)


@pytest.fixture
def good():
    return copy.deepcopy(WRITTEN)


def check(procedure, check_id):
    return next(one for one in procedure["checks"] if one["id"] == check_id)


@pytest.mark.parametrize("name", NAMES)
def test_no_text_offers_a_jumper_or_any_other_way_past_a_safety(name):
    said = list(texts(dict(compiled(name))))
    assert len(said) > 1000
    assert [text for text in said if BANNED.search(text)] == []


def test_nor_does_any_text_of_the_phones_own():
    """Screens, sketches and the glossary; in code a unit is one of measurement, and a button is disabled."""
    ours = [path for kind in ("ts", "json", "yaml") for path in sorted(SHELL.rglob(f"*.{kind}"))]
    lines = [line for path in ours if "generated" not in path.parts for line in path.read_text("utf-8").splitlines()]
    assert len(lines) > 5000
    assert [line for line in lines if BANNED.search(OUR_OWN_USE.sub("", line))] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_check_has_why_how_normal_caution_and_minutes(name):
    for one in compiled(name)["checks"]:
        assert all(one[part] for part in ("why", "how", "normal", "caution", "minutes", "question", "sketch")), one[
            "id"
        ]
        assert len(one["how"]) <= 3


@pytest.mark.parametrize("name", NAMES)
def test_the_sweep_finds_nothing_in_what_is_shipped(name):
    assert list(safety_problems(source(name))) == []


@pytest.mark.parametrize("name", NAMES)
def test_every_live_check_carries_the_shock_caution(name):
    live = [one for one in compiled(name)["checks"] if one["live"]]
    assert live or name == "standing_pilot"  # that heater has no mains power
    assert [one["id"] for one in live if "shock" not in one["caution"].lower()] == []


@pytest.mark.parametrize("name", NAMES)
def test_each_need_of_firing_by_itself_holds_every_flame_back(name):
    """All answered as normal but one: then nothing that fires can be done, by the engine and not by its words alone."""
    procedure = compiled(name)
    firing = {one["id"] for one in procedure["checks"] if one["fires"]}
    normal = {
        one["id"]: one["outcomes"][0]["id"]
        for one in procedure["checks"]
        if not one["fires"] and not one["from_event"] and not undoes(one)
    }
    assert len(firing) >= 6
    assert firing & set(available(procedure, normal))
    for need in procedure["may_fire"]:
        if need["check"] in normal and not need.get("if_answered"):
            left_out = {need["check"], *met_by(procedure, need["check"])}
            rest = {check: outcome for check, outcome in normal.items() if check not in left_out}
            assert not firing & set(available(procedure, rest)), need["check"]


@pytest.mark.parametrize("name", NAMES)
def test_each_outcome_that_firing_does_not_allow_holds_every_flame_back(name):
    procedure = compiled(name)
    firing = {one["id"] for one in procedure["checks"] if one["fires"]}
    checks = {one["id"]: one for one in procedure["checks"]}
    normal = {
        one["id"]: one["outcomes"][0]["id"]
        for one in procedure["checks"]
        if not one["fires"] and not one["from_event"] and not undoes(one)
    }
    for need in procedure["may_fire"]:
        for outcome in checks[need["check"]]["outcomes"]:
            if outcome["id"] not in need["outcomes"] and need["check"] in normal:
                found = set(available(procedure, {**normal, need["check"]: outcome["id"]})) & firing
                assert not found, (need["check"], outcome["id"], found)


# What cannot be made safe to touch: the check, its answer, and how it is said on every screen.
NEVER_SAFE = [
    ("power_vent", "plug_out", "not_dead", "Plug out: Still live"),
    ("power_vent", "gas_off", "cannot_shut", "Gas off: Cannot be shut"),
    ("standing_pilot", "gas_off", "cannot_shut", "Gas off: Cannot be shut"),
]


@pytest.mark.parametrize(("name", "check_id", "outcome", "said"), NEVER_SAFE)
def test_what_cannot_be_made_safe_to_touch_ends_the_walk_and_keeps_every_hand_and_flame_away(
    name, check_id, outcome, said
):
    """Whatever else is normal: nothing that needs it dead, nothing live, nothing that fires; and it says so at once."""
    procedure = compiled(name)
    normal = {one["id"]: one["outcomes"][0]["id"] for one in procedure["checks"] if not one["from_event"]}
    waiting = {one["id"] for one in procedure["checks"] if check_id in [need["check"] for need in one["needs"]]}
    waiting |= {one["id"] for one in procedure["checks"] if one["fires"]}
    if check_id == "plug_out":
        waiting |= {one["id"] for one in procedure["checks"] if one["live"] and one["sense"] == "meter"}
    assert len(waiting) >= 9
    before = {one: normal[one] for one in normal if one not in waiting and one != check_id}
    advice = advised(procedure, {**before, check_id: outcome})
    assert advice["gate"]["state"] == "stopped"
    assert advice["gate"]["next_check"] == check_id
    assert advice["next"] is None
    assert advice["unsafe"] == [said]
    assert not advice["may_fire"]["ok"]
    assert not waiting & set(advice["available"])
    assert waiting <= {one["check"] for one in advice["blocked"]}


def undoes(check):
    """Something answered before it is asked anew after it."""
    return check["powered"] or check["parts_vent"] or check.get("puts_out", False)


def met_by(procedure, check_id):
    """The check whose answer stands for this one."""
    return [one["met_by"]["check"] for one in procedure["checks"] if one["id"] == check_id and "met_by" in one]


def available(procedure, answers):
    return advised(procedure, answers)["available"]


def advised(procedure, answers):
    events = [event(1, "job_opened", {"procedure_hash": procedure["hash"]})]
    events += [answered(number, *one) for number, one in enumerate(answers.items(), start=2)]
    args = json.dumps({"procedure": procedure, "events": events})
    return json.loads(call("step", args))["ok"]["advice"]


PLANTED = [
    "Jumper the switch for a moment.",
    "Run it with the switch jumpered to see.",
    "Jump the two spades.",
    "Short the leads of the limit.",
    "Link out the pressure switch.",
    "Prop the door switch in.",
    "By-pass the limit and watch.",
    "Bypass the switch.",
    "Bridge the two spades with a bit of wire.",
    "Join the two wires of the switch.",
    "Connect the terminals and see whether it fires.",
    "Twist the wires together for a test.",
    "Put a paper clip across it.",
    "A wire across the limit tells at once.",
    "Take the limit out of the circuit.",
    "Run it without the limit.",
    "Hold the switch closed with a finger.",
    "Wedge the door switch.",
    "Disable the sensor for the test.",
    "Ignore the code and go on.",
    "Tape over the opening.",
    "Plug the T&P valve while you test.",
    "Cap the relief valve.",
    "Just reset it and leave.",
    "It is only a nuisance trip.",
    "Block open the damper.",
    "Short across the two screws.",
    "Strap out the roll-out limit.",
    "Override the control.",
    "Fool it: cheat the switch with a bit of suction.",
]


@pytest.mark.parametrize("text", PLANTED)
def test_a_planted_way_past_a_safety_is_caught(text, good):
    check(good, "chain_volts")["how"][0] = text
    assert len(list(safety_word_problems(good))) == 1


@pytest.mark.parametrize("where", ["question", "caution", "stop_words", "proof", "look", "chain", "repair"])
def test_it_is_caught_wherever_it_stands_and_the_procedure_refused(where, good):
    text = "Bridge the two spades with a bit of wire."
    if where in ("question", "caution"):
        check(good, "chain_volts")[where] = text
    elif where == "stop_words":
        check(good, "symptoms")["outcomes"][1]["stop_words"] = text
    elif where == "proof":
        good["proofs"][0]["how"] = [text]
    elif where == "look":
        good["closing_looks"][0]["words"] = text
    elif where == "repair":
        good["repairs"][0]["words"] = text
    else:
        good["chain"][0]["shown"][0]["words"] = text
    assert [one for one in problems(good) if "may not stand in a procedure" in one]


def fires_in_silence(procedure):
    check(procedure, "watch_cycle")["caution"] = "Take care."


def a_flame_by_the_way(procedure):
    check(procedure, "sensing_tube")["how"][2] = "Let it burn a minute and look again."


def lights_it_by_the_way(procedure):
    check(procedure, "burn_marks")["question"] = "Light it: any soot?"


def live_in_silence(procedure):
    check(procedure, "chain_volts")["caution"] = "Gas stays off."


def live_for_anybody(procedure):
    check(procedure, "flame_current")["caution"] = "Shock: live. CO meter on and worn."


def tees_in_beside_live_parts(procedure):
    check(procedure, "suction_at_switch")["how"][0] = "Zero the gauge and tee in at the switch."


def looks_behind_the_panel(procedure):
    check(procedure, "wiring")["needs"] = []


def lifts_a_wire_by_the_way(procedure):
    check(procedure, "dilution_opening")["how"][2] = "Lift both wires of the limit to see behind."


def meters_a_panel_that_does_not_die(procedure):
    one = check(procedure, "chain_volts")
    one["needs"] = [need for need in one["needs"] if need["check"] != "plug_out"]


def keeps_a_flame_that_its_steps_put_out(procedure):
    check(procedure, "couple_open")["flame_stays"] = [stays("couple_open", "enough")]


def keeps_a_flame_whatever_is_seen(procedure):
    check(procedure, "pilot_flame")["flame_stays"] = [stays("relight_watch", "runs")]


def keeps_a_flame_that_spills(procedure):
    check(procedure, "draft_smoke")["flame_stays"] = [stays("draft_smoke", "spills")]


def shuts_the_gas_and_keeps_the_pilot(procedure):
    del check(procedure, "gas_off")["puts_out"]


def stays(check_id, outcome):
    return {"check": check_id, "outcomes": [outcome], "words": "Pilot burns on"}


@pytest.mark.parametrize(
    ("plants", "words"),
    [
        (keeps_a_flame_that_its_steps_put_out, "couple_open: keeps no flame"),
        (keeps_a_flame_whatever_is_seen, "pilot_flame: keeps a flame whatever is answered"),
        (keeps_a_flame_that_spills, "draft_smoke: keeps a flame after spills, which is unsafe"),
        (shuts_the_gas_and_keeps_the_pilot, "gas_off: shuts the gas, and is not marked as one that puts the pilot out"),
    ],
    ids=lambda one: getattr(one, "__name__", ""),
)
def test_a_pilot_that_may_be_out_is_not_taken_to_burn(plants, words):
    written = copy.deepcopy(source("standing_pilot"))
    plants(written)
    assert [one for one in problems(written) if words in one]


def blower_with_the_gas_on(procedure):
    check(procedure, "plume")["needs"] = []


def blower_says_nothing_of_gas(procedure):
    check(procedure, "plume")["caution"] = "Ladder and ice."


def a_new_blower_check(procedure):
    one = check(procedure, "sensing_tube")
    one["how"] = ["Call for heat and feel the tube."]


def parts_in_silence(procedure):
    check(procedure, "vent_parted")["caution"] = "Shock: live panel."


def parts_without_need(procedure):
    one = check(procedure, "vent_parted")
    one["needs"] = [need for need in one["needs"] if need["check"] != "gas_off"]


def parts_with_the_plug_in(procedure):
    one = check(procedure, "restrictor")
    one["needs"] = [need for need in one["needs"] if need["check"] != "plug_out"]


def parts_unmarked(procedure):
    del check(procedure, "restrictor")["parts_vent"]


def parts_and_believes_the_joints(procedure):
    del check(procedure, "joints")["undone_by"]


def parts_by_the_way(procedure):
    check(procedure, "slope")["how"][1] = "Part the vent and look in."


def opens_gas(procedure):
    check(procedure, "gas_pressure")["how"][0] = "Gauge on the port, soap after."


def scalds(procedure):
    check(procedure, "tp_valve")["caution"] = "Careful."


def scalds_at_the_tap(procedure):
    check(procedure, "set_point")["caution"] = "Careful."


def scalds_at_the_drain(procedure):
    one = check(procedure, "water_signs")
    one["how"] = ["Open the tank drain for a cup."]


def says_nothing(procedure):
    check(procedure, "always_so")["caution"] = None


def fires_without_a_meter(procedure):
    procedure["may_fire"] = [need for need in procedure["may_fire"] if need["check"] != "co_meter"]


def fires_with_a_missing_valve(procedure):
    for need in procedure["may_fire"]:
        if need["check"] == "tp_valve":
            need["outcomes"].append("missing_or_plugged")


@pytest.mark.parametrize(
    ("plants", "words"),
    [
        (fires_in_silence, "watch_cycle: fires the burner, and its caution does not say 'CO meter on'"),
        (a_flame_by_the_way, "sensing_tube: its steps run a flame"),
        (lights_it_by_the_way, "burn_marks: its steps run a flame"),
        (live_in_silence, "chain_volts: a live check needs a caution about shock"),
        (live_for_anybody, "flame_current: a live check with a meter is for those trained and allowed"),
        (tees_in_beside_live_parts, "suction_at_switch: its gauge is put on beside live parts"),
        (looks_behind_the_panel, "wiring: opens the panel, and does not need the plug out and proved dead"),
        (lifts_a_wire_by_the_way, "dilution_opening: opens the panel, and does not need the plug out"),
        (meters_a_panel_that_does_not_die, "chain_volts: is live, and may be done on a panel that was found live"),
        (blower_with_the_gas_on, "plume: its steps run the blower, and it does not need the gas off"),
        (blower_says_nothing_of_gas, "plume: its steps run the blower, and its caution does not say"),
        (a_new_blower_check, "sensing_tube: its steps run the blower, and it does not need the gas off"),
        (parts_in_silence, "vent_parted: parts the vent, and its caution does not say that the gas is off"),
        (parts_without_need, "vent_parted: parts the vent, and does not need gas_off"),
        (parts_with_the_plug_in, "restrictor: parts the vent, and does not need plug_out"),
        (parts_unmarked, "restrictor: parts the vent, and is not marked as one that does"),
        (parts_and_believes_the_joints, "vent_parted: parts the vent, and nothing that must stand before firing"),
        (parts_by_the_way, "slope: parts the vent, and its caution does not say that the gas is off"),
        (opens_gas, "gas_pressure: opens a gas port"),
        (scalds, "tp_valve: is about hot water"),
        (scalds_at_the_tap, "set_point: is about hot water"),
        (scalds_at_the_drain, "water_signs: is about hot water"),
        (says_nothing, "always_so: needs a caution"),
        (fires_without_a_meter, "may_fire: does not ask for co_meter"),
        (fires_with_a_missing_valve, "may_fire: tp_valve lets missing_or_plugged pass, which is unsafe"),
    ],
    ids=lambda one: getattr(one, "__name__", ""),
)
def test_what_is_planted_is_caught(plants, words, good):
    plants(good)
    assert [one for one in problems(good) if words in one], problems(good)[:5]


@pytest.mark.parametrize("name", NAMES)
def test_lock_out_names_its_rule_where_the_plug_or_the_gas_is_taken_away(name):
    """29 CFR 1910.147(a)(2)(iii)(A): plug in one's own hand; 1910.333(b)(2): fixed equipment locked and tagged."""
    checks = {one["id"]: one for one in compiled(name)["checks"]}
    assert "appendix D.4" in checks["gas_off"]["caution"]
    if "plug_out" in checks:
        assert "29 CFR 1910.147" in checks["plug_out"]["caution"]
        assert "1910.333" in checks["plug_out"]["caution"]
        assert "discharge it first (29 CFR 1910.333)" in checks["blower_amps"]["caution"]


@pytest.mark.parametrize("name", NAMES)
def test_every_check_that_runs_something_says_how_it_is_fed_again(name):
    assert list(power_back_problems(source(name))) == []


POWER_BACK = [
    ("plume", "Plug in, ", "", "plume: runs what is plugged in, and its steps do not say 'plug in'"),
    ("plume", "panel closed, ", "", "plume: runs with nobody's instrument in the panel"),
    ("watch_cycle", "gas on again by somebody licensed", "gas on", "watch_cycle: fires, and its steps do not say"),
    ("blower_volts", "Plug in, call", "Call", "blower_volts: runs what is plugged in"),
    ("call_present", "with the plug out; then plug in", "after plug in; plug out", "call_present: its steps pull the"),
    ("gas_pressure", "gas on by somebody licensed", "burner on", "gas_pressure: fires, and its steps do not say"),
]


@pytest.mark.parametrize(("check_id", "said", "instead", "problem"), POWER_BACK)
def test_a_step_that_forgets_the_plug_the_panel_or_the_gas_is_refused(check_id, said, instead, problem, good):
    one = check(good, check_id)
    assert said in " ".join(one["how"])
    one["how"] = [line.replace(said, instead) for line in one["how"]]
    assert [found for found in problems(good) if found.startswith(problem)], problems(good)


def test_the_wait_before_every_flame_says_who_opens_a_shut_cock():
    pilot = copy.deepcopy(source("standing_pilot"))
    check(pilot, "gas_cleared")["how"][2] = "Sniff at floor level again."
    found = list(power_back_problems(pilot))
    assert {one.split(":")[0] for one in found} == {
        "relight_watch", "pilot_flame", "draft_smoke", "follows_dial", "pile_loaded", "flue_gas",
    }  # fmt: skip


def test_a_couple_s_own_gas_off_is_followed_by_gas_on():
    pilot = copy.deepcopy(source("standing_pilot"))
    one = check(pilot, "couple_open")
    one["how"] = [line.replace("Gas on by somebody licensed, light", "Light") for line in one["how"]]
    assert list(power_back_problems(pilot)) == [
        "couple_open: fires, and its steps do not say 'gas on by somebody licensed'"
    ]
