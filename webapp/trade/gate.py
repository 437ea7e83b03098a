"""Safety first: the gate before the walk, and whether the burner may be fired today."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .figures import NOT_ANSWERED
from .findings import last_said

if TYPE_CHECKING:
    from .advice_types import GateAdvice, MayFire
    from .procedure_types import Check, Need, Procedure
    from .record_types import CheckFinding

    Findings = dict[str, CheckFinding]

# What the versions shipped before docs/adr/0160 neither stop for nor mark. A job keeps the version that it was begun
# with, and its walk; but no burner is fired there either while one of these stands.
_NEVER_SAFE = {"gas_off": "cannot_shut", "plug_out": "not_dead"}
_OLDER_NEEDS: list[Need] = [
    {
        "check": "gas_off",
        "outcomes": ["off_and_tagged"],
        "words": "Gas can be shut off at the heater",
        "if_answered": True,
    },
    {
        "check": "plug_out",
        "outcomes": ["proved_dead"],
        "words": "Panel not found live with the plug out",
        "if_answered": True,
    },
]


def gate_advice(procedure: Procedure, findings: Findings) -> GateAdvice:
    """Open (with the check to ask), passed, or stopped (with the words to act on).

    Whatever check found it, an outcome with stop words stops the walk: a panel that stays live as well as a smell. One
    that was found beyond the gate, before the last arrival, waits until the gate is passed anew.
    One person's finding that says stop, stops: another person's opposite finding does not lift it.
    A gate check that can stop and could not be done keeps the gate open; it is never skipped for being dull. One that
    stops for nothing, such as the code on the control, lets the walk go on when it could not be read.
    Source: trade practice and IFGC/IRC appendix D (informative), as quoted in docs/trade.md; local rules govern.
    """
    stops: list[GateAdvice] = []
    opened: list[GateAdvice] = []
    gate = gate_checks(procedure)
    beyond = [one for one in procedure["checks"] if one["id"] in findings and one["id"] not in procedure["gate"]]
    checks = gate + beyond
    for position in range(len(checks)):
        check, of_gate = checks[position], position < len(gate)
        finding = findings.get(check["id"])
        stop = _stop_words(check, finding)
        if finding is not None and stop is not None:
            stopped: GateAdvice = {"state": "stopped", "next_check": check["id"], "stop_words": stop}
            if of_gate or finding["now_state"] != "could_not":
                return stopped
            stops.append(stopped)
        if of_gate and not _is_settled(check, finding):
            opened.append({"state": "open", "next_check": check["id"], "stop_words": None})
    return (opened + stops + [{"state": "passed", "next_check": None, "stop_words": None}])[0]


def may_fire(needs: list[Need], findings: Findings) -> MayFire:
    """Whether everything that must stand recorded before the burner runs does stand, and what is missing."""
    missing = [need["words"] for need in unmet(needs, findings)]
    return {"ok": len(missing) == 0, "missing": missing}


def fire_needs(procedure: Procedure) -> list[Need]:
    """What must stand before any burner runs; of an older version also what it did not ask for yet."""
    known = [check["id"] for check in procedure["checks"]]
    named = [need["check"] for need in procedure["may_fire"]]
    return procedure["may_fire"] + [
        need for need in _OLDER_NEEDS if need["check"] in known and need["check"] not in named
    ]


def unmet(needs: list[Need], findings: Findings) -> list[Need]:
    """The needs that are not met by how things stand now."""
    missing = []
    for need in needs:
        finding = findings.get(need["check"])
        if need.get("if_answered", False) and (finding is None or _nothing_against(need, finding)):
            continue
        if finding is None or finding["now_state"] != "answered" or finding["now_outcome"] not in need["outcomes"]:
            missing.append(need)
    return missing


def _nothing_against(need: Need, finding: CheckFinding) -> bool:
    """Nobody could tell, and nobody had found anything against it: what was found stands until seen otherwise."""
    said = last_said(finding)
    return finding["now_state"] == "could_not" and not [one for one in said if one not in need["outcomes"]]


def gate_checks(procedure: Procedure) -> list[Check]:
    """The checks of the gate, in its order."""
    known = {check["id"]: check for check in procedure["checks"] if check["id"] in procedure["gate"]}
    return [known[check_id] for check_id in procedure["gate"]]


def _is_settled(check: Check, finding: CheckFinding | None) -> bool:
    if finding is None or finding["now_state"] == "contradicted":
        return False
    if [entry for entry in finding["entries"] if entry["current"] and entry.get("tapped") == NOT_ANSWERED]:
        return False  # its figure counts, and it is still asked
    can_stop = [outcome for outcome in check["outcomes"] if outcome["stop_words"] is not None]
    return finding["now_state"] == "answered" or not can_stop


def stops(check: Check, finding: CheckFinding | None) -> bool:
    """Whether what was found of it stops the visit, also where an older version did not say so yet."""
    if finding is None:
        return False
    return _stop_words(check, finding) is not None or _NEVER_SAFE.get(check["id"]) in last_said(finding)


def _stop_words(check: Check, finding: CheckFinding | None) -> str | None:
    if finding is None:
        return None
    can_stop = [outcome for outcome in check["outcomes"] if outcome.get("stop_words") is not None]
    if can_stop:
        said = last_said(finding)
        for outcome in can_stop:
            if outcome["id"] in said:
                return outcome["stop_words"]
    return None
