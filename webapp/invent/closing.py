"""The end of a visit: the cause named, the repair, the hot run, and how it was closed."""

from __future__ import annotations

import random
from datetime import datetime, timedelta
from typing import Any

from webapp.invent.chance import pick, whole
from webapp.invent.hot_run import hot_run
from webapp.invent.makers import Model
from webapp.invent.plan import Visit
from webapp.invent.scribe import Scribe, wall
from webapp.invent.words import (
    DECLINED,
    HANDED_OVER,
    IN_PAIRS,
    NO_BETTER,
    NOT_FIRST,
    NOT_PROVEN,
    NOT_SEEN,
    NOTES,
    PART,
    PARTS,
    TOLD,
)
from webapp.trade.co_ladders import least_raised_ppm
from webapp.trade.proof import proof_holds
from webapp.trade.record import fold_job

OFFICE_TOLD = "The desk, from the driveway"
PROVEN_SHARE = 0.85
PART_NOTED_SHARE = 0.7
NOTE_SHARE = 0.25
TAKEN_BACK_SHARE = 0.3  # of the notes
_WORDS_OF_STATE = {
    "waiting_part": PART, "declined": DECLINED, "handed_over": HANDED_OVER, "not_seen_today": NOT_SEEN,
    "replaced": "Tank through at the seam as well; new heater set",
}  # fmt: skip


def action_of(procedure: dict[str, Any], visit: Visit) -> str | None:
    """What will be done for the cause as it will be named; None where nothing is repaired."""
    if visit.ending not in ("repaired", "replaced"):
        return None
    cause = next(c for c in procedure["causes"] if c["id"] == visit.named)
    return str((cause.get("repairs") or ["other"])[0]) if visit.ending == "repaired" else "other"


def name_and_repair(
    scribe: Scribe, rng: random.Random, procedure: dict[str, Any], visit: Visit, *, at: datetime, first: str | None
) -> None:
    """The cause as the technician named it, and what was done; nothing of it where the walk ended unsafe."""
    if visit.ending == "left_off":
        return
    named: dict[str, Any] = {"cause": visit.named}
    if first is not None and first != visit.named:
        named["words"] = pick(rng, NOT_FIRST)
    scribe.write(at + timedelta(seconds=30), "cause_named", named)
    action = action_of(procedure, visit)
    if action is None:
        return
    words = next((r["words"] for r in procedure["repairs"] if r["id"] == action), "Heater changed")
    scribe.write(
        at + timedelta(seconds=60), "repair_made", {"action": action} | ({"words": words} if action == "other" else {})
    )
    if rng.random() < PART_NOTED_SHARE and action in PARTS:
        count = whole(rng, 1, 2) if action in IN_PAIRS else 1
        part = {"part_words": PARTS[action], "count": count, "direction": "fitted"}
        scribe.write(at + timedelta(seconds=70), "part_used", part)


def close_visit(
    scribe: Scribe,
    rng: random.Random,
    procedure: dict[str, Any],
    visit: Visit,
    *,
    at: datetime,
    model: Model,
    before: dict[str, float],
) -> None:
    """The hot run where something was repaired, a note now and then, and the close."""
    state, ran_words = str(visit.ending), ""
    if rng.random() < NOTE_SHARE:
        note = scribe.write(at - timedelta(minutes=3), "note", {"words": pick(rng, NOTES)})
        if rng.random() < TAKEN_BACK_SHARE:
            scribe.write(at - timedelta(minutes=2), "withdrawn", {"why": "wrong job"}, replaces=[note["id"]])
    if state == "left_off":
        words = {
            "what_words": "Water heater, gas shut outside and tagged",
            "why_words": "Unsafe on entry",
            "told_words": pick(rng, TOLD),
        }
        scribe.write(at - timedelta(minutes=1), "left_off", words)
        told = at - timedelta(seconds=30)
        scribe.write(told, "office_told", {"told_wall": wall(told), "who_words": OFFICE_TOLD})
    if state in ("repaired", "replaced"):
        proven = rng.random() < PROVEN_SHARE or _room_rose(scribe)
        run, schema = hot_run(rng, procedure, visit.named, model, before, passed=proven)
        scribe.write(at - timedelta(minutes=1), "proof_run", run, schema=schema)
        ran_words = NO_BETTER if proven else NOT_PROVEN
        better = not proven or _shows_it(scribe, procedure)
        state = state if state == "replaced" else "proven" if proven and better else "not_proven"
    body = {"state": state}
    words_of_state = _WORDS_OF_STATE.get(state) or (ran_words if state == "not_proven" else None)
    scribe.write(at, "job_closed", body | ({"words": words_of_state} if words_of_state else {}))


def _shows_it(scribe: Scribe, procedure: dict[str, Any]) -> bool:
    """By the rules of the phone: now and then the figure was as good before the repair as after it."""
    if not procedure.get("proofs"):
        return True
    record = fold_job([event for batch in scribe.batches for event in batch.events if event["job_id"]])
    return proof_holds(procedure, record)["passed"] is not False  # type: ignore[arg-type]


def _room_rose(scribe: Scribe) -> bool:
    """With CO found in the room no run that failed ends a visit but by leaving the heater off."""
    bodies = [one["body"] for batch in scribe.batches for one in batch.events if one["kind"] == "reading_taken"]
    return any(one["quantity"] == "co_room_ppm" and one["value"] >= least_raised_ppm() for one in bodies)
