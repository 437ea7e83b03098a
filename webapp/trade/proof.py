"""Proof that fits the cause: what shows that the repair held, and whether the run that was made shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .figures import typed_figure, unsafe_in_run
from .figures_said import figure_said
from .gate import fire_needs, unmet
from .ordering import fold_place
from .put_back_counts import proven_since_repair
from .room_before import room_compared
from .standing import findings_of, parted_since, standing

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import ProofDue, ProofJudgement
    from .procedure_types import Measure, Procedure, Proof
    from .record_types import Record

# A hot run and two restarts are enough for most (expert guess); used where a procedure of an earlier day has no proofs.
PLAIN_MINUTES = 10
PLAIN_RESTARTS = 2

# A tick is no reading: where this look is compulsory, so is its figure.
ROOM_CO_LOOK = "co_again"


def proof_for(procedure: Procedure, cause: str | None) -> Proof:
    """The proof that names the cause, else the procedure's default. Example: a sag asks for slope and drainage."""
    proofs = procedure.get("proofs") or []
    for proof in proofs:
        if cause is not None and cause in proof["causes"]:
            return proof
    for proof in proofs:
        if proof["default"]:
            return proof
    words = [one["proof_words"] for one in procedure["causes"] if one["id"] == cause]
    return {
        "id": "hot_run",
        "default": True,
        "causes": [],
        "words": words[0] if words else "The same figure at the same place as before the repair.",
        "how": [],
        "quantity": None,
        "quantity_words": None,
        "unit": None,
        "measures": [],
        "minutes": PLAIN_MINUTES,
        "restarts": PLAIN_RESTARTS,
        "fans_on": True,
        "looks": [look["id"] for look in procedure["closing_looks"]],
    }


def proof_due(procedure: Procedure, record: Record, run: Any = None) -> ProofDue:
    """The proof that the cause named last asks for, the figure before the repair, and what is still missing.

    Of several figures the one that was read before the repair is asked for: the reading that convicted is the one that
    must come right. `run`: a proof run as it is being noted; without it the last one of the record.
    Range: any record. Example: "switch drifted" asks for the make point on the pump. Source: docs/trade.md; the
    minutes and restarts are expert guesses.
    """
    proof = proof_for(procedure, record["cause"])
    measure, before = _convicting(proof, record)
    run = run if run is not None else _last_run(record)
    due: Any = {
        "proof": proof["id"],
        "cause": record["cause"],
        "words": proof["words"],
        "how": proof["how"],
        "quantity": None if measure is None else measure["quantity"],
        "quantity_words": None if measure is None else measure["words"],
        "unit": None if measure is None else measure["unit"],
        "before": None if before is None else before["value"],
        "before_state": None if before is None else before["state"],
        "limit": None if measure is None else typed_figure(record, measure["limit_quantity"]),
        "limit_quantity": None if measure is None else measure["limit_quantity"],
        "looks": looks_due(procedure, record, proof),
        "minutes": proof["minutes"],
        "restarts": proof["restarts"],
        "fans_on": proof["fans_on"],
    }
    due["missing"] = _missing(procedure, record, due, run)
    return due  # type: ignore[no-any-return]


def proof_holds(
    procedure: Procedure,
    record: Record,
    run: Any = None,
    co_limit_ppm: float | None = None,
    elsewhere: list[Any] | None = None,
) -> ProofJudgement:
    """Whether the run shows that the repair held. It proposes; the technician says so, and is asked why if not.

    False: the figure did not come right or is unsafe by the check that reads it, the margin over the typed figure is
    short, or CO in the room is at the first step of the firm's rule set (`co_limit_ppm`). Null: something is missing,
    or there is nothing to compare with. Where no figure of the proof compares, CO in the room does if it was raised
    before, here or `elsewhere`.
    Range: any record. Example: suction 0.30 before, 0.43 hot after, make point 0.36: true (19 % over).
    Source: common practice; 15 % over the make point when hot is an expert guess.
    """
    run = run if run is not None else _last_run(record)
    if run is None:
        return {"passed": None, "why_words": "No hot run yet."}
    due = proof_due(procedure, record, run)
    measure = _measure_named(proof_for(procedure, record["cause"]), due["quantity"])
    room_ppm = run.get("co_room_ppm")
    if co_limit_ppm is not None and room_ppm is not None and room_ppm >= co_limit_ppm:
        return {"passed": False, "why_words": "CO in the room is raised. Off, and find where it comes from."}
    flue_ppm, flue_limit_ppm = run.get("co_air_free_ppm"), typed_figure(record, "co_air_free_limit_ppm")
    if flue_ppm is not None and flue_limit_ppm is not None and flue_ppm > flue_limit_ppm:
        return {"passed": False, "why_words": "CO air-free is over your firm's limit. Off, tagged, told."}
    before = run.get("before_value")
    after = _after(run, due["quantity"])
    unsafe = unsafe_in_run(procedure, record, run.get("quantity") or due["quantity"], run.get("after_value"))
    if unsafe is not None:
        return {"passed": False, "why_words": unsafe}
    compared = None
    if measure is not None and after is not None:
        turned = _is_turned(procedure, record, measure)
        compared = _compare(measure, turned, due["before"] if before is None else before, after, due["limit"])
        if compared["passed"] is False:
            return compared
        was = due["before"] if before is None else before
        if compared["passed"] is None and unsafe_in_run(procedure, record, measure["quantity"], was) is not None:
            so_no_more = compared["why_words"].replace("; no typed figure to compare with", "")
            compared = {"passed": True, "why_words": so_no_more}  # what convicted it
    if due["missing"]:
        return {"passed": None, "why_words": "Still missing: " + "; ".join(due["missing"]) + "."}
    room = None if compared is not None and compared["passed"] else room_compared(record, run, elsewhere or [])
    if room is not None:
        return {"passed": True, "why_words": room}
    if measure is None:
        return {"passed": True, "why_words": "Every start and every look was good; no single figure tells this one."}
    return compared or {"passed": None, "why_words": "There is no figure to compare."}


def looks_due(procedure: Procedure, record: Record, proof: Proof) -> list[str]:
    """The closing looks that are compulsory now: the proof's own, and those that a check made today calls for."""
    done = [finding["check"] for finding in record["checks"] if _was_done(finding)]
    due = []
    for look in procedure["closing_looks"]:
        called = [check for check in look.get("after_checks", []) if check in done]
        if look["id"] in proof["looks"] or called:
            due.append(look["id"])
    return due


def _was_done(finding: Any) -> bool:
    return True in [entry["outcome"] is not None for entry in finding["entries"]]


def says_room_co(record: Record, run: Any = None) -> bool:
    """Whether the run (being noted, else the record's last) has a reading of the room's CO."""
    run = run if run is not None else _last_run(record)
    return run is not None and run.get("co_room_ppm") is not None


def _last_run(record: Record) -> Any:
    return record["proofs"][-1] if proven_since_repair(record) else None


def _after(run: Any, quantity: str | None) -> float | None:
    """The run's figure of that quantity; CO air-free has a field of its own as well."""
    if run.get("after_value") is not None and run.get("quantity") in (None, quantity):
        return run["after_value"]  # type: ignore[no-any-return]
    return run.get("co_air_free_ppm") if quantity == "co_air_free_ppm" else None


def _convicting(proof: Proof, record: Record) -> tuple[Measure | None, Any]:
    """The first figure of the proof that was read before the repair, with that reading; else the first, and null."""
    for measure in proof["measures"]:
        before = _before_repair(record, measure["quantity"])
        if before is not None:
            return measure, before
    return (proof["measures"][0] if proof["measures"] else None), None


def _before_repair(record: Record, quantity: str) -> Any:
    """The last reading of it before the first repair; one read hot comes before one read cold."""
    first = fold_place(record["repairs"][0]["by"]) if record["repairs"] else None
    found: list[Any] = []
    for reading in record["readings"]:
        if reading["quantity"] == quantity and (first is None or fold_place(reading["by"]) < first):
            found.append(reading)
    hot = [reading for reading in found if reading["state"] == "hot"]
    last = hot or found
    return last[-1] if last else None


def _measure_named(proof: Proof, quantity: str | None) -> Measure | None:
    for measure in proof["measures"]:
        if measure["quantity"] == quantity:
            return measure
    return None


def _is_turned(procedure: Procedure, record: Record, measure: Measure) -> bool:
    turn = measure["turned_by"]
    if turn is None:
        return False
    finding = findings_of(procedure, record).get(turn["check"])
    return finding is not None and finding["outcome"] == turn["outcome"]


def _compare(measure: Measure, turned: bool, before: float | None, after: float, limit: float | None) -> ProofJudgement:
    """After against before, and against the typed figure with its margin. Suctions go by size, whatever their sign."""
    signed = measure["recovers"] is not None and measure["unit"] == "Pa"
    now = after if signed else abs(after)
    then = before if before is None or signed else abs(before)
    if limit is not None and measure["side"] is not None:
        short = _short_of(measure, turned, now, abs(limit))
        if short is not None:
            return {"passed": False, "why_words": short}
    wants = measure["recovers"]
    if turned and wants is not None:
        wants = "down" if wants == "up" else "up"
    if then is not None and wants is not None:
        if now <= then if wants == "up" else now >= then:
            return {"passed": False, "why_words": measure["words"] + ": no better than before the repair."}
        better = (": higher" if wants == "up" else ": lower") + " than before the repair"
        held = "." if limit is None or measure["side"] is None else ", and as the typed figure asks."
        return {"passed": True, "why_words": measure["words"] + better + held}
    if limit is not None and measure["side"] is not None:
        return {"passed": True, "why_words": measure["words"] + ": as the typed figure asks."}
    if then is None:
        return {"passed": None, "why_words": measure["words"] + ": nothing before and no typed figure to compare with."}
    both = figure_said(then, measure["unit"]) + " before, " + figure_said(now, measure["unit"]) + " now"
    return {"passed": None, "why_words": measure["words"] + ": " + both + "; no typed figure to compare with."}


def _short_of(measure: Measure, turned: bool, now: float, limit: float) -> str | None:
    side, margin = measure["side"], measure["margin"]
    if turned:
        side = "under" if side == "over" else "over" if side == "under" else side
    if side == "over" and now < limit * (1.0 + margin) - 1e-9:
        return measure["words"] + (
            ": under the typed figure." if now < limit else ": over the typed figure, but with too little margin."
        )
    if side == "under" and now * (1.0 + margin) > limit + 1e-9:
        return measure["words"] + (
            ": over the typed figure." if now > limit else ": under the typed figure, but with too little margin."
        )
    if side == "near" and abs(now - limit) > margin * limit + 1e-9:
        return measure["words"] + ": not at the typed figure."
    return None


def _missing(procedure: Procedure, record: Record, due: Any, run: Any) -> list[str]:
    """What still stands between now and a proof, in words."""
    missing = []
    if record["cause"] is None:
        missing.append("a cause named")
    if not record["repairs"]:
        missing.append("a repair noted")
    again = parted_since(procedure, record)
    missing += [words + ", seen again since the vent was parted" for words in again]
    stands = standing(procedure, record, findings_of(procedure, record))  # a burner that may not fire has not run
    missing += [need["words"] for need in unmet(fire_needs(procedure), stands) if need["words"] not in again]
    if run is None:
        return missing + ["the hot run"]
    if (run.get("minutes") or 0) < due["minutes"]:
        missing.append(_whole(due["minutes"]) + " minutes of running")
    if (run.get("restarts") or 0) < due["restarts"]:
        missing.append(_whole(due["restarts"]) + " restarts")
    done = run.get("looks_done") or []
    if due["fans_on"] and not run.get("fans_on") and "fans_on" not in done:
        missing.append("every fan and the dryer on")
    measured = _after(run, due["quantity"]) is not None
    comparable = due["before"] is not None or due["limit"] is not None
    if due["quantity"] is not None and comparable and not measured:
        missing.append(due["quantity_words"] + ", after")
    if ROOM_CO_LOOK in due["looks"] and run.get("co_room_ppm") is None:
        missing.append("CO in the room after the run, with its number")
    words = {look["id"]: look["words"] for look in procedure["closing_looks"]}
    return missing + [words[look] for look in due["looks"] if look not in done]


def _whole(number: float) -> str:
    return str(int(number))
