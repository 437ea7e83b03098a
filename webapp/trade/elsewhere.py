"""What other visits to the address found unsafe and left so, and what that asks of this one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .figures import NOT_ANSWERED
from .findings import last_said
from .moments import moment_ms
from .off_before import is_another
from .unmarked import is_safe

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import FoundBefore, GateAdvice
    from .gate import Findings
    from .procedure_types import Need, Procedure
    from .record_types import Mark, Record

# Of the room, not of one heater in it: whichever heater a visit came for, whoever stands there is in it.
_OF_THE_ROOM = ("smell_of_gas", "symptoms", "scene", "co_room", "low_smell", "gas_cleared", "vapour")
# What another list of checks asks for under another name.
_ALSO_SEEN_BY = {"low_smell": "smell_of_gas", "gas_cleared": "smell_of_gas", "vapour": "scene"}
_STAYS_OPEN = ("left_off", "handed_over")


def still_found(procedure: Procedure | None, record: Record, raw: Findings, found: list[Any]) -> list[FoundBefore]:
    """What others found and no look of this job has answered since, in the order given.

    `found`: lines of `found_unsafe` of other visits. One is answered by an answer to the very check that was given
    later, whatever it says; of CO in the room only with a number read later: what it says stands then for this job.
    `other_heater`: both jobs described one heater each and not the same, or this list of checks has no such look; what
    is of the room is everybody's. Range: any record. Example: "acceptable" at 14:30 with 3 ppm answers 90 ppm of 14:10.
    Source: as for what was left off, clocks decide between jobs (docs/adr/0131, 0200).
    """
    ours = {line["appliance_id"] for line in record["appliances"]}
    looks = None if procedure is None else [check["id"] for check in procedure["checks"]]
    left: list[FoundBefore] = []
    for one in found:
        look = _look(str(one.get("check")), looks)
        room = one.get("check") in _OF_THE_ROOM
        other = not room and (look is None or is_another(ours, one.get("appliance_ids")))
        if other or not _is_seen_since(record, raw, look, one.get("at_ms")):
            line: Any = dict(one)
            line["look"], line["other_heater"] = look, other
            left.append(line)
    return left


def for_this_heater(found: list[FoundBefore]) -> list[FoundBefore]:
    """What asks something of this job; the rest is only said."""
    return [one for one in found if not one["other_heater"]]


def asked_anew(procedure: Procedure, findings: Findings, here: list[FoundBefore]) -> Findings:
    """The findings less what this visit saw as safe before another one found otherwise."""
    looks = [one["look"] for one in here]
    stand = dict(findings)
    for check in procedure["checks"]:
        if check["id"] in looks and check["id"] in stand:
            said = last_said(stand[check["id"]])
            safe = [outcome["id"] for outcome in check["outcomes"] if is_safe(check, outcome)]
            if said and not [one for one in said if one not in safe]:
                stand.pop(check["id"])
    return stand


def gate_beside(procedure: Procedure, gate: GateAdvice, here: list[FoundBefore]) -> GateAdvice:
    """The gate with what stopped another visit: it stops this one until the check is answered anew.

    As with this visit's own: what is found beyond the gate waits until the gate is passed.
    """
    if gate["state"] == "stopped":
        return gate
    for one in here:
        words, look = one["stop_words"], one["look"]
        if words is not None and look is not None and (look in procedure["gate"] or gate["state"] == "passed"):
            return {"state": "stopped", "next_check": look, "stop_words": words}
    return gate


def safe_first(procedure: Procedure, here: list[FoundBefore]) -> list[Need]:
    """What must be seen to be otherwise before any burner runs."""
    needs: list[Need] = []
    for check in procedure["checks"]:
        found = [one["words"] for one in here if one["look"] == check["id"]]
        if found:
            safe = [outcome["id"] for outcome in check["outcomes"] if is_safe(check, outcome)]
            words = "Put right first: " + found[0] + " (found on another visit)"
            needs.append({"check": check["id"], "outcomes": safe, "words": words})
    return needs


def not_beside(state: str, here: list[FoundBefore]) -> str | None:
    """Why a job is not closed so while another visit's finding stands; null where it may be.

    Handing over stays open: the heater may be in the hands of whoever found it.
    """
    if not here or state in _STAYS_OPEN:
        return None
    numbered = [one for one in here if one["look"] == "co_room"]
    again = " Look at it again first" + (", CO with its number" if numbered else "") + ", or leave it off."
    return "Found on another visit: " + "; ".join([one["words"] for one in here]) + "." + again


def _look(check: str, looks: list[str] | None) -> str | None:
    """The check by which this job sees the same; without a list of checks, the same one."""
    if looks is None or check in looks:
        return check
    also = _ALSO_SEEN_BY.get(check)
    return also if also in looks else None


def _is_seen_since(record: Record, raw: Findings, look: str | None, at_ms: Any) -> bool:
    if look is None or look not in raw or not isinstance(at_ms, int):
        return False
    answers = [one for one in raw[look]["entries"] if one["outcome"] is not None and one.get("tapped") != NOT_ANSWERED]
    read = [one for one in record["readings"] if one["quantity"] == "co_room_ppm"]
    seen = [one for one in answers if _is_since(one["by"], at_ms)]
    return len(seen) > 0 and (look != "co_room" or len([one for one in read if _is_since(one["by"], at_ms)]) > 0)


def _is_since(by: Mark, at_ms: int) -> bool:
    when = moment_ms(by)
    return when is not None and when > at_ms
