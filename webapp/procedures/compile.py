"""YAML into the compiled form that phones and the server use: priors to one, sparse tables to full rows, a hash."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any, cast

from webapp.procedures.compile_proofs import compile_looks, compile_proofs
from webapp.trade.co_ladders import DEFAULT_LADDER, LADDERS

if TYPE_CHECKING:
    from webapp.trade.procedure_types import Procedure

# The last cause of every procedure: what no authored cause explains.
NONE_OF_THESE = "none_of_these"
# No outcome is impossible (the same floor as webapp/trade/rank.py).
FLOOR = 0.005
SENSES = ["eye", "hand", "meter", "gauge", "analyser"]
_DIGITS = 9


def compile_procedure(source: dict[str, Any]) -> Procedure:
    """The compiled procedure. Range: a source that `validate.problems` finds nothing wrong with."""
    causes = _causes(source)
    body = {
        "name": source["name"],
        "title": source["title"],
        "kind_words": source["kind_words"],
        "likelihood_source": source["likelihood_source"],
        "second_trip_minutes": _plain(source["second_trip_minutes"]),
        "complaints": source["complaints"],
        "senses": SENSES,
        "causes": causes,
        "repairs": [{**repair, "minutes": _plain(repair["minutes"])} for repair in source["repairs"]],
        "gate": source["gate"],
        "gate_cards": _gate_cards(source),
        "may_fire": [_need(need) for need in source["may_fire"]],
        "checks": [_check(check, causes) for check in source["checks"]],
        "closing_looks": compile_looks(source),
        "proofs": compile_proofs(source, _plain),
        "chain_words": source["chain_words"],
        "chain": source["chain"],
        "parts": source["parts"],
    }
    body["hash"] = hash_of(body)
    return cast("Procedure", body)


def canonical_json(body: dict[str, Any]) -> str:
    """Sorted keys, no spaces, UTF-8, whole numbers without a point: the same text from any JSON writer."""
    return json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def hash_of(body: dict[str, Any]) -> str:
    """SHA-256 of the canonical JSON without the hash itself, hex."""
    bare = {name: value for name, value in body.items() if name != "hash"}
    return hashlib.sha256(canonical_json(bare).encode()).hexdigest()


def _causes(source: dict[str, Any]) -> list[dict[str, Any]]:
    total = sum(cause["weight"] for cause in source["causes"])
    return [
        {
            "id": cause["id"],
            "words": cause["words"],
            "family": cause["family"],
            "prior": _plain(cause["weight"] / total),
            "repairs": cause.get("repairs", []),
            "proof_words": cause["proof_words"],
        }
        for cause in source["causes"]
    ]


def _check(check: dict[str, Any], causes: list[dict[str, Any]]) -> dict[str, Any]:
    compiled = _always(check, causes)
    if "flame_stays" in check:
        compiled["flame_stays"] = [_need(need) for need in check["flame_stays"]]
    for name in ("puts_out", "met_by"):  # left out where it is not so, as of a heater without a pilot
        if name in check:
            compiled[name] = check[name]
    return compiled


def _always(check: dict[str, Any], causes: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "id": check["id"],
        "part": check["part"],
        "sense": check["sense"],
        "minutes": _plain(check["minutes"]),
        "wait_minutes": _plain(check["wait_minutes"]) if "wait_minutes" in check else None,
        "trip": check.get("trip", check["id"]),
        "title": check["title"],
        "question": check["question"],
        "how": check["how"],
        "normal": check["normal"],
        "why": check["why"],
        "caution": check.get("caution"),
        "live": check.get("live", False),
        "fires": check.get("fires", False),
        "always": check.get("always", False),
        "from_event": check.get("from_event"),
        "powered": bool(check.get("powered") or check.get("live") or check.get("fires")),
        "parts_vent": check.get("parts_vent", False),
        "undone_by": check.get("undone_by"),
        "needs": [_need(need) for need in check.get("needs", [])],
        "sketch": check["sketch"],
        "outcomes": [_outcome(outcome) for outcome in check["outcomes"]],
        "readings": [_reading(reading) for reading in check.get("readings", [])],
        "rule": check.get("rule"),
        "photo_words": check.get("photo_words"),
        "rows": _rows(check, causes),
    }


def _rows(check: dict[str, Any], causes: list[dict[str, Any]]) -> dict[str, list[float]]:
    """Full rows: the sparse tables, floored; what is left over goes to the first outcome, the normal one."""
    ids = [outcome["id"] for outcome in check["outcomes"]]
    table = check.get("likelihoods")
    if table is None:
        return {outcome: [_plain(1 / len(ids))] * len(causes) for outcome in ids}
    rows = {
        outcome: [max(FLOOR, table[outcome].get(cause["id"], table[outcome]["else"])) for cause in causes[:-1]]
        for outcome in ids[1:]
    }
    # What none of the causes explains is taken to look like the average job, so that it neither gains nor loses.
    shares = [cause["prior"] / (1 - causes[-1]["prior"]) for cause in causes[:-1]]
    for outcome in ids[1:]:
        rows[outcome].append(sum(share * one for share, one in zip(shares, rows[outcome], strict=True)))
    rows[ids[0]] = [1 - sum(rows[outcome][h] for outcome in ids[1:]) for h in range(len(causes))]
    return {outcome: [_plain(one) for one in rows[outcome]] for outcome in ids}


def _gate_cards(source: dict[str, Any]) -> dict[str, Any]:
    """The gate as a phone can show it before its engine runs: what stops at the door, and every CO rule set."""
    checks = {check["id"]: check for check in source["checks"]}
    tiers = [
        {
            "check": check_id,
            "outcome": outcome["id"],
            "words": outcome["words"],
            "stop_words": outcome["stop_words"],
        }
        for check_id in source["gate"]
        for outcome in checks[check_id]["outcomes"]
        if outcome.get("stop_words") and checks[check_id].get("rule") != "co_outcome"
    ]
    ladders = [
        {**ladder, "steps": [{**step, "from_ppm": _plain(step["from_ppm"])} for step in ladder["steps"]]}
        for ladder in LADDERS
    ]
    return {"tiers": tiers, "ladders": ladders, "default_ladder": DEFAULT_LADDER}


def _need(need: dict[str, Any]) -> dict[str, Any]:
    compiled = {"check": need["check"], "outcomes": need["outcomes"], "words": need["words"]}
    if need.get("if_answered", False):
        compiled["if_answered"] = True  # left out where it is not so: a procedure without it keeps its hash
    return compiled


def _outcome(outcome: dict[str, Any]) -> dict[str, Any]:
    return {
        "id": outcome["id"],
        "words": outcome["words"],
        "verdict": outcome["verdict"],
        "stop_words": outcome.get("stop_words"),
        "rules_out": outcome.get("rules_out", False),
        "unsafe": outcome.get("unsafe", False),
    }


def _reading(reading: dict[str, Any]) -> dict[str, Any]:
    hard_low, hard_high = reading["hard"]
    usual_low, usual_high = reading["usual"]
    return {
        "quantity": reading["quantity"],
        "words": reading["words"],
        "unit": reading["unit"],
        "place": reading.get("place"),
        "state": reading.get("state"),
        "hard_low": _plain(hard_low),
        "hard_high": _plain(hard_high),
        "usual_low": _plain(usual_low),
        "usual_high": _plain(usual_high),
        "optional": reading.get("optional", False),
        "from_sheet": reading.get("from_sheet", False),
    }


def _plain(value: float) -> float:
    """Rounded to nine places, whole numbers without a point, so that every JSON writer gives the same text."""
    rounded = round(float(value), _DIGITS)
    return int(rounded) if rounded.is_integer() else rounded
