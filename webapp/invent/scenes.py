"""The demo's addresses, word for word: a repair that did not hold twice, a clean first visit, one in the middle, one
left off.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

Act = tuple[str, dict[str, Any]]  # (kind, body)
PHOTO = "photo"  # becomes photo_taken once the picture is drawn
DUE_OUT_IN = "due_out_in"  # becomes due_out, so many minutes from the moment at which the demo is made


@dataclass(frozen=True, slots=True)
class SceneVisit:
    """One visit of a scene. Without acts it is booked and nothing more."""

    days_ago: int
    hour: float  # by the town's clocks
    technician: str  # login
    words: str
    acts: list[Act] = field(default_factory=list)
    booked_hours_before: float = 3
    call: dict[str, Any] = field(default_factory=dict)
    """What was asked on the phone; what is not here was not asked. `cold_days` becomes a day."""
    cancelled: str = ""
    """Why nobody goes after all."""


@dataclass(frozen=True, slots=True)
class Scene:
    """One address and its visits, oldest first."""

    key: str
    address: dict[str, str]
    visits: list[SceneVisit]
    same_as: str | None = None  # the key of another scene: the same front door, typed anew


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


_SWITCH_FIRST = [
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
    ("job_closed", {"state": "proven"}),
]
_SWITCH_AGAIN = [
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
_NEST = [
    _heater("01930000-0000-7000-8000-000000000002", "Larder 36-V1", "V55120098"),
    *_gate(_flashes(3)),
    answered("sensing_tube", "seated"),
    answered("tap_type", "suction"),
    answered("terminal", "nest_or_debris"),
    (PHOTO, {"check": "terminal", "words": "Nest behind the screen"}),
    ("sheet_number", {"quantity": "make_point_in_wc", "value": 0.42, "where": "part_label"}),
    (PHOTO, {"check": "suction_at_switch", "about": "part_label", "words": "Label on the pressure switch"}),
    answered("joints", "sound"),
    answered("burn_marks", "clean"),
    answered("tp_valve", "sound"),
    answered("manual_limit", "none_tripped"),
    answered("plume", "weak"),
    ("cause_named", {"cause": "terminal_blocked"}),
    ("repair_made", {"action": "clear_terminal"}),
    (
        "proof_run",
        {
            "passed": True,
            "minutes": 20.0,
            "restarts": 2,
            "suction_before_in_wc": 0.22,
            "suction_hot_in_wc": 0.51,
            "co_room_ppm": 0.0,
            "looks_done": [
                "tube_back",
                "joints_again",
                "terminal_again",
                "tp_again",
                "co_again",
                "fans_on",
                "panels_back",
            ],
        },
    ),
    ("job_closed", {"state": "proven"}),
]
_NOT_SEEN = [
    *_gate(("code_read", {"shown": "steady"})),
    answered("sensing_tube", "seated"),
    answered("tap_type", "suction"),
    answered("terminal", "clear"),
    answered("only_with", "with_weather_or_fans"),
    ("note", {"words": "Ran three cycles without fault. Ring when it shows again, and say what the wind does."}),
    ("job_closed", {"state": "not_seen_today"}),
]
_IN_THE_MIDDLE = [
    (DUE_OUT_IN, {"minutes": -12, "ring_phone": "(068) 555-0121", "words": "No signal below the third step"}),
    _heater("01930000-0000-7000-8000-000000000003", "Quietus 50-X4", "X88230417"),
    *_gate(("code_read", {"shown": "text", "text": "E7"})),
    answered("sensing_tube", "water"),
    (PHOTO, {"check": "sensing_tube", "words": "Drops in the low loop"}),
    answered("tap_type", "suction"),
    could_not("vent_warmth", "unsafe"),
    answered("terminal", "clear"),
]
_LEFT_OFF = [
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
_CRACKED = [
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
_PUT_BACK = [
    *_gate(("code_read", {"shown": "steady"})),
    answered("joints", "sound"),
    ("cause_named", {"cause": "joint_leak_at_blower"}),
    ("repair_made", {"action": "reseal_joint"}),
    (
        "put_back",
        {"words": "Gasket made new, run strapped, hot run of 20 min held, draft hoods looked at. Tag taken off."},
    ),
    (
        "proof_run",
        {
            "passed": True,
            "minutes": 20.0,
            "restarts": 2,
            "co_room_ppm": 0.0,
            "looks_done": ["joints_again", "terminal_again", "co_again"],
        },
    ),
    ("job_closed", {"state": "proven"}),
]
_ALL_QUIET = {"smell_of_gas": "no", "co_alarm": "no", "unwell": "no", "water_leak": "no"}
SCENES = [
    Scene(
        "switch-twice",
        {
            "street": "127 Saint Osk's Lamplighter Passage North, rear house",
            "town": "Marrowick Underhill",
            "postcode": "00117",
            "phone": "(041) 555-0143",
            "customer_name": "Wilhelmina Rookhurst-Montpelier",
            "access_words": "Side gate, mind the third step",
        },
        [
            SceneVisit(34, 10.5, "maximiliane", "It comes on, whirrs, and goes off again", _SWITCH_FIRST),
            SceneVisit(12, 14, "maximiliane", "Same thing as last time, cold since Sunday", _SWITCH_AGAIN),
            SceneVisit(
                0,
                15,
                "teo",
                "Third time now. Two new switches and it is cold again.",
                booked_hours_before=20,
                call={
                    **_ALL_QUIET,
                    "cold_days": 1,
                    "home_words": "She is, until four; the neighbor in number 129 has the key",
                    "lately": ["serviced"],
                    "lately_words": "Two visits of ours in five weeks",
                    "lights_words": "Three winks, a pause, three winks",
                    "resets_tried": 4,
                },
            ),
        ],
    ),
    Scene(
        "first-visit",
        {
            "street": "8 Elm Row",
            "town": "Brae",
            "postcode": "00142",
            "phone": "(057) 555-0108",
            "customer_name": "Jun Ox",
        },
        [
            SceneVisit(
                0,
                17,
                "teo",
                "No hot water. Baby in the house.",
                call={"smell_of_gas": "no", "co_alarm": "no", "cold_days": 5},
            )
        ],
    ),
    Scene(
        "nest",
        {
            "street": "41 Copperkettle Rise",
            "town": "Sallowmere",
            "postcode": "00129",
            "phone": "(033) 555-0177",
            "customer_name": "Emeka Halfmoon",
        },
        [SceneVisit(61, 10, "teo", "The lamp on it blinks and nothing happens", _NEST)],
    ),
    Scene(
        "nest-typed-anew",
        {
            "street": "41 Copper Kettle Rise",
            "town": "Sallowmere",
            "phone": "(033) 555-0177",
            "customer_name": "Mrs. Halfmoon",
        },
        [SceneVisit(23, 13, "maximiliane", "Clicks twice and gives up, now and then", _NOT_SEEN)],
        same_as="nest",
    ),
    Scene(
        "in-the-middle",
        {
            "street": "3 Tallowhill Steps, basement flat",
            "town": "Tinderholt St. Osk",
            "postcode": "00133",
            "phone": "(068) 555-0121",
            "customer_name": "Þórunn Kettlesdóttir",
            "access_words": "Low beam on the cellar stairs",
        },
        [
            SceneVisit(
                0,
                8,
                "maximiliane",
                "Goes out whenever the dryer runs",
                _IN_THE_MIDDLE,
                booked_hours_before=16,
                call={**_ALL_QUIET, "lately": ["new_fan_or_dryer"], "lately_words": "Dryer, since August"},
            )
        ],
    ),
    Scene(
        "left-off",
        {
            "street": "66 Bellows Court",
            "town": "Upper Quillbeck",
            "postcode": "00151",
            "phone": "(024) 555-0190",
            "customer_name": "Perpetua Pennyfeather-Grout",
        },
        [
            SceneVisit(
                5,
                11,
                "maximiliane",
                "Headaches, and the cellar smells hot",
                _LEFT_OFF,
                booked_hours_before=1,
                call={"smell_of_gas": "no", "co_alarm": "unsure", "unwell": "yes", "said": ["co_out"]},
            )
        ],
    ),
    Scene(
        "alarm",
        {
            "street": "19 Cistern Mews",
            "town": "Brae",
            "postcode": "00142",
            "phone": "(057) 555-0164",
            "customer_name": "Barnaby Thistlewick",
        },
        [
            SceneVisit(
                0,
                19,
                "teo",
                "Alarm went off in the hall at breakfast, they are at the neighbor's. Fire department has been.",
                booked_hours_before=2,
                call={"smell_of_gas": "no", "co_alarm": "yes", "unwell": "no", "said": ["co_out"]},
            )
        ],
    ),
    Scene(
        "put-back",
        {
            "street": "5 Tinkerhollow Yard",
            "town": "Sallowmere",
            "postcode": "00129",
            "phone": "(033) 555-0155",
            "customer_name": "Ignatius Quillfeather",
        },
        [
            SceneVisit(
                30, 10, "teo", "Drips and a smell like a wet dog", _CRACKED, call={**_ALL_QUIET, "water_leak": "yes"}
            ),
            SceneVisit(27, 14, "teo", "Back to make the vent new", _PUT_BACK),
        ],
    ),
    Scene(
        "entered-twice",
        {"street": "5 Tinkerholow Yard", "town": "Sallowmere", "phone": "(033) 555-0155"},
        [
            SceneVisit(
                26, 12, "maximiliane", "Wants to know about the bill", cancelled="Not a fault: the bill was explained"
            )
        ],
    ),
]
