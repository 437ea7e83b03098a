"""One line of why, in words one would say aloud. No cause is named here: a name unasked steers what is seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .procedure_types import Check

_BY_SENSE = {
    "eye": "Eyes first",
    "hand": "By hand next, no tools yet",
    "meter": "Looks and touches say little now, so the meter",
    "gauge": "Now the gauge tells most",
    "analyser": "The analyser is what is left",
}
STRONG_BITS = 0.4
FAIR_BITS = 0.15


def next_words(check: Check, told_bits: float, *, contradicted: bool, before: str | None) -> str:
    """Why this check comes now. Example: "Eyes first: 2 minutes, and it splits what is left well"."""
    if contradicted:
        return "Two people saw this differently: look again."
    if before is not None:
        return "First this, then: " + before + "."
    minutes = _minutes(check["minutes"])
    if told_bits < FAIR_BITS and check["always"]:
        return _BY_SENSE[check["sense"]] + ": " + minutes + ", and it is always seen before leaving."
    if told_bits >= STRONG_BITS:
        return _BY_SENSE[check["sense"]] + ": " + minutes + ", and it splits what is left well."
    if told_bits >= FAIR_BITS:
        return _BY_SENSE[check["sense"]] + ": " + minutes + ", and it still says something."
    return _BY_SENSE[check["sense"]] + ": " + minutes + ", on the way; it says a little."


def conclude_words(ready: bool, has_repair: bool, left: int) -> str:
    """Why to stop asking, or why not yet."""
    if not ready:
        return "Checks are left that would change what to do."
    if not has_repair:
        return "Nothing left here would settle it. Call for a second opinion, or leave it off and say so."
    if left == 0:
        return "Everything that can be checked now is checked."
    return "Nothing left to check would change what to do first."


def held_words(held: list[str]) -> str:
    """Nothing is likely yet, and what would tell runs a burner that may not be run."""
    return "What is left would run the burner, and it may not run yet. First: " + "; ".join(held) + "."


def _minutes(minutes: float) -> str:
    whole = int(minutes + 0.5)
    return "1 minute" if whole == 1 else str(whole) + " minutes"
