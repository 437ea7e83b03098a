"""Words of the trade that a sheet may have to use, and what they mean. Only those that stand on a sheet are told."""

from __future__ import annotations

import re

MEANINGS = {
    "air-free": "as if no extra air were mixed in, so that readings compare",
    "Blower": "the fan on the heater that pushes the burnt gas outside",
    "Btu/h": "British thermal units an hour: how much heat the gas gives",
    "CO": "carbon monoxide, a poisonous gas without color or smell",
    "Draft hood": "the open hood on top of some heaters, under the vent",
    "ECO": "energy cut-off: a safety device that shuts the gas when the water gets too hot",
    "Elbow": "a bend of the vent pipe",
    "Flue": "the way that burnt gas takes out of the heater",
    "Igniter": "the part that lights the burner",
    "in. w.c.": "inches of water column: a very small pressure",
    "Limit": "a safety switch that opens when something gets too hot",
    "Make point": "the suction at which the vent's switch lets it start",
    "Manifold": "the short pipe to the burner, behind the gas valve",
    "mV": "millivolt: a thousandth of a volt",
    "ohm": "the measure of electric resistance",
    "Pa": "pascal: a very small pressure",
    "Pilot": "the small flame that lights the burner",
    "Pilot's sensor": "the part in the pilot flame that keeps the gas open as long as it burns",
    "ppm": "parts per million: how much of a gas there is in the air",
    "Pressure switch": "the switch that checks whether the vent draws",
    "Restrictor": "a fitting that narrows the vent pipe",
    "Sensing tube": "the small hose that feels whether the vent draws",
    "Suction": "how strongly the vent draws",
    "T&P valve": "the relief valve, for a tank too hot or under too much pressure",
    "TCO": "thermal cut-off: a safety device at the burner",
    "Terminal": "the end of the vent outside",
    "Thermocouple": "one kind of the pilot's sensor",
    "Thermopile": "one kind of the pilot's sensor",
    "V AC": "volts of the house's electric supply",
    "Vent": "the pipe that takes burnt gas outside",
}
SIGNS = {"Ω": "ohm"}


def words_used(text: str) -> list[tuple[str, str]]:
    """The words of the list that stand in a text, in its order; abbreviations only as they are written."""
    read = "".join(SIGNS.get(letter, letter) for letter in text)
    return [(word, meaning) for word, meaning in MEANINGS.items() if _stands_in(word, read)]


def _stands_in(word: str, text: str) -> bool:
    exact = word.isupper() or any(letter.isupper() for letter in word[1:]) or word in {"Pa", "ppm", "ohm"}
    tail = "(?:s|es)?" if not exact else ""
    found = re.search(rf"(?<!\w){re.escape(word)}{tail}(?!\w)", text, 0 if exact else re.IGNORECASE)
    return found is not None
