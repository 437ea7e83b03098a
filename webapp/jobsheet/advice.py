"""General advice that stands on every sheet. It sends people out; it never talks anybody through the heater.

Source: the cautions are those of the office's own page (office/_safety.html) and of docs/trade.md; smell of gas as in
the International Residential Code, appendix D.2 (touch no switch, leave, call from outside). Where alarms belong is
left to their maker and the local code on purpose: codes differ.
"""

from __future__ import annotations

ADVICE = [
    (
        "Smell of gas: touch no switch, light nothing, everybody out at once. Ring the gas supplier's emergency line "
        "or 911 from outside."
    ),
    (
        "A carbon monoxide (CO) alarm sounds, or people have a headache, feel dizzy or sick: everybody out into fresh "
        "air at once. Ring 911 from outside. Nobody goes back in until told that it is safe."
    ),
    (
        "Have CO alarms where people sleep and on every floor, as their maker and your local code say, and test them "
        "as their maker says. A CO alarm does not smell gas."
    ),
    (
        "If the heater shuts itself down again, do not start it over and over. Leave it as it is and call us: a heater "
        "shuts itself down for a reason."
    ),
    (
        "Keep the end of the vent outside free of snow, leaves and nests, and keep things, fuel and solvents away from "
        "the heater."
    ),
    "Never plug or cap the relief valve or its pipe. If it drips or runs, call us.",
    "Hot water scalds, children and old people soonest. Feel the water before anybody gets in.",
]
DEFER = (
    "This is general advice. The maker's instructions, your local code, and what the gas supplier or the fire service "
    "tell you come first. Work on gas, vents and wiring is for people licensed to do it."
)
