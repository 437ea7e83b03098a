"""What the technicians of the demo note on a visit, act by act."""

from __future__ import annotations

from typing import Any

Act = tuple[str, dict[str, Any]]  # (kind, body)
PHOTO = "photo"  # becomes photo_taken once the picture is drawn
CLOSING_LOOKS = [
    "tube_back", "joints_again", "terminal_again", "tp_again", "co_again", "fans_on", "draft_hoods", "panels_back",
]  # fmt: skip
DUE_OUT_IN = "due_out_in"  # becomes due_out, so many minutes from the moment at which the demo is made


def answered(check: str, outcome: str) -> Act:
    """A check and what was found."""
    return "check_answered", {"check": check, "outcome": outcome, "could_not": None}


def could_not(check: str, reason: str) -> Act:
    """A check that could not be done."""
    return "check_answered", {"check": check, "outcome": None, "could_not": reason}


def measured(check: str, quantity: str, value: float, **where: str) -> Act:
    """A number; `place` and `state` as the procedure has them."""
    return "reading_taken", {"check": check, "quantity": quantity, "value": value, **where}


def _gate(code: Act) -> list[Act]:
    return [
        ("arrived", {}),
        answered("smell_of_gas", "no_smell"),
        answered("symptoms", "nobody"),
        answered("scene", "safe"),
        answered("co_meter", "on"),
        measured("co_room", "co_room_ppm", 0.0, place="room"),
        answered("co_room", "acceptable"),
        code,
    ]


def _flashes(count: int) -> Act:
    words = "Air proving switch did not close"
    return "code_read", {"shown": "flashes", "flashes": count, "meaning_words": words}


def _heater(appliance_id: str, model: str, serial: str) -> Act:
    return "appliance_described", {
        "appliance_id": appliance_id,
        "kind": "power_vent",
        "fuel": "natural_gas",
        "maker_words": "Vossquill",
        "model_words": model,
        "serial_words": serial,
        "input_btu_h": 40_000.0,
    }


SWITCH_FIRST = [
    _heater("01930000-0000-7000-8000-000000000001", "Cellarlight 450-Q2", "Q20417733"),
    *_gate(_flashes(3)),
    answered("sensing_tube", "seated"),
    answered("tap_type", "suction"),
    could_not("terminal", "no_access"),
    answered("always_so", "ran_well_before"),
    ("cause_named", {"cause": "switch_drifted", "words": "Three flashes, that is the switch"}),
    ("repair_made", {"action": "new_switch"}),
    ("part_used", {"part_words": "Pressure switch", "count": 1, "direction": "fitted"}),
    ("proof_run", {"passed": True, "minutes": 5.0, "restarts": 1, "looks_done": ["tube_back", "panels_back"]}),
    (
        "job_closed",
        {"state": "not_proven", "words": "Five minutes of running seen; the roof was too wet for the terminal"},
    ),
]
SWITCH_AGAIN = [
    *_gate(_flashes(3)),
    answered("sensing_tube", "seated"),
    answered("vent_warmth", "cold_long_off"),
    could_not("terminal", "no_access"),
    could_not("suction_at_switch", "no_tool"),
    ("hunch", {"cause": "switch_drifted", "words": "Bad part out of the box?"}),
    ("cause_named", {"cause": "switch_drifted", "words": "Second one bad, fitted a third"}),
    ("repair_made", {"action": "new_switch"}),
    ("part_used", {"part_words": "Pressure switch", "count": 1, "direction": "fitted"}),
    (
        "proof_run",
        {
            "passed": False,
            "minutes": 12.0,
            "restarts": 0,
            "looks_done": ["tube_back"],
            "words": "Opened after 9 minutes, came back by itself",
        },
    ),
    ("note", {"words": "Terminal is over the neighbor's roof, needs the long ladder. Nobody has looked at it yet."}),
    ("job_closed", {"state": "not_proven", "words": "Runs now. Customer will ring"}),
]
NEST = [
    _heater("01930000-0000-7000-8000-000000000002", "Larder 36-V1", "V55120098"),
    *_gate(_flashes(3)),
    answered("sensing_tube", "seated"),
    answered("tap_type", "suction"),
    answered("terminal", "nest_or_debris"),
    (PHOTO, {"check": "terminal", "words": "Nest behind the screen"}),
    ("sheet_number", {"quantity": "make_point_in_wc", "value": 0.42, "where": "part_label"}),
    (PHOTO, {"check": "suction_at_switch", "about": "part_label", "words": "Label on the pressure switch"}),
    answered("joints", "sound"),
    answered("slope", "falls_right"),
    answered("burn_marks", "clean"),
    answered("tp_valve", "sound"),
    answered("manual_limit", "none_tripped"),
    answered("plume", "weak"),
    ("cause_named", {"cause": "terminal_blocked"}),
    ("repair_made", {"action": "clear_terminal"}),
    answered("terminal", "clear"),
    (
        "proof_run",
        {
            "passed": True,
            "minutes": 20.0,
            "restarts": 2,
            "suction_before_in_wc": 0.22,
            "suction_hot_in_wc": 0.51,
            "co_room_ppm": 0.0,
            "looks_done": CLOSING_LOOKS,
        },
    ),
    ("job_closed", {"state": "proven"}),
]
NOT_SEEN = [
    *_gate(("code_read", {"shown": "steady"})),
    answered("sensing_tube", "seated"),
    answered("tap_type", "suction"),
    answered("terminal", "clear"),
    answered("joints", "sound"),
    answered("slope", "falls_right"),
    answered("burn_marks", "clean"),
    answered("manual_limit", "none_tripped"),
    answered("tp_valve", "sound"),
    answered("only_with", "with_weather_or_fans"),
    ("note", {"words": "Ran three cycles without fault. Ring when it shows again, and say what the wind does."}),
    ("job_closed", {"state": "not_seen_today", "words": "Watched three cycles from cold, half an hour"}),
]
IN_THE_MIDDLE = [
    (DUE_OUT_IN, {"minutes": -12, "ring_phone": "(068) 555-0121", "words": "No signal below the third step"}),
    _heater("01930000-0000-7000-8000-000000000003", "Quietus 50-X4", "X88230417"),
    *_gate(("code_read", {"shown": "text", "text": "E7"})),
    answered("sensing_tube", "water"),
    (PHOTO, {"check": "sensing_tube", "words": "Drops in the low loop"}),
    answered("tap_type", "suction"),
    could_not("vent_warmth", "unsafe"),
    answered("terminal", "clear"),
]
LEFT_OFF = [
    ("arrived", {}),
    answered("smell_of_gas", "no_smell"),
    answered("symptoms", "nobody"),
    answered("scene", "safe"),
    answered("co_meter", "on"),
    measured("co_room", "co_room_ppm", 84.0, place="room"),
    answered("co_room", "leave"),
    (
        "left_off",
        {
            "what_words": "Power-vent heater; gas shut at the meter outside, and tagged there",
            "why_words": "84 ppm CO at the foot of the stairs; everybody out, called from outside",
            "told_words": "Mrs. Pennyfeather-Grout at the door, and the gas company by phone",
        },
    ),
    (PHOTO, {"check": None, "words": "The tag at the meter"}),
    ("job_closed", {"state": "left_off"}),
]
CRACKED = [
    _heater("01930000-0000-7000-8000-000000000004", "Larder 36-V1", "V55119004"),
    *_gate(_flashes(3)),
    answered("joints", "parted"),
    (
        "left_off",
        {
            "what_words": "Power-vent heater; gas cock shut, cord out, tag on both",
            "why_words": "Vent parted at the blower gasket, above the laundry",
            "told_words": "Mr. Quillfeather, in the kitchen",
        },
    ),
    ("office_told", {"who_words": "Bo Ox", "words": "Rang from the porch before leaving"}),
    ("job_closed", {"state": "left_off"}),
]
PUT_BACK = [
    *_gate(("code_read", {"shown": "steady"})),
    answered("terminal", "clear"),
    answered("slope", "falls_right"),
    answered("burn_marks", "clean"),
    answered("manual_limit", "none_tripped"),
    answered("tp_valve", "sound"),
    answered("joints", "parted"),
    ("cause_named", {"cause": "joint_leak_at_blower"}),
    ("repair_made", {"action": "reseal_joint"}),
    answered("joints", "sound"),
    (
        "proof_run",
        {
            "passed": True,
            "minutes": 20.0,
            "restarts": 2,
            "co_room_ppm": 0.0,
            "looks_done": [*CLOSING_LOOKS, "joint_tested"],
        },
    ),
    (
        "put_back",
        {"words": "Gasket made new, run strapped, hot run of 20 min held, draft hoods looked at. Tag taken off."},
    ),
    ("job_closed", {"state": "proven"}),
]
