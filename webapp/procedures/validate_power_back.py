"""What an earlier check took out is put back in words before anything is called for: plug, panel, gas."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from .validate_safety import GAS_OFF, PLUG_OUT, PUTS_OUT, RUNS_THE_BLOWER

if TYPE_CHECKING:
    from collections.abc import Iterator

PLUG_IN = re.compile(r"\bplug in\b", re.IGNORECASE)
PANEL_CLOSED = re.compile(r"\bpanel closed\b", re.IGNORECASE)
GAS_ON = re.compile(
    r"\bgas on (again )?by somebody licensed\b|\bcock is opened\b[^.]*\bby somebody licensed\b", re.IGNORECASE
)


def power_back_problems(source: dict[str, Any]) -> Iterator[str]:
    """A check that runs blower or burner and does not say how it is fed again; one line each.

    The plug may be out and the gas off since any earlier check, or by its own steps.
    """
    has_plug = "plug_out" in [one["id"] for one in source["checks"]]
    for check in source["checks"]:
        steps = " ".join([check["question"], *check["how"]])
        runs = check.get("fires") or check.get("powered") or _is_metered_live(check) or RUNS_THE_BLOWER.search(steps)
        if has_plug and runs:
            yield from (f"{check['id']}: {problem}" for problem in _plug(check, steps))
        if check.get("fires") and not _gas_is_on(steps, source):
            yield f"{check['id']}: fires, and its steps do not say 'gas on by somebody licensed'"


def _is_metered_live(check: dict[str, Any]) -> bool:
    """Live in the panel; a tester in the outlet is not."""
    return bool(check.get("live")) and "plug_out" in [need["check"] for need in check.get("needs", [])]


def _plug(check: dict[str, Any], steps: str) -> Iterator[str]:
    out, back = PLUG_OUT.search(steps), PLUG_IN.search(steps)
    if back is None:
        yield "runs what is plugged in, and its steps do not say 'plug in'"
    elif out is not None and back.start() < out.start():
        yield "its steps pull the plug, and do not say 'plug in' after it"
    dead = [need for need in check.get("needs", []) if need["check"] == "plug_out"]
    if not dead and not PANEL_CLOSED.search(steps):
        yield "runs with nobody's instrument in the panel, and its steps do not say 'panel closed'"


def _gas_is_on(steps: str, source: dict[str, Any]) -> bool:
    """In its own steps; or in those of the wait that stands before every flame after the gas was off."""
    said = GAS_ON.search(steps)
    shut = GAS_OFF.search(steps) or PUTS_OUT.search(steps)
    if said:
        return shut is None or said.start() > shut.start()
    if shut:
        return False
    needed = [need["check"] for need in source["may_fire"] if not need.get("if_answered")]
    return any(
        one.get("undone_by") == "flame" and one["id"] in needed and GAS_ON.search(" ".join(one["how"]))
        for one in source["checks"]
    )
