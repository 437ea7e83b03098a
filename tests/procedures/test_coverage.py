"""Every cause and every check of the trade's list stands in the procedure, with its amendments.

Left: the list's own numbers (C1 to C20, K01 to K29; expert guesses of the trade). Right: ours.
"""

from __future__ import annotations

import pytest

from webapp.procedures import compiled

CAUSES = {
    "C1 terminal blocked": ["terminal_blocked"],
    "C2 water in a sag": ["water_in_sag"],
    "C3 run too long": ["run_over_limit"],
    "C4 elbows": ["elbows_close"],
    "C5 restrictor": ["restrictor_wrong"],
    "C6 tube off": ["tube_off"],
    "C7 tube wet": ["tube_wet"],
    "C8 switch": ["switch_drifted"],
    "C9 blower weak": ["blower_weak"],
    "C10 no power": ["blower_no_power"],
    "C11 limit open, a symptom of": ["limit_failed", "tank_overheats", "dilution_closed"],
    "C12 open connection": ["open_connection"],
    "C13 igniter": ["igniter_failed"],
    "C14 flame signal": ["flame_signal_weak"],
    "C15 gas": ["gas_low"],
    "C16 air starved": ["air_starved"],
    "C17 house negative": ["house_negative"],
    "C18 wind": ["wind_or_place"],
    "C19 control": ["control_failed"],
    "C20 no call": ["no_call"],
    "more: joint at the blower": ["joint_leak_at_blower"],
    "more: drain blocked": ["condensate_drain_blocked"],
    "more: water on the burner": ["water_on_burner"],
    "more: vapour sensor": ["vapour_sensor"],
    "more: temperature probe": ["temperature_probe"],
    "more: dilution closed": ["dilution_closed"],
}

CHECKS = {
    "K01 since install": ["always_so", "moved_lately"],
    "K02 only with": ["only_with"],
    "K03 gate": ["smell_of_gas", "symptoms", "co_meter", "co_room"],
    "K04 watch a cycle": ["watch_cycle"],
    "K05 terminal": ["terminal"],
    "K06 five checks": ["joints", "run_length", "elbows", "slope", "restrictor"],
    "K07 sensing tube": ["sensing_tube"],
    "K08 wiring": ["wiring"],
    "K09 air intake": ["air_intake"],
    "K10 sight glass": ["flame", "burn_marks"],
    "K11 outlet": ["outlet"],
    "K12 connectors": ["connectors"],
    "K13 blower wheel": ["blower_wheel"],
    "K14 plume": ["plume"],
    "K15 drain the tube": ["tube_drain"],
    "K16 call": ["call_present"],
    "K17 blower volts": ["blower_volts"],
    "K18 chain": ["chain_volts"],
    "K19 switch on the pump": ["switch_pump"],
    "K20 igniter, volts, ohms, amps": ["igniter_ohms", "igniter_volts"],
    "K21 flame current": ["flame_current"],
    "K22 suction": ["suction_at_switch"],
    "K23 hot run": ["suction_hot"],
    "K24 vent parted": ["vent_parted"],
    "K25 gas pressure": ["gas_pressure"],
    "K26 room pressure": ["room_pressure"],
    "K27 blower amps": ["blower_amps"],
    "K28 flue gas": ["flue_gas"],
    "K29 tap and switch end": ["tap_and_switch"],
    "code before anything is unplugged": ["control_code"],
    "warmth by hand": ["vent_warmth"],
    "limit, dead": ["limit_continuity"],
    "leads first": ["leads_beep"],
    "tap type": ["tap_type"],
    "T&P valve": ["tp_valve"],
}

# The millivolt heater: the list of its causes and checks (trade page 8f).
PILOT_CAUSES = [
    "couple_weak", "pilot_flame_weak", "intake_plugged", "tco_open", "eco_open", "gas_low", "draft_wrong",
    "control_failed", "couple_connection", "demand_or_setting", "door_not_sealed",
]  # fmt: skip
PILOT_CHECKS = [
    "relight_watch", "pilot_flame", "intake_screen", "cutoff_tripped", "burn_marks", "tco_continuity", "eco_continuity",
    "couple_open", "couple_nut", "drop_out", "couple_closed", "draft_smoke", "gas_pressure", "pile_open", "pile_loaded",
]  # fmt: skip

PROCEDURE = compiled("power_vent")
BY_ID = {check["id"]: check for check in PROCEDURE["checks"]}


def needs(check):
    return [need["check"] for need in BY_ID[check]["needs"]]


def ids(check):
    return [outcome["id"] for outcome in BY_ID[check]["outcomes"]]


@pytest.mark.parametrize("name", CAUSES)
def test_each_cause_of_the_list_is_there(name):
    assert set(CAUSES[name]) <= {cause["id"] for cause in PROCEDURE["causes"]}


@pytest.mark.parametrize("name", CHECKS)
def test_each_check_of_the_list_is_there(name):
    assert set(CHECKS[name]) <= set(BY_ID)


def test_the_list_leaves_no_cause_and_no_check_unnamed():
    """What is ours beside the list is named here, so that nothing slips in unseen."""
    causes = {cause for group in CAUSES.values() for cause in group}
    assert {cause["id"] for cause in PROCEDURE["causes"]} - causes == {"none_of_these"}
    checks = {check for group in CHECKS.values() for check in group}
    assert set(BY_ID) - checks == {
        "scene", "plug_out", "gas_off", "manual_limit", "condensate_drain", "dilution_opening", "set_point",
        "water_signs", "vapour", "probe_ohms", "terminal_place",
    }  # fmt: skip


def test_the_millivolt_heaters_list_is_there():
    pilot = compiled("standing_pilot")
    assert set(PILOT_CAUSES) <= {cause["id"] for cause in pilot["causes"]}
    assert set(PILOT_CHECKS) <= {check["id"] for check in pilot["checks"]}


def test_a_limit_opened_is_no_cause():
    assert "limit_open" not in {cause["id"] for cause in PROCEDURE["causes"]}


def test_the_terminals_outcomes_are_those_of_the_amendment_and_the_one_that_is_red_tagged():
    assert ids("terminal") == [
        "clear", "nest_or_debris", "screen_clogged", "iced", "screen_missing", "badly_placed", "at_an_opening",
        "not_original",
    ]  # fmt: skip


def test_a_terminal_at_a_window_is_unsafe_and_holds_the_burner_back():
    """Left off and tagged (trade page, section of cautions): badly placed alone does not say so."""
    (at_an_opening,) = [one for one in BY_ID["terminal"]["outcomes"] if one["id"] == "at_an_opening"]
    assert at_an_opening["unsafe"]
    (terminal,) = [need for need in PROCEDURE["may_fire"] if need["check"] == "terminal"]
    assert "at_an_opening" not in terminal["outcomes"]


def test_the_cycle_tells_at_which_step_it_died():
    """Idle and call, prove open, blower, prove draft, flutter, ignite, flame, run early, run late."""
    assert ids("watch_cycle") == [
        "runs_through", "nothing_at_all", "blower_silent", "closed_at_rest", "never_makes", "flutters",
        "made_then_opened", "opened_late", "no_ignition", "flame_drops",
    ]  # fmt: skip
    assert [field["quantity"] for field in BY_ID["watch_cycle"]["readings"]] == ["minutes_to_stop"]


def test_warmth_is_felt_with_its_minutes_before_the_limit_is_metered_dead_with_leads_beeped():
    assert needs("limit_continuity") == ["vent_warmth", "plug_out", "leads_beep"]
    assert "minutes_since_fired" in [field["quantity"] for field in BY_ID["vent_warmth"]["readings"]]
    how = " ".join(BY_ID["limit_continuity"]["how"])
    assert "Label and lift both spades" in how
    assert "Refit" in how
    assert "ohms" in how
    assert "not clear" in BY_ID["limit_continuity"]["normal"]
    assert "the sheet rules" in BY_ID["limit_continuity"]["why"]


def test_the_dead_limit_comes_before_the_live_chain_and_the_tap_before_the_suction():
    assert "limit_continuity" in needs("chain_volts")
    assert "tap_type" in needs("suction_at_switch")
    assert "suction_at_switch" in needs("switch_pump")
    assert "suction_at_switch" in needs("vent_parted")


def test_the_code_is_read_at_the_gate_before_anything_is_unplugged():
    assert PROCEDURE["gate"][-1] == "control_code"
    for check in ("outlet", "connectors"):
        assert "code first" in BY_ID[check]["caution"]


def test_the_blower_is_turned_only_if_the_sheet_allows_and_then_proven_again():
    caution = BY_ID["elbows"]["caution"]
    for words in ("only if the sheet allows", "drain port", "gasket", "tube", "leads", "count again", "prove again"):
        assert words in caution


def test_the_capacitor_is_discharged_before_it_is_read():
    assert "Discharge the capacitor" in BY_ID["blower_amps"]["how"][0]


def test_valve_joints_terminal_and_co_are_always_seen():
    assert all(BY_ID[check]["always"] for check in ("tp_valve", "joints", "terminal"))
    assert {"co_meter", "co_room"} <= set(PROCEDURE["gate"])


def test_the_terminals_own_words_state_no_clearance_the_sheet_and_local_code_rule():
    """Codes differ (12 in. above grade in IRC 2018 G2427.8, 36 in. in New York City): figures are the rule's alone."""
    text = " ".join([*BY_ID["terminal"]["how"], BY_ID["terminal"]["normal"], BY_ID["terminal"]["caution"]])
    assert not any(letter.isdigit() for letter in text)
