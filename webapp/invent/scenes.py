"""The demo's addresses, word for word: a repair that did not hold twice, a clean first visit, one in the middle, one
left off.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from webapp.invent.scene_acts import (
    CRACKED,
    IN_THE_MIDDLE,
    LEFT_OFF,
    NEST,
    NOT_SEEN,
    PUT_BACK,
    SWITCH_AGAIN,
    SWITCH_FIRST,
    Act,
)


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
            SceneVisit(34, 10.5, "maximiliane", "It comes on, whirrs, and goes off again", SWITCH_FIRST),
            SceneVisit(12, 14, "maximiliane", "Same thing as last time, cold since Sunday", SWITCH_AGAIN),
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
        [SceneVisit(61, 10, "teo", "The lamp on it blinks and nothing happens", NEST)],
    ),
    Scene(
        "nest-typed-anew",
        {
            "street": "41 Copper Kettle Rise",
            "town": "Sallowmere",
            "phone": "(033) 555-0177",
            "customer_name": "Mrs. Halfmoon",
        },
        [SceneVisit(23, 13, "maximiliane", "Clicks twice and gives up, now and then", NOT_SEEN)],
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
                IN_THE_MIDDLE,
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
                LEFT_OFF,
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
                30, 10, "teo", "Drips and a smell like a wet dog", CRACKED, call={**_ALL_QUIET, "water_leak": "yes"}
            ),
            SceneVisit(27, 14, "teo", "Back to make the vent new", PUT_BACK),
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
