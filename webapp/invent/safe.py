"""With which outcomes a heater may stay on, by the rules that the phone goes by."""

from __future__ import annotations

from typing import Any

from webapp.trade.gate import fire_needs
from webapp.trade.unmarked import is_safe


def needs_of(procedure: dict[str, Any]) -> dict[str, Any]:
    """What must stand before any burner runs, by check."""
    return {need["check"]: need for need in fire_needs(procedure)} if "may_fire" in procedure else {}  # type: ignore[arg-type]


def safe_outcomes(procedure: dict[str, Any], check: dict[str, Any]) -> list[str]:
    """The outcomes that neither make it unsafe nor keep its burner off, the normal one first."""
    need = needs_of(procedure).get(check["id"])
    safe = [str(outcome["id"]) for outcome in check["outcomes"] if is_safe(check, outcome)]  # type: ignore[arg-type]
    return safe if need is None else [outcome for outcome in safe if outcome in need["outcomes"]]
