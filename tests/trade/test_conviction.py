"""Parts changed without a convicting reading, on both engines.

The rule is the trade's own (docs/trade.md: common practice, no source; which outcome convicts is an expert guess):
a pressure switch is convicted by suction over its make point with its contact open, or by a hand pump; a weak blower
by amps off, a rough wheel, or suction low with the vent parted; a control by outputs missing with its inputs right.
"""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from webapp.procedures import compiled, list_procedures
from webapp.trade import conviction


def reading(number, quantity, value, check=None):
    return event(number, "reading_taken", {"check": check, "quantity": quantity, "value": value})


def sheet(number, value):
    return event(number, "sheet_number", {"quantity": "make_point_in_wc", "value": value, "where": "part_label"})


def changed(number, action="new_switch"):
    return event(number, "repair_made", {"action": action})


def verdict(both, *events):
    return [(line["repair"], line["why"]) for line in both("changed_unread", {"events": list(events)})["ok"]]


NOT_READ, OTHERWISE, HALF = "not_read", "read_otherwise", "half_read"
NEVER_MAKES = answered(1, "watch_cycle", "never_makes")

SWITCH = [
    ("on the symptom alone", [NEVER_MAKES], NOT_READ),
    ("a reading of something else", [NEVER_MAKES, reading(2, "room_pa", -3.0)], NOT_READ),
    ("over the point, contact seen open", [NEVER_MAKES, sheet(2, 0.36), reading(3, "suction_in_wc", 0.60)], None),
    ("over the point, sign noted", [NEVER_MAKES, sheet(2, -0.36), reading(3, "suction_in_wc", -0.60)], None),
    ("a little over the point", [NEVER_MAKES, sheet(2, 0.36), reading(3, "suction_in_wc", 0.37)], None),
    (
        "volts stop at the switch",
        [answered(1, "chain_volts", "stops_at_switch"), sheet(2, 0.36), reading(3, "suction_in_wc", 0.60)],
        None,
    ),
    ("over the point, contact not looked at", [sheet(2, 0.36), reading(3, "suction_in_wc", 0.60)], HALF),
    ("under the point", [NEVER_MAKES, sheet(2, 0.36), reading(3, "suction_in_wc", 0.30)], OTHERWISE),
    ("nothing at the switch", [NEVER_MAKES, sheet(2, 0.36), reading(3, "suction_in_wc", 0.0)], OTHERWISE),
    (
        "no point typed, the answer says enough",
        [NEVER_MAKES, reading(2, "suction_in_wc", 0.6), answered(3, "suction_at_switch", "enough")],
        None,
    ),
    ("an answer without a number", [NEVER_MAKES, answered(3, "suction_at_switch", "enough")], NOT_READ),
    (
        "a pressure tap over its point: the vent pushes back",
        [NEVER_MAKES, answered(2, "tap_type", "pressure"), sheet(3, 0.36), reading(4, "suction_in_wc", 0.60)],
        OTHERWISE,
    ),
    (
        "a pressure tap well under its point",
        [NEVER_MAKES, answered(2, "tap_type", "pressure"), sheet(3, 0.36), reading(4, "suction_in_wc", 0.20)],
        None,
    ),
    ("the hand pump misses the point", [answered(1, "switch_pump", "off_point")], None),
    ("the hand pump meets the point", [answered(1, "switch_pump", "on_point")], OTHERWISE),
    ("could not be measured", [NEVER_MAKES, answered(2, "suction_at_switch", None, "no_tool")], NOT_READ),
]


@pytest.mark.parametrize(("events", "why"), [case[1:] for case in SWITCH], ids=[case[0] for case in SWITCH])
def test_a_switch_is_convicted_by_suction_over_its_point_with_the_contact_open(both, events, why):
    expected = [("new_switch", why)] if why else []
    assert verdict(both, *events, changed(9)) == expected


def test_what_is_read_after_the_change_convicts_nothing(both):
    after = [sheet(2, 0.36), changed(3), reading(4, "suction_in_wc", 0.60)]
    assert verdict(both, NEVER_MAKES, *after) == [("new_switch", NOT_READ)]


def test_a_reading_that_was_taken_back_convicts_nothing(both):
    taken = reading(3, "suction_in_wc", 0.60)
    undone = event(4, "withdrawn", {}, replaces=[taken["id"]])
    assert verdict(both, NEVER_MAKES, sheet(2, 0.36), taken, undone, changed(9)) == [("new_switch", NOT_READ)]


COUPLE = [
    ("nothing read", [answered(1, "relight_watch", "wont_hold")], NOT_READ),
    ("open and low", [reading(1, "couple_open_mv", 8.0), answered(2, "couple_open", "low")], None),
    ("open and low, not answered", [reading(1, "couple_open_mv", 8.0)], None),
    ("open and good", [reading(1, "couple_open_mv", 30.0), answered(2, "couple_open", "enough")], OTHERWISE),
    ("between the minima that are printed", [reading(1, "couple_open_mv", 20.0)], None),
    ("closed and high: a contact", [reading(1, "couple_closed_mv", 18.7)], OTHERWISE),
    ("closed and low", [reading(1, "couple_closed_mv", 5.0), answered(2, "couple_closed", "low")], None),
    ("a pile with nothing", [reading(1, "pile_open_mv", 0.0), answered(2, "pile_open", "none")], None),
]


@pytest.mark.parametrize(("events", "why"), [case[1:] for case in COUPLE], ids=[case[0] for case in COUPLE])
def test_a_couple_is_convicted_by_its_millivolts(both, events, why):
    expected = [("new_couple", why)] if why else []
    assert verdict(both, *events, changed(9, "new_couple")) == expected


@pytest.mark.parametrize(
    ("repair", "check", "convicts", "acquits"),
    [
        ("new_igniter", "igniter_ohms", "open_or_off", "as_sheet"),
        ("new_probe", "probe_ohms", "off_table", "on_table"),
        ("new_limit", "limit_continuity", "open", "closed"),
        ("new_limit", "limit_continuity", "poor", "closed"),
        ("new_tco", "tco_continuity", "open", "closed"),
    ],
)
def test_other_parts_are_convicted_by_their_ohms(both, repair, check, convicts, acquits):
    assert verdict(both, answered(1, check, convicts), changed(2, repair)) == []
    assert verdict(both, answered(1, check, acquits), changed(2, repair)) == [(repair, OTHERWISE)]
    assert verdict(both, changed(2, repair)) == [(repair, NOT_READ)]


def test_a_part_that_a_look_alone_convicts_is_not_watched(both):
    assert verdict(both, changed(1, "new_tube"), changed(2, "clear_terminal"), changed(3, "other")) == []


def test_a_part_changed_twice_is_told_once(both):
    assert verdict(both, changed(1), changed(2), changed(3, "new_igniter")) == [
        ("new_switch", NOT_READ),
        ("new_igniter", NOT_READ),
    ]


STAYS_LOW = answered(1, "vent_parted", "stays_low")
BLOWER = [
    ("on the symptom alone", [NEVER_MAKES], NOT_READ),
    ("silent, and nobody measured its volts", [answered(1, "watch_cycle", "blower_silent")], NOT_READ),
    ("amps off the plate", [answered(1, "blower_amps", "off_plate")], None),
    ("amps as on the plate", [answered(1, "blower_amps", "as_plate")], OTHERWISE),
    ("wheel rough, dirty or loose", [answered(1, "blower_wheel", "rough_dirty_loose")], None),
    ("wheel free and clean", [answered(1, "blower_wheel", "free")], OTHERWISE),
    ("suction stays low, the tube not looked at", [STAYS_LOW], HALF),
    ("suction stays low, the tube off", [STAYS_LOW, answered(2, "sensing_tube", "off_or_split")], HALF),
    ("suction stays low, the tube good", [STAYS_LOW, answered(2, "sensing_tube", "seated")], None),
    ("suction stays low, the same at the tap", [STAYS_LOW, answered(2, "tap_and_switch", "same")], None),
    ("suction comes up: the vent, not the blower", [answered(1, "vent_parted", "comes_up")], OTHERWISE),
    ("no volts at it", [answered(1, "blower_volts", "absent")], OTHERWISE),
    (
        "volts at it, and it stands still",
        [answered(1, "watch_cycle", "blower_silent"), answered(2, "blower_volts", "present")],
        None,
    ),
    ("could not be measured", [answered(1, "blower_amps", None, "no_tool")], NOT_READ),
]


@pytest.mark.parametrize(("events", "why"), [case[1:] for case in BLOWER], ids=[case[0] for case in BLOWER])
def test_a_blower_is_convicted_where_nothing_but_the_blower_explains_it(both, events, why):
    expected = [("new_blower", why)] if why else []
    assert verdict(both, *events, changed(9, "new_blower")) == expected


CALL, OUTLET = answered(1, "call_present", "call"), answered(2, "outlet", "good")
NO_BLOWER, NO_IGNITER = answered(3, "blower_volts", "absent"), answered(3, "igniter_volts", "absent")
LOOP_GOOD = [
    answered(1, "tco_continuity", "closed"),
    answered(2, "eco_continuity", "closed"),
    answered(3, "couple_nut", "tight_and_clean"),
]
DROPS = answered(4, "couple_closed", "high_but_drops")
CONTROL = [
    ("on the symptom alone", [answered(1, "watch_cycle", "nothing_at_all")], NOT_READ),
    ("no volts out, call and outlet good", [CALL, OUTLET, NO_BLOWER], None),
    ("no volts out, outlet not looked at", [CALL, NO_BLOWER], HALF),
    ("no volts out, no call either", [answered(1, "call_present", "no_call"), OUTLET, NO_BLOWER], HALF),
    ("nothing for the igniter, chain not followed", [CALL, OUTLET, NO_IGNITER], HALF),
    (
        "nothing for the igniter, chain whole",
        [CALL, answered(2, "chain_volts", "to_the_end"), NO_IGNITER],
        None,
    ),
    ("volts come out", [CALL, OUTLET, answered(3, "blower_volts", "present")], OTHERWISE),
    ("the valve shuts too slowly", [answered(1, "drop_out", "too_slow")], None),
    ("the valve shuts in time", [answered(1, "drop_out", "in_time")], OTHERWISE),
    ("the main burner never stops", [answered(1, "follows_dial", "never_stops")], None),
    ("it never starts, nothing else read", [answered(1, "follows_dial", "never_starts")], HALF),
    (
        "it never starts on enough millivolts",
        [answered(1, "pile_loaded", "enough"), answered(2, "follows_dial", "never_starts")],
        None,
    ),
    ("enough and it drops, loop not looked at", [DROPS], HALF),
    ("enough and it drops, the nut not looked at", [*LOOP_GOOD[:2], DROPS], HALF),
    ("enough and it drops, loop good", [*LOOP_GOOD, DROPS], None),
    ("drops early, loop good", [*LOOP_GOOD, answered(4, "drop_out", "drops_early")], None),
    (
        "enough and it drops, a cut-out open",
        [LOOP_GOOD[0], answered(2, "eco_continuity", "open"), LOOP_GOOD[2], DROPS],
        HALF,
    ),
]


@pytest.mark.parametrize(("events", "why"), [case[1:] for case in CONTROL], ids=[case[0] for case in CONTROL])
def test_a_control_is_convicted_by_what_goes_in_and_does_not_come_out(both, events, why):
    expected = [("new_control", why)] if why else []
    assert verdict(both, *events, changed(9, "new_control")) == expected


def test_every_outcome_that_convicts_stands_in_a_shipped_procedure():
    """A renamed check must not silently acquit or convict."""
    known = {
        (check["id"], outcome["id"])
        for name in list_procedures()
        for check in compiled(name)["checks"]
        for outcome in check["outcomes"]
    }
    named = [*conviction.BY_ANSWER.values()]
    flat = [(check, outcome) for check, outcomes in named for outcome in outcomes]
    for group in (
        conviction._CONTACT_OPEN,
        conviction._COUPLE_CONVICTED,
        conviction._BLOWER_CONVICTED,
        conviction._TUBE_GOOD,
        conviction._CONTROL_CONVICTED,
        conviction._ENOUGH_MV,
        conviction._LETS_GO,
        [missing for missing, _ in conviction._OUTPUTS_MISSING],
        [one for _, way_in in conviction._OUTPUTS_MISSING for one in way_in],
        [one for good in conviction._LOOP_GOOD for one in good],
        [conviction._NEVER_STARTS],
    ):
        flat += list(group)
    assert set(flat) <= known
    checks = {check for check, _ in known}
    assert {*conviction._BLOWER_CHECKS, *conviction._CONTROL_CHECKS} <= checks
