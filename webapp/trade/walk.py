"""The walk: which check comes next, and why. Gate first; then eye, hand, meter, gauge, analyser."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .closing import put_right_first, unsafe_found, unsafe_words
from .elsewhere import asked_anew, for_this_heater, gate_beside, safe_first, still_found
from .figures import figure_words
from .gate import fire_needs, gate_advice, may_fire
from .lifted import as_left, gate_for, lifted_for
from .looked_again import looked_again
from .off_before import known_first, off_before
from .plan import SAYS_SOMETHING_BITS, plan_walk
from .put_back import put_back_advice
from .rank import LIKELY_P, rank
from .said_words import unasked
from .standing import findings_of, standing
from .tables import tables_of
from .why_words import conclude_words, held_words, next_words
from .worth import first_repair, minutes_if_asked, repair_minutes_expected

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import Conclude, Evidence, NextCheck, WalkAdvice
    from .gate import Findings
    from .plan import Plan
    from .procedure_types import Procedure
    from .record_types import Record
    from .tables import Tables

# Sure enough to stop asking, whatever a further check costs (expert guess; screens never show more until proof).
SURE_P = 0.95


def advise(
    procedure: Procedure,
    record: Record,
    elsewhere: list[Any] | None = None,
    found: list[Any] | None = None,
    person_id: str | None = None,
) -> WalkAdvice:
    """What to do next, from the record, and from what other visits to the address left off (`elsewhere`) or `found`.

    `person_id`: who asks; what they found unsafe stands for them until they have heard who lifted it.

    Order: the gate; checks that are always asked; then by sense, within a sense by trip and by bits per minute, dead
    tests before live ones, ties by minutes and id. Source: docs/trade.md; the likelihoods are expert guesses.
    """
    tables = tables_of(procedure)
    raw = findings_of(procedure, record)
    evidence = evidence_of(procedure, raw)
    findings = standing(procedure, record, raw)
    beside = still_found(procedure, record, raw, found) if found else []
    here = for_this_heater(beside)
    if here:
        findings = asked_anew(procedure, findings, here)
    lifted = lifted_for(procedure, record, raw, findings, person_id) if person_id else []
    if lifted:
        findings = as_left(findings, lifted)
    gate = gate_for(gate_beside(procedure, gate_advice(procedure, findings), here), lifted)
    ranking = rank(procedure, evidence, failed=failed_causes(record), proven=proven_cause(record))
    p_of = {one["cause"]: one["p"] for one in ranking["causes"]}
    p = [p_of[cause["id"]] for cause in procedure["causes"]]
    before = off_before(record, elsewhere or [])
    fire = fire_needs(procedure) + known_first(record, before)
    fire += safe_first(procedure, here) if here else []
    asked = [need["check"] for need in fire]
    fire += [need for need in put_right_first(procedure, record, raw, findings) if need["check"] not in asked]
    plan = plan_walk(tables, record, findings, p, fire)
    conclude = _conclude(tables, plan, p)
    unsafe_here = unsafe_found(procedure, raw, findings)
    unsafe_here += [one["unsafe_words"] for one in lifted if one["unsafe_words"] not in unsafe_here]
    asks_back = before or record["heater_off"] or record["put_back"]
    unsafe = unsafe_words(procedure, record) if asks_back else unsafe_here
    return {
        "gate": gate,
        "next": _next(tables, record, plan) if gate["state"] == "passed" and not conclude["ready"] else None,
        "left": [
            {"sense": sense, "count": len([check for check in plan.worth_asking if check["sense"] == sense])}
            for sense in procedure["senses"]
        ],
        "may_fire": may_fire(fire, findings),
        "ranking": ranking["causes"],
        "fit": ranking["fit"],
        "conclude": conclude,
        "blocked": plan.blocked,
        "available": [check["id"] for check in plan.ready],
        "aside": [check["id"] for check in plan.aside],
        "unasked": unasked(record, procedure),
        "unsafe": unsafe_here,
        "off_before": before,
        "elsewhere": beside,
        "looked_again": looked_again(procedure, record, raw),
        "lifted": lifted,
        "by_figure": figure_words(procedure, findings),
        "put_back": put_back_advice(
            procedure,
            record,
            unsafe + [one["words"] for one in here],
            findings,
            passed=gate["state"] == "passed",
            others=bool(before),
        ),
    }


def evidence_of(procedure: Procedure, findings: Findings) -> list[Evidence]:
    """What counts for the ranking: answered and not contradicted."""
    found: list[Evidence] = []
    for check in procedure["checks"]:
        finding = findings.get(check["id"])
        if finding is not None and finding["state"] == "answered" and finding["outcome"] is not None:
            found.append({"check": check["id"], "outcome": finding["outcome"]})
    return found


def failed_causes(record: Record) -> list[str]:
    """Causes that were named, repaired, and then did not stand the proof run."""
    return [proof["cause"] for proof in record["proofs"] if not proof["passed"] and proof["cause"] is not None]


def proven_cause(record: Record) -> str | None:
    """The cause that stood named when the last proof run passed."""
    return record["proofs"][-1]["cause"] if record["proven"] else None


def _next(tables: Tables, record: Record, plan: Plan) -> NextCheck | None:
    if not plan.offered:
        return None
    check = plan.offered[0]
    differ = [one for one in record["checks"] if one["check"] == check["id"] and one["state"] == "contradicted"]
    opens = plan.opens.get(check["id"])
    before = None if opens is None else tables.check[opens]["title"]
    why = next_words(check, plan.told[check["id"]], contradicted=len(differ) > 0, before=before)
    return {"check": check["id"], "why_words": why}


def _conclude(tables: Tables, plan: Plan, p: list[float]) -> Conclude:
    """Ready when what must always be seen is seen, and no check left would save more minutes than it takes.

    Looks and touches that still say something come before any call for help. Source: ECO against ECR, as in worth.py.
    """
    first = first_repair(tables, p)
    cause = None if first is None else tables.procedure["causes"][first]["id"]
    ready = not [check for check in plan.worth_asking if check["always"]]
    if not plan.offered:
        ready = True  # there is nothing to offer, so there is nothing to wait for
    elif ready and max(p) < SURE_P:
        now = repair_minutes_expected(tables, p)
        for check in plan.worth_asking:
            cheap = check["sense"] in ("eye", "hand") and plan.told[check["id"]] >= SAYS_SOMETHING_BITS
            if cheap and cause is None or minutes_if_asked(tables, check, p) < now:
                ready = False
                break
    held = plan.held if ready and max(p) < LIKELY_P else []
    words = held_words(held) if held else conclude_words(ready, cause is not None, len(plan.offered))
    return {"ready": ready, "why_words": words, "cause": cause, "held": held}
