"""What is asked before anything is booked, and what is said at once where the answer is yes or not sure.

The words are for a person at the phone, to be read out as they stand. They send people out and away; nobody is ever
talked through anything at the heater.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class AtOnceWords:
    """What to say to the caller, line by line."""

    id: str
    """As the call's record names it once it was said."""
    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Question:
    """One question, and the words that belong to a yes and to a not sure."""

    name: str
    words: str
    hint: str
    say: AtOnceWords


# IFGC / IRC Appendix D.2: people out first, then the call. No switch, no phone in the building, nothing lit, gas
# supplier or fire department from outside: what ANSI Z21.10.1 has makers print on a heater for this case (from memory).
GAS_OUT = AtOnceWords(
    "gas_out",
    "Say this now",
    (
        "“Everybody out of the house, now. Leave everything as it is.”",
        "“Touch no switch, unplug nothing, light nothing. Do not relight anything.”",
        "“No phone inside. Hang up, go well away from the house, and call the gas company or 911 from there.”",
        "“Stay out until they tell you that it is safe.”",
    ),
)
# CPSC, carbon monoxide: out into fresh air, call from there, count heads, nobody back in until responders allow it
# (from memory). Symptoms are enough, whatever a meter reads: common practice, no source.
CO_OUT = AtOnceWords(
    "co_out",
    "Say this now",
    (
        "“Everybody out into fresh air, now. Make sure that nobody is left inside.”",
        "“Call 911 from out there. Say carbon monoxide, and who feels unwell.”",
        "“Do not go back in, not even to shut something off, until they tell you that it is safe.”",
    ),
)
# Shock and scald (water at 140 °F burns in seconds, from memory). Shut-off only from dry ground: common practice,
# no source.
WATER_AWAY = AtOnceWords(
    "water_away",
    "Say this now",
    (
        "“Keep everybody away from the water, and from outlets, cords, the breaker box and the heater.”",
        "“The water may be live, or hot enough to scald.”",
        "“If you can reach the main water shut-off and stay dry, shut it. If not, leave it.”",
        "“If water has reached anything electrical, go out and call the power company or 911.”",
    ),
)

QUESTIONS = (
    Question("smell_of_gas", "Do you smell gas, or rotten eggs?", "", GAS_OUT),
    Question("co_alarm", "Is a CO alarm sounding, or did one sound?", "", CO_OUT),
    Question("unwell", "Is anybody unwell: headache, dizzy, sick?", "People or animals", CO_OUT),
    Question("water_leak", "Is there water where it should not be?", "", WATER_AWAY),
)
ANSWERS = (("yes", "Yes"), ("no", "No"), ("unsure", "Not sure"))
NOT_ASKED = "not_asked"
CALLS_FOR_WORDS = ("yes", "unsure")

LATELY = (
    ("moved", "Heater or vent moved or bumped"),
    ("serviced", "Serviced or repaired"),
    ("renovated", "House renovated, re-roofed or sealed"),
    ("new_heater", "Heater is new"),
    ("new_fan_or_dryer", "New fan, hood or dryer"),
)
SAY = (GAS_OUT, CO_OUT, WATER_AWAY)
SAY_HEADS = {
    "gas_out": "Smell of gas",
    "co_out": "CO alarm, or somebody unwell",
    "water_away": "Water where it should not be",
}
"""What calls for the words, where no question stands above them."""
