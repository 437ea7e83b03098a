"""The walk: which check comes next, and why. Gate first; then eye, hand, meter, gauge, analyser."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .gate import finding_of, gate_advice, may_fire, missing_needs
from .ordering import in_order
from .rank import rank
from .why_words import conclude_words, next_words
from .worth import bits, first_repair, minutes_if_asked, repair_minutes_expected

if TYPE_CHECKING:
    from .advice_types import Blocked, Conclude, Evidence, NextCheck, WalkAdvice
    from .procedure_types import Check, Procedure
    from .record_types import Record

# A trip that tells less is no reason to hold back the next tool. Measured on an invented model (statistics of the
# planner: holding the meter back for 0.15 bit costs 1 % of the minutes, for 0.05 bit 3 %, and nags).
SAYS_SOMETHING_BITS = 0.15
# Below this nothing is offered unasked; it can always be answered on the drawing.
SAYS_NOTHING_BITS = 0.02
# Sure enough to stop asking, whatever a further check costs (expert guess; screens never show more until proof).
SURE_P = 0.95


def advise(procedure: Procedure, record: Record) -> WalkAdvice:
    """What to do next, from the record alone.

    Order: the gate; checks that are always asked; then by sense, within a sense by trip and by bits per minute, dead
    tests before live ones, ties by minutes and id. Source: docs/trade.md; the likelihoods are expert guesses.
    """
    gate = gate_advice(procedure, record)
    ranking = rank(procedure, evidence_of(procedure, record), failed=failed_causes(record), proven=proven_cause(record))
    p_of = {one["cause"]: one["p"] for one in ranking["causes"]}
    p = [p_of[cause["id"]] for cause in procedure["causes"]]
    ready, blocked = _candidates(procedure, record)
    told = {check["id"]: bits(check, p) for check in ready}
    ordered = _in_walk_order(procedure, record, ready, told)
    offered = [check for check in ordered if told[check["id"]] >= SAYS_NOTHING_BITS or check["always"]]
    conclude = _conclude(procedure, offered, told, p)
    return {
        "gate": gate,
        "next": _next(record, gate["state"] == "passed" and not conclude["ready"], offered, told),
        "left": [
            {"sense": sense, "count": len([check for check in offered if check["sense"] == sense])}
            for sense in procedure["senses"]
        ],
        "may_fire": may_fire(procedure, record),
        "ranking": ranking["causes"],
        "fit": ranking["fit"],
        "conclude": conclude,
        "blocked": blocked,
        "available": [check["id"] for check in ordered],
        "aside": [check["id"] for check in ordered if check not in offered],
    }


def evidence_of(procedure: Procedure, record: Record) -> list[Evidence]:
    """What counts for the ranking: answered and not contradicted."""
    found: list[Evidence] = []
    for check in procedure["checks"]:
        finding = finding_of(procedure, record, check)
        if finding is not None and finding["state"] == "answered" and finding["outcome"] is not None:
            found.append({"check": check["id"], "outcome": finding["outcome"]})
    return found


def failed_causes(record: Record) -> list[str]:
    """Causes that were named, repaired, and then did not stand the proof run."""
    return [proof["cause"] for proof in record["proofs"] if not proof["passed"] and proof["cause"] is not None]


def proven_cause(record: Record) -> str | None:
    """The cause that stood named when the last proof run passed."""
    return record["proofs"][-1]["cause"] if record["proven"] else None


def _candidates(procedure: Procedure, record: Record) -> tuple[list[Check], list[Blocked]]:
    """Checks still to be asked: those that may be done now, and those that wait for something."""
    ready: list[Check] = []
    blocked: list[Blocked] = []
    fire_missing = may_fire(procedure, record)["missing"]
    for check in procedure["checks"]:
        finding = finding_of(procedure, record, check)
        if check["id"] in procedure["gate"] or finding is not None and finding["state"] != "contradicted":
            continue
        missing = missing_needs(procedure, record, check["needs"]) + (fire_missing if check["fires"] else [])
        if missing:
            blocked.append({"check": check["id"], "missing_words": missing})
        else:
            ready.append(check)
    return ready, blocked


def _in_walk_order(
    procedure: Procedure, record: Record, ready: list[Check], told: dict[str, float]
) -> list[Check]:
    """All that can be done now, in the order in which it would be offered."""
    trips: dict[str, float] = {}
    owed: set[str] = set()
    for check in ready:
        trip = _trip(check)
        trips[trip] = trips.get(trip, 0.0) + told[check["id"]]
        if check["always"]:
            owed.add(trip)
    here = _last_trip(procedure, record)

    def place(check: Check) -> tuple[int, int, int, int, int, float, str]:
        trip = _trip(check)
        says = trips[trip] >= SAYS_SOMETHING_BITS or trip in owed
        return (
            0 if says else 1,
            procedure["senses"].index(check["sense"]),
            1 if check["live"] else 0,
            0 if trip == here else 1,
            -int(told[check["id"]] / check["minutes"] * 1e9 + 0.5),
            check["minutes"],
            check["id"],
        )

    return in_order(ready, key=place)


def _trip(check: Check) -> str:
    return check["sense"] + " " + check["trip"]


def _last_trip(procedure: Procedure, record: Record) -> str | None:
    """Where the technician stands: the trip of the check answered last."""
    last = (-1, "")
    for finding in record["checks"]:
        for entry in finding["entries"]:
            last = max(last, (entry["by"]["lamport"], finding["check"]))
    for check in procedure["checks"]:
        if check["id"] == last[1]:
            return _trip(check)
    return None


def _next(record: Record, walking: bool, offered: list[Check], told: dict[str, float]) -> NextCheck | None:
    if not walking or not offered:
        return None
    check = offered[0]
    differs = [finding for finding in record["checks"] if finding["check"] == check["id"]]
    return {"check": check["id"], "why_words": next_words(check, told[check["id"]], len(differs) > 0)}


def _conclude(procedure: Procedure, offered: list[Check], told: dict[str, float], p: list[float]) -> Conclude:
    """Ready when what must always be seen is seen, and no check left would save more minutes than it takes.

    Looks and touches that still say something come before any call for help. Source: ECO against ECR, as in worth.py.
    """
    first = first_repair(procedure, p)
    cause = None if first is None else procedure["causes"][first]["id"]
    ready = not [check for check in offered if check["always"]]
    if ready and max(p) < SURE_P:
        now = repair_minutes_expected(procedure, p)
        for check in offered:
            cheap = check["sense"] in ("eye", "hand") and told[check["id"]] >= SAYS_SOMETHING_BITS
            if cheap and cause is None or minutes_if_asked(procedure, check, p) < now:
                ready = False
                break
    return {"ready": ready, "why_words": conclude_words(ready, cause is not None, len(offered)), "cause": cause}
