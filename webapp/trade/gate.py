"""Safety first: the gate before the walk, and whether the burner may be fired today."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .findings import find_again, last_said
from .ordering import in_order

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import GateAdvice, MayFire
    from .procedure_types import Check, MetBy, Need, Procedure
    from .record_types import CheckFinding, Record

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


def findings_of(procedure: Procedure, record: Record) -> Findings:
    """What stands for each check; one that an event answers by itself is read from the record's lines."""
    findings = {finding["check"]: finding for finding in record["checks"]}
    for check in procedure["checks"]:
        known = findings.get(check["id"])
        if check["from_event"] != "code_read" or not record["codes"]:
            continue
        if known is None or known["state"] == "could_not":  # read after all
            findings[check["id"]] = _as_answered(check["id"], record["codes"][-1]["shown"])
    return findings


def _as_answered(check_id: str, outcome: str) -> CheckFinding:
    """A finding that no answer of its own stands behind."""
    return {
        "check": check_id,
        "state": "answered",
        "outcome": outcome,
        "could_not": None,
        "now_state": "answered",
        "now_outcome": outcome,
        "entries": [],
    }


def standing(procedure: Procedure, record: Record, findings: Findings) -> Findings:
    """The findings less what something later has undone.

    Plug out by a check under power, gas off by one that fires, joints seen sound by one that parts the vent, gas gone
    by one after which no pilot is known to burn; and the gate, plug and gas by whoever arrives after them: on another
    day, or to help, safety is looked at anew.

    What made the heater safe to touch is not taken for granted after it was switched on again: it is asked anew. What
    stopped the visit (a panel still live, gas that cannot be shut) is lifted by a new look: neither by going on nor by
    arriving, and not by saying that it could not be looked at.
    """
    last = _last_done(procedure, findings, _arrived(record))
    stand = dict(findings)
    stand.update(_since(last["arrival"], procedure, findings))
    for check in procedure["checks"]:
        finding = findings.get(check["id"])
        if finding is None or not _is_undone(check, finding, last):
            continue
        if _stops(check, finding):
            stand[check["id"]] = _not_looked_at_since(finding)
            continue
        later = [entry for entry in finding["entries"] if entry["by"]["lamport"] > last[check["undone_by"] or ""]]
        if later:  # could not be done again: that is not asked over and over
            stand[check["id"]] = find_again(finding, later)
        else:
            stand.pop(check["id"])
    for check in procedure["checks"]:
        met = check.get("met_by")
        if met is not None and check["id"] not in stand and _meets(met, stand.get(met["check"]), last):
            stand[check["id"]] = _as_answered(check["id"], met["gives"])
    return stand


def parted_since(procedure: Procedure, record: Record) -> list[str]:
    """What must stand before the burner runs and was not looked at again since the vent was parted, in words.

    Whatever was seen before: a joint that was opened is not the joint that was seen.
    """
    findings = findings_of(procedure, record)
    last = _last_done(procedure, findings, _arrived(record))
    parting = [check["id"] for check in procedure["checks"] if check["undone_by"] == "parting"]
    known = {check["id"]: check for check in procedure["checks"]}
    return [
        need["words"]
        for need in procedure["may_fire"]
        if need["check"] in parting and _is_undone(known[need["check"]], findings.get(need["check"]), last)
    ]


def _arrived(record: Record) -> int:
    return max([-1] + [line["by"]["lamport"] for line in record["arrivals"]])


def _last_done(procedure: Procedure, findings: Findings, arrived: int) -> dict[str, int]:
    """When each kind of work that undoes something was last done; an arrival undoes as power and flame do."""
    last = {"arrival": arrived, "power": arrived, "firing": arrived, "parting": -1}
    last["flame"] = _flame_out(procedure, findings, arrived)
    for check in procedure["checks"]:
        when = _last_lamport(findings.get(check["id"]))
        if check["powered"]:
            last["power"] = max(last["power"], when)
        if check["fires"]:
            last["firing"] = max(last["firing"], when)
        if check["parts_vent"]:
            last["parting"] = max(last["parting"], when)
    return last


def _flame_out(procedure: Procedure, findings: Findings, arrived: int) -> int:
    """When the pilot was last put out, or may have gone out: then gas may have escaped.

    After a check that fires it is known to burn on only where all of its `flame_stays` was answered so, and since the
    last time that it went out. What nobody said so of has left it out.
    """
    out = arrived
    done = [check for check in procedure["checks"] if check["fires"] or check.get("puts_out", False)]
    for check in in_order(done, key=lambda check: (_last_lamport(findings.get(check["id"])), check["id"])):
        stays = check.get("flame_stays") or []
        since = [need for need in stays if _last_lamport(findings.get(need["check"])) > out]
        if not stays or len(since) < len(stays) or unmet(stays, findings):
            out = max(out, _last_lamport(findings.get(check["id"])))
    return out


def _meets(met: MetBy, finding: CheckFinding | None, last: dict[str, int]) -> bool:
    """A pilot seen burning stands for the wait, until something may have put it out."""
    if finding is None or finding["now_state"] != "answered" or finding["now_outcome"] != met["outcome"]:
        return False
    return _last_lamport(finding) > last["flame"]


def _is_undone(check: Check, finding: CheckFinding | None, last: dict[str, int]) -> bool:
    if check["undone_by"] is None:
        return False
    by = "arrival" if _stops(check, finding) else check["undone_by"]
    return last[by] > _last_lamport(finding)


def _not_looked_at_since(finding: CheckFinding) -> CheckFinding:
    """What stopped an earlier visit: no answer of today's, and all that was said still stands against it."""
    again: Any = dict(finding)
    again["now_state"], again["now_outcome"] = "could_not", None
    return again  # type: ignore[no-any-return]


def _since(arrived: int, procedure: Procedure, findings: Findings) -> Findings:
    """What an arrival asks anew, by what was answered since the last one; without such an answer it is open."""
    found: Findings = {}
    anew = [check for check in procedure["checks"] if check["undone_by"] in ("power", "firing", "flame")]
    for check in _gate_checks(procedure) + anew:
        finding = findings.get(check["id"])
        if finding is None or not finding["entries"]:
            continue
        entries = [entry for entry in finding["entries"] if entry["by"]["lamport"] > arrived]
        if len(entries) < len(finding["entries"]):
            found[check["id"]] = find_again(finding, entries)
    return found


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
    for check in _gate_checks(procedure) + [one for one in procedure["checks"] if one["id"] not in procedure["gate"]]:
        finding = findings.get(check["id"])
        stop = _stop_words(check, finding)
        of_gate = check["id"] in procedure["gate"]
        if finding is not None and stop is not None:
            stopped: GateAdvice = {"state": "stopped", "next_check": check["id"], "stop_words": stop}
            if of_gate or finding["now_state"] != "could_not":
                return stopped
            stops.append(stopped)
        if of_gate and not _is_settled(check, finding):
            opened.append({"state": "open", "next_check": check["id"], "stop_words": None})
    return (opened + stops + [{"state": "passed", "next_check": None, "stop_words": None}])[0]


def may_fire(procedure: Procedure, findings: Findings) -> MayFire:
    """Whether everything that must stand recorded before the burner runs does stand, and what is missing."""
    missing = [need["words"] for need in unmet(fire_needs(procedure), findings)]
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


def _last_lamport(finding: CheckFinding | None) -> int:
    """When it was last answered; one that could not be done was not done."""
    if finding is None:
        return -1
    return max([-1] + [entry["by"]["lamport"] for entry in finding["entries"] if entry["outcome"] is not None])


def _gate_checks(procedure: Procedure) -> list[Check]:
    known = {check["id"]: check for check in procedure["checks"]}
    return [known[check_id] for check_id in procedure["gate"]]


def _is_settled(check: Check, finding: CheckFinding | None) -> bool:
    if finding is None or finding["now_state"] == "contradicted":
        return False
    can_stop = [outcome for outcome in check["outcomes"] if outcome["stop_words"] is not None]
    return finding["now_state"] == "answered" or not can_stop


def _stops(check: Check, finding: CheckFinding | None) -> bool:
    if finding is None:
        return False
    return _stop_words(check, finding) is not None or _NEVER_SAFE.get(check["id"]) in last_said(finding)


def _stop_words(check: Check, finding: CheckFinding | None) -> str | None:
    if finding is None:
        return None
    said = last_said(finding)
    for outcome in check["outcomes"]:
        if outcome["id"] in said and outcome["stop_words"] is not None:
            return outcome["stop_words"]
    return None
