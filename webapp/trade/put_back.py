"""When a heater that was left off may be put back: after a hot run that held, or found in service and looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .gate import gate_advice
from .ordering import NEVER, fold_place
from .proof import proof_holds
from .put_back_counts import co_read_since_arrival, last_left_off, proven_since_repair
from .standing import findings_of, standing

if TYPE_CHECKING:
    from .advice_types import PutBackAdvice
    from .ordering import FoldPlace
    from .procedure_types import Procedure
    from .record_types import Record


def put_back_advice(
    procedure: Procedure, record: Record, unsafe: list[str], *, passed: bool, others: bool = False
) -> PutBackAdvice:
    """Whether putting back is open now, and what is missing, for each of its two ways.

    `ok`: the gate is passed, nothing unsafe stands, and a hot run of this visit held after the last repair and after
    this job left it off, with the room's CO as a number. `found_ok`: it was found in service already; then the gate,
    nothing unsafe, and the room's CO read at this visit. `others`: another visit's heater stands off too, and may be
    the one that is meant. The fold goes by the same, as far as no procedure is needed.
    Range: any record. Source: trade practice (the tag comes off last); an expert guess.
    """
    first = unsafe + ([] if passed else ["Safety first passed at this visit"])
    off = NEVER if others else last_left_off(record, record["standing_off"])
    missing, found = first + _run_missing(procedure, record, off), first + _co_missing(record, off)
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


def _run_missing(procedure: Procedure, record: Record, off: FoldPlace) -> list[str]:
    if not proven_since_repair(record) or fold_place(record["proofs"][-1]["by"]) < off:
        return ["the hot run"]
    if not record["proofs"][-1]["passed"]:
        return ["a hot run that held"]
    if record["proofs"][-1]["co_room_ppm"] is None:
        return ["CO in the room after the run, with its number"]
    judged = proof_holds(procedure, record)
    return [judged["why_words"]] if judged["passed"] is False else []


def _co_missing(record: Record, off: FoldPlace) -> list[str]:
    return [] if co_read_since_arrival(record, off) else ["CO in the room read at this visit, with its number"]
