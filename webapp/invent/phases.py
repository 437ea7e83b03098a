"""In which phase the heater stopped: what the control remembers and flashes."""

from __future__ import annotations

import random
from typing import Any

from webapp.invent.chance import pick, pick_weighted
from webapp.invent.makers import PHASES

CYCLE = "watch_cycle"
REMEMBERED_SHARE = 0.85  # else the control shows an older stop, or one of something else
_PHASE_OF = {
    "never_makes": "never_made",
    "made_then_opened": "opened_hot",
    "no_ignition": "no_flame",
    "flame_drops": "no_flame",
    "nothing_at_all": "control_fault",
    "blower_silent": "control_fault",
}
_LIMIT_CAUSES = ("limit_failed", "tank_overheats", "dilution_closed")


def phase_of(rng: random.Random, procedure: dict[str, Any], cause: str) -> str:
    """The phase, drawn from what a watched cycle shows for the true cause; any phase where that is not known."""
    cycle = next((check for check in procedure["checks"] if check["id"] == CYCLE), None)
    if cycle is None or rng.random() > REMEMBERED_SHARE:
        return pick(rng, PHASES)
    if cause in _LIMIT_CAUSES:
        return "limit_open"
    place = [one["id"] for one in procedure["causes"]].index(cause)
    outcomes = [one["id"] for one in cycle["outcomes"] if one["id"] in _PHASE_OF]
    return _PHASE_OF[outcomes[pick_weighted(rng, [cycle["rows"][one][place] for one in outcomes])]]
