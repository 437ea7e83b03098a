"""Safety first: the gate before the walk, and whether the burner may be fired today."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .rank import check_of

if TYPE_CHECKING:
    from .advice_types import GateAdvice, MayFire
    from .procedure_types import Check, Need, Procedure
    from .record_types import CheckFinding, Record


def gate_advice(procedure: Procedure, record: Record) -> GateAdvice:
    """Open (with the check to ask), passed, or stopped (with the words to act on).

    One person's finding that says stop, stops: another person's opposite finding does not lift it.
    A gate check that could not be done keeps the gate open; it is never skipped for being dull.
    Source: trade practice and IFGC/IRC appendix D (informative), as quoted in docs/trade.md; local rules govern.
    """
    next_check = None
    for check_id in procedure["gate"]:
        check = check_of(procedure, check_id)
        finding = finding_of(procedure, record, check)
        stop = _stop_words(check, finding)
        if stop is not None:
            return {"state": "stopped", "next_check": check_id, "stop_words": stop}
        if next_check is None and (finding is None or finding["now_state"] != "answered"):
            next_check = check_id
    state = "passed" if next_check is None else "open"
    return {"state": state, "next_check": next_check, "stop_words": None}  # type: ignore[typeddict-item]


def may_fire(procedure: Procedure, record: Record) -> MayFire:
    """Whether everything that must stand recorded before the burner runs does stand, and what is missing."""
    missing = missing_needs(procedure, record, procedure["may_fire"])
    return {"ok": len(missing) == 0, "missing": missing}


def missing_needs(procedure: Procedure, record: Record, needs: list[Need]) -> list[str]:
    """The words of each need that is not met by how things stand now."""
    missing = []
    for need in needs:
        finding = finding_of(procedure, record, check_of(procedure, need["check"]))
        if finding is None or finding["now_state"] != "answered" or finding["now_outcome"] not in need["outcomes"]:
            missing.append(need["words"])
    return missing


def finding_of(procedure: Procedure, record: Record, check: Check) -> CheckFinding | None:
    """What stands for a check; a check that an event answers by itself is read from the record's lines."""
    for finding in record["checks"]:
        if finding["check"] == check["id"]:
            return finding
    if check["from_event"] == "code_read" and record["codes"]:
        code = record["codes"][-1]
        return {
            "check": check["id"],
            "state": "answered",
            "outcome": code["shown"],
            "could_not": None,
            "now_state": "answered",
            "now_outcome": code["shown"],
            "entries": [],
        }
    return None


def _stop_words(check: Check, finding: CheckFinding | None) -> str | None:
    if finding is None:
        return None
    after = [entry for entry in finding["entries"] if entry["after_repair"]]
    for entry in after or finding["entries"]:
        for outcome in check["outcomes"]:
            if entry["current"] and entry["outcome"] == outcome["id"] and outcome["stop_words"] is not None:
                return outcome["stop_words"]
    return None
