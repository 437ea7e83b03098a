"""When a heater that was left off may be put back: after a hot run that held, or found in service and looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .gate import gate_advice
from .ordering import fold_place
from .proof import proof_holds, proven_since_repair
from .standing import findings_of, standing

if TYPE_CHECKING:
    from .advice_types import PutBackAdvice
    from .procedure_types import Procedure
    from .record_types import Record


def put_back_advice(procedure: Procedure, record: Record, unsafe: list[str], *, passed: bool) -> PutBackAdvice:
    """Whether putting back is open now, and what is missing, for each of its two ways.

    `ok`: the gate is passed, nothing unsafe stands, and a hot run of this visit held after the last repair, with the
    room's CO as a number. `found_ok`: it was found in service already; then the gate, nothing unsafe, and the room's
    CO read at this visit. Range: any record. Source: trade practice (the tag comes off last); an expert guess.
    """
    first = unsafe + ([] if passed else ["Safety first passed at this visit"])
    missing, found = first + _run_missing(procedure, record), first + _co_missing(record)
    return {"ok": not missing, "missing": missing, "found_ok": not found, "found_missing": found}


def not_shown_safe(procedure: Procedure, record: Record) -> str | None:
    """Why a heater that this job put back is not closed as one that runs; null where neither way is open either."""
    if not record["put_back"]:
        return None
    gate = gate_advice(procedure, standing(procedure, record, findings_of(procedure, record)))
    advice = put_back_advice(procedure, record, [], passed=gate["state"] == "passed")
    if advice["ok"] or advice["found_ok"]:
        return None
    return "Put back, and not shown to be safe. Still missing: " + "; ".join(advice["missing"]) + "."


def _run_missing(procedure: Procedure, record: Record) -> list[str]:
    if not proven_since_repair(record):
        return ["the hot run"]
    if not record["proofs"][-1]["passed"]:
        return ["a hot run that held"]
    if record["proofs"][-1]["co_room_ppm"] is None:
        return ["CO in the room after the run, with its number"]
    judged = proof_holds(procedure, record)
    return [judged["why_words"]] if judged["passed"] is False else []


def _co_missing(record: Record) -> list[str]:
    came = [fold_place(line["by"]) for line in record["arrivals"]]
    read = [one for one in record["readings"] if one["quantity"] == "co_room_ppm"]
    since = [one for one in read if not came or fold_place(one["by"]) > came[-1]]
    return [] if since else ["CO in the room read at this visit, with its number"]
