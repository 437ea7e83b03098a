"""What is unsafe by its id alone, whichever version of a procedure it was answered with."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .procedure_types import Check, Outcome

# What was unsafe in the versions that were shipped before it was marked so (docs/adr/0014, 0160): a job keeps the
# version that it was begun with, and is not closed as running for want of a mark. As docs/trade.md, expert guess.
UNMARKED = {
    "air_intake": ["plugged"],
    "burn_marks": ["roll_out", "soot_or_scorch", "spill_marks"],
    "co_room": ["leave", "outside", "raised"],
    "cutoff_tripped": ["tripped_not_explained"],
    "dilution_opening": ["closed_off"],
    "door_seal": ["not_sealed"],
    "draft_smoke": ["spills"],
    "drop_out": ["too_slow"],
    "flue_gas": ["co_high_or_o2_low"],
    "follows_dial": ["late_or_thump", "never_stops"],
    "gas_cleared": ["smell_stays"],
    "gas_off": ["cannot_shut"],
    "intake_screen": ["holed", "plugged"],
    "joints": ["parted", "wrong_pipe"],
    "low_smell": ["smell"],
    "manual_limit": ["tripped_not_explained"],
    "plug_out": ["not_dead"],
    "scene": ["must_not_run", "vapours", "wet_or_failing"],
    "smell_of_gas": ["smell"],
    "switch_pump": ["off_point"],
    "symptoms": ["somebody"],
    "terminal": ["at_an_opening", "iced", "nest_or_debris", "screen_clogged"],
    "tp_valve": ["missing_or_plugged"],
    "vapour": ["vapour_or_wet"],
    "vent_and_hood": ["blocked", "parted"],
}


def is_unsafe(check: Check, outcome: Outcome) -> bool:
    """Whether no heater is left running with it."""
    return outcome.get("unsafe", False) or outcome["id"] in UNMARKED.get(check["id"], [])


def is_safe(check: Check, outcome: Outcome) -> bool:
    """Whether it neither makes the heater unsafe nor stops a visit."""
    return outcome.get("stop_words") is None and not is_unsafe(check, outcome)
