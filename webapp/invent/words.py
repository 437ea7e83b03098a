"""What callers and technicians say, in the trade's own words (docs: look and speech)."""

from __future__ import annotations

COMPLAINTS: dict[str, tuple[str, ...]] = {
    "no_hot_water": (
        "No hot water since this morning",
        "It comes on, whirrs, and goes off again",
        "Cold showers for two days, three kids",
        "The lamp on it blinks and nothing happens",
        "Worked last night, dead today",
        "Goes out whenever the dryer runs",
        "No hot water. Baby in the house.",
    ),
    "locks_out": (
        "Runs a minute and shuts itself down",
        "Starts, roars, stops. Three times, then nothing",
        "Goes off in the night, comes back when the plug is pulled",
    ),
    "short_hot_water": (
        "Ten minutes of hot and then cold",
        "Lukewarm at best",
        "Hot water runs out halfway through the second shower",
    ),
    "noise_or_smell": ("It howls when it starts", "Gurgling in the pipe above the heater", "Smells hot in the cellar"),
}
_BACK = {
    "who_words": "Odo Ferrule, gas fitter of the town",
    "when_words": "yesterday about noon",
    "work_words": "shut-off and vent made right, hot run held, tag taken off",
}
PUT_BACK = {
    **_BACK,
    "words": f"{_BACK['who_words']}, {_BACK['when_words']}: {_BACK['work_words']}; CO in the room after it ran: 1 ppm",
    "co_room_ppm": 1.0,
}
"""As the desk asks for it."""
RETURNED = (
    "It was fixed and it is cold again",
    "Same thing as last time",
    "Your man was here, and now it is off again",
)
ARRIVED = (
    "Basement, dry",
    "Crawl space, 3 ft headroom",
    "Closet by the kitchen",
    "Basement, wet floor at the drain",
    "Garage",
)
HUNCH = ("Sounds like last week's", "Customer says it gurgles", "Same model as two streets over")
NOT_FIRST = (
    "The tube was cracked under the clip, found by hand",
    "Seen with my own eyes at the terminal",
    "Proved with the hand pump",
)
NOTES = (
    "Customer asked what it costs to turn the vent; office to ring.",
    "Expansion tank waterlogged, told the customer, not today's fault.",
    "Draft hood of the furnace next to it: no spillage with all fans on.",
    "T&P pipe ends well, dry.",
    "Took the screen home to clean; spare fitted meanwhile, to be swapped at the next visit. " * 2,
)
DECLINED = "Customer wants a second price first"
HANDED_OVER = "Needs the gas company at the meter"
TOLD = (
    "Mr. at the door and the tenant upstairs",
    "Owner, by phone; neighbor as witness",
    "The tenant, who signed the tag",
)
NOT_SEEN = "Ran three cycles without fault; asked to ring when it shows again"
PART = "Part ordered, five days"
NOT_PROVEN = "Stopped again in the hot run; a second visit is agreed"
NO_BETTER = "Ran, but the figure is as it was before"
SECOND_LOOK = "I read it otherwise: look again"
PART_CAME = "Part has come"

PARTS = {
    "new_tube": "Sensing tube", "new_switch": "Pressure switch", "new_blower": "Blower", "new_limit": "Limit",
    "new_igniter": "Igniter", "new_probe": "Probe", "new_control": "Control", "reseal_joint": "Vent gasket",
    "rework_elbows": "Vent elbow", "restrap_vent": "Vent strap",
}  # fmt: skip
"""What is fitted with a repair; the others need no part."""
IN_PAIRS = ("rework_elbows", "restrap_vent")
