"""The safety sweep: what a check that can hurt somebody must say, read from its own words. On purpose strict."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

# A text that runs a flame. A check that says so fires, and waits for everything that must stand before.
RUNS_A_FLAME = re.compile(
    r"\b(light it|let it (burn|run)|steady fire|minutes of (steady )?fire|run the burner|fire it|relight|"
    r"main burner (runs|running|on)|let it heat up)\b",
    re.IGNORECASE,
)
# A text that runs the blower: the burner must not follow.
RUNS_THE_BLOWER = re.compile(r"\b(blower (running|at full speed|only)|call for heat)\b", re.IGNORECASE)
# A text that opens the vent or a gas way.
PARTS_THE_VENT = re.compile(r"\b(part(ing)? (the vent|the coupling|anything)|vent parted|is parted)\b", re.IGNORECASE)
OPENS_GAS = re.compile(r"\bgauge on the port\b", re.IGNORECASE)
SCALDS = re.compile(r"\b(t&p|relief valve|tank drain|drain the tank|hot water|water at the tap)\b", re.IGNORECASE)
GAS_OFF = re.compile(r"\bgas (stays |is )?off\b", re.IGNORECASE)
# A text that puts hands into the panel. Beside a live check's own leads that is done dead; a live check says so itself.
OPENS_THE_PANEL = re.compile(
    r"\b(plug (is )?out|power out|panel (comes )?off|open the panel"
    r"|(lift|part|pull|tug)(ed)? (each|both|its) (plug|spade|wire)s?)\b",
    re.IGNORECASE,
)
PLUG_OUT = re.compile(r"\bplug out\b", re.IGNORECASE)
SHOCK = re.compile(r"\bshock\b|\blive\b", re.IGNORECASE)
# A text that puts the pilot out on the way: what is lit after it is lit anew.
PUTS_OUT = re.compile(r"\b(gas off|shut the cock|flame goes out|knob off)\b", re.IGNORECASE)
CO_METER = re.compile(r"\bCO meter on\b")


def safety_problems(source: dict[str, Any]) -> Iterator[str]:
    """What a check that can hurt somebody fails to say; one line each."""
    for check in source["checks"]:
        yield from (f"{check['id']}: {problem}" for problem in _check(check, source))
    yield from _may_fire(source)


def _check(check: dict[str, Any], source: dict[str, Any]) -> Iterator[str]:
    caution = str(check.get("caution") or "")
    steps = " ".join([check["title"], check["question"], *check["how"]])
    if not caution:
        yield "needs a caution"
    if check.get("live") and not SHOCK.search(caution):
        yield "a live check needs a caution about shock"
    if check.get("live") and check["sense"] == "meter" and "trained and allowed" not in caution:
        yield "a live check with a meter is for those trained and allowed, and its caution does not say so"
    readings = " ".join(reading["words"] for reading in check.get("readings", []))
    if SCALDS.search(steps + " " + readings) and "scald" not in caution.lower():
        yield "is about hot water or the T&P valve, and its caution does not say scald"
    if check.get("fires"):
        if not CO_METER.search(caution):
            yield "fires the burner, and its caution does not say 'CO meter on'"
    elif RUNS_A_FLAME.search(steps) and check["id"] not in source["gate"]:
        yield "its steps run a flame, and it is not marked as one that fires"
    yield from _plug_out(check, steps, source)
    yield from _gas_off(check, steps, caution)
    yield from _flame_out(check, steps, source)
    yield from _parts_the_vent(check, steps + " " + caution, source)


def _plug_out(check: dict[str, Any], steps: str, source: dict[str, Any]) -> Iterator[str]:
    """Hands go into a panel that was proved dead, and never into one that was found live with the plug out."""
    if check["sense"] == "gauge" and check.get("powered") and not PLUG_OUT.search(steps):
        yield "its gauge is put on beside live parts, and its steps do not say plug out"
    if "plug_out" not in [one["id"] for one in source["checks"]] or check["id"] == "plug_out":
        return  # a heater without mains power has no plug
    needs = [need for need in check.get("needs", []) if need["check"] == "plug_out"]
    if check.get("live"):
        if check["sense"] == "meter" and not needs:
            yield "is live, and may be done on a panel that was found live with the plug out"
    elif OPENS_THE_PANEL.search(steps) and not [need for need in needs if not need.get("if_answered")]:
        yield "opens the panel, and does not need the plug out and proved dead"


def _gas_off(check: dict[str, Any], steps: str, caution: str) -> Iterator[str]:
    """Where the blower runs alone or a gas port is opened, the gas is off: needed, and said."""
    needed = "gas_off" in [need["check"] for need in check.get("needs", [])]
    said = bool(GAS_OFF.search(caution))
    if RUNS_THE_BLOWER.search(steps) and not check.get("fires"):
        if not needed:
            yield "its steps run the blower, and it does not need the gas off"
        if not said:
            yield "its steps run the blower, and its caution does not say that the gas is off"
    if OPENS_GAS.search(steps) and not GAS_OFF.search(steps + " " + caution):
        yield "opens a gas port, and does not say that the gas is off"


def _parts_the_vent(check: dict[str, Any], words: str, source: dict[str, Any]) -> Iterator[str]:
    """Nobody's hands are in an open vent while gas or power is on, and what was seen sound before is seen again."""
    marked = bool(check.get("parts_vent"))
    if not marked and not PARTS_THE_VENT.search(words):
        return
    if not marked:
        yield "parts the vent, and is not marked as one that does"
    if not GAS_OFF.search(str(check.get("caution") or "")):
        yield "parts the vent, and its caution does not say that the gas is off"
    needed = [need["check"] for need in check.get("needs", [])]
    ids = [one["id"] for one in source["checks"]]  # a heater without mains power has no plug
    dead = ["gas_off"] + [one for one in ids if one == "plug_out"]
    yield from (f"parts the vent, and does not need {one}" for one in dead if one not in needed)
    looked_again = [one["id"] for one in source["checks"] if one.get("undone_by") == "parting"]
    before_firing = [need["check"] for need in source["may_fire"] if not need.get("if_answered")]
    if not set(looked_again) & set(before_firing):
        yield "parts the vent, and nothing that must stand before firing is looked at again after it"


def _flame_out(check: dict[str, Any], steps: str, source: dict[str, Any]) -> Iterator[str]:
    """A pilot is taken to burn on only after an answer that says so, and never where the steps put it out."""
    waits = [one["id"] for one in source["checks"] if one.get("undone_by") == "flame"]
    if waits and check["id"] == "gas_off" and not check.get("puts_out"):
        yield "shuts the gas, and is not marked as one that puts the pilot out"
    stays = check.get("flame_stays")
    if stays is None:
        return
    if not check.get("fires") or PUTS_OUT.search(steps):
        yield "keeps no flame: it does not fire, or its steps put the pilot out"
    own = [outcome for need in stays if need["check"] == check["id"] for outcome in need["outcomes"]]
    if not own:
        yield "keeps a flame whatever is answered: flame_stays must name its own answers"
    unsafe = [one["id"] for one in check["outcomes"] if one.get("unsafe") or one.get("stop_words")]
    yield from (f"keeps a flame after {one}, which is unsafe" for one in own if one in unsafe)


def _may_fire(source: dict[str, Any]) -> Iterator[str]:
    """No burner runs without these: no smell, a CO meter, room CO, and a place where the relief valve was seen."""
    needed = {need["check"]: need["outcomes"] for need in source["may_fire"] if not need.get("if_answered")}
    for check in ("smell_of_gas", "co_meter", "co_room", "burn_marks", "tp_valve"):
        if check not in needed:
            yield f"may_fire: does not ask for {check}"
    unsafe = {
        (check["id"], outcome["id"])
        for check in source["checks"]
        for outcome in check["outcomes"]
        if outcome.get("unsafe") or outcome.get("stop_words")
    }
    for need in source["may_fire"]:
        for outcome in need["outcomes"]:
            if (need["check"], outcome) in unsafe:
                yield f"may_fire: {need['check']} lets {outcome} pass, which is unsafe"
