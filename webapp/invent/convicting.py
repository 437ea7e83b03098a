"""What is read of a part before it is changed, beyond the walk: a decent company mostly does, and not always.

How often is an assumption without a source. What is read comes out as the true cause has it, whatever will be named: a
part that is changed for nothing is then mostly read as good, and the owner's page says so.
"""

from __future__ import annotations

import random
from typing import Any

from webapp.invent.walking import Step, draw_outcome

READS_SHARE = 0.75
CHECKS = {
    "new_switch": ("suction_at_switch", "watch_cycle", "chain_volts"),
    "new_blower": ("blower_amps", "blower_wheel", "watch_cycle", "blower_volts", "sensing_tube", "vent_parted"),
    "new_couple": ("couple_open", "couple_closed", "pile_open", "pile_loaded"),
    "new_control": (
        "couple_nut", "tco_continuity", "eco_continuity", "couple_closed", "follows_dial", "drop_out",
        "outlet", "call_present", "chain_volts", "blower_volts", "igniter_volts",
    ),
    "new_igniter": ("igniter_ohms",),
    "new_probe": ("probe_ohms",),
    "new_limit": ("limit_continuity",),
    "new_tco": ("tco_continuity",),
}  # fmt: skip
"""By repair, what may convict its part or speak for it: the checks that trade/conviction.py looks for."""


def read_before_changing(
    rng: random.Random, procedure: dict[str, Any], cause: str, action: str | None, steps: list[Step]
) -> list[Step]:
    """The steps that come on top of the walk's; none where the part is not watched, or nobody reads today."""
    wanted = CHECKS.get(action or "", ())
    if not wanted or rng.random() >= READS_SHARE:
        return []
    done = {step.check["id"] for step in steps if step.outcome is not None}
    checks = {check["id"]: check for check in procedure["checks"] if check["id"] not in done}
    cause_index = [one["id"] for one in procedure["causes"]].index(cause)
    return [Step(checks[name], draw_outcome(rng, checks[name], cause_index)) for name in wanted if name in checks]
