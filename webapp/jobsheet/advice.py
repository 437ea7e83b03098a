"""General advice that stands on every sheet. It sends people out; it never talks anybody through the heater.

Source: the cautions are those of the office's own page (office/_safety.html) and of docs/trade.md; smell of gas as in
the International Residential Code, appendix D.2 (touch no switch, leave, call from outside). Where alarms belong is
left to their maker and the local code on purpose: codes differ.
"""

from __future__ import annotations

ADVICE = [
    (
        "Smell of gas: touch no switch, light nothing, all out at once. "
        "From outside, ring the gas emergency line or 911."
    ),
    (
        "A carbon monoxide (CO) alarm sounds, or people have a headache, feel dizzy or sick: everybody out into fresh "
        "air at once. Ring 911 from outside. Nobody goes back in until told that it is safe."
    ),
    ("Have CO alarms where people sleep and on every floor, tested as maker and local code say. They smell no gas."),
    (
        "If the heater shuts itself down again, it has a reason: do not start it over and over. "
        "Leave it as it is and call us."
    ),
    "Keep snow, leaves and nests off the end of the vent outside, and things, fuel and solvents away from the heater.",
    "Never plug or cap the relief valve or its pipe. If it drips or runs, call us.",
    "Hot water scalds, children and old people soonest. Feel the water before anybody gets in.",
]
DEFER = (
    "This is general advice. The maker's instructions, your local code, and what the gas supplier or the fire service "
    "tell you come first. Work on gas, vents and wiring is for people licensed to do it."
)
