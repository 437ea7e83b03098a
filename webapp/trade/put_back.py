"""When a heater that was left off may be put back, and what to do where it is found in service already."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .found_running import SHUT_IT_OFF, found_running
from .gate import fire_needs, gate_advice, unmet
from .ordering import NEVER, fold_place
from .proof import proof_holds
from .put_back_counts import last_left_off, proven_since_repair
from .standing import findings_of, standing

if TYPE_CHECKING:
    from .advice_types import PutBackAdvice
    from .gate import Findings
    from .ordering import FoldPlace
    from .procedure_types import Need, Procedure
    from .record_types import Record

WHAT_MADE_IT_SAFE = (
    "A good run does not say what made it safe. Name the cause, note the repair, or say who put it right."
)


def put_back_advice(
    procedure: Procedure, record: Record, unsafe: list[str], findings: Findings, *, passed: bool, others: bool = False
) -> PutBackAdvice:
    """Whether putting back is open now, and what is missing.

    `ok`: the gate is passed, nothing unsafe stands, all that must stand before any burner runs does (`findings`, as
    they stand now), and a hot run of this visit held after the last repair and after this job left it off, with the
    room's CO as a number: a run made past the looks that it asks for shows nothing. `found_ok`: it may be said that it
    was in service already, which ends nothing, so nothing has to be shown first; never of what this visit left off
    itself. `found_words`: what to do at once where that was said. `others`: another visit's heater stands off too, and
    may be the one that is meant. `asks_words`: a good run does not say what made it safe; where neither a cause nor a
    repair is noted, it is asked who put what right. The fold goes by the run alone, for it knows no procedure.
    Range: any record. Source: trade practice (the tag comes off last); an expert guess.
    """
    off = NEVER if others else last_left_off(record, record["standing_off"])
    missing = unsafe + ([] if passed else ["Safety first passed at this visit"])
    titles = {check["id"]: check["title"] for check in procedure["checks"]} if unsafe else {}
    looks = [one for one in unmet(fire_needs(procedure), findings) if not _is_said(one, titles, unsafe)]
    missing += [need["words"] for need in looks]
    missing += _run_missing(procedure, record, off)
    return {
        "ok": not missing,
        "missing": missing,
        "found_ok": others or not record["heater_off"],
        "found_words": SHUT_IT_OFF if found_running(record) else None,
        "asks_words": None if missing or _is_known(record) else WHAT_MADE_IT_SAFE,
    }


def _is_said(need: Need, titles: dict[str, str], unsafe: list[str]) -> bool:
    """What was found and is not so now is among what is unsafe: by the check's answer, or by the need's own words."""
    said = [one for one in unsafe if one.endswith(need["words"]) or one.startswith(titles[need["check"]] + ":")]
    return len(said) > 0


def _is_known(record: Record) -> bool:
    return len(record["repairs"]) > 0 or len([one for one in record["causes"] if one["cause"] != "none_of_these"]) > 0


def not_shown_safe(procedure: Procedure, record: Record) -> str | None:
    """Why a heater that this job put back is not closed as one that runs; null where putting back is open."""
    if not record["put_back"]:
        return None
    findings = standing(procedure, record, findings_of(procedure, record))
    passed = gate_advice(procedure, findings)["state"] == "passed"
    advice = put_back_advice(procedure, record, [], findings, passed=passed)
    if advice["ok"]:
        return None
    how = "Found in service" if found_running(record) else "Put back"
    return how + ", and not shown to be safe. Still missing: " + "; ".join(advice["missing"]) + "."


def _run_missing(procedure: Procedure, record: Record, off: FoldPlace) -> list[str]:
    if not proven_since_repair(record) or fold_place(record["proofs"][-1]["by"]) < off:
        return ["the hot run"]
    if not record["proofs"][-1]["passed"]:
        return ["a hot run that held"]
    if record["proofs"][-1]["too_soon"]:
        return ["a hot run noted after its minutes have passed"]
    if record["proofs"][-1]["co_room_ppm"] is None:
        return ["CO in the room after the run, with its number"]
    judged = proof_holds(procedure, record)
    return [judged["why_words"]] if judged["passed"] is False else []
