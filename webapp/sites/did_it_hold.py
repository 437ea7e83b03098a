"""Did the repair hold: the hot run on the day, and the days since."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.brought_in import held_said, is_brought_in
from webapp.sites.clock import noted_at, span_words
from webapp.sites.procedure_words import CLOSE_WORDS, Said, number_words
from webapp.trade.run_time import too_soon_words, why_it_counts

if TYPE_CHECKING:
    from datetime import datetime, timedelta

    from webapp.trade.record_types import Record

WINDOWS_DAYS = (30, 90)
"""A return visit within these counts; the same windows as in webapp/audit (a test compares them)."""
NOTHING_TO_HOLD = ("declined", "left_off", "waiting_part", "not_seen_today")


def held(record: Record, *, came_back: bool, now: datetime) -> list[Said]:
    """What is known of whether it held, the proof first."""
    if record["state"] == "cancelled":
        return [Said("Cancelled")]
    if record["state"] != "closed" or record["closed"] is None:
        return [Said("Not begun yet" if record["state"] == "booked" else "Still on the job")]
    from_file = is_brought_in(record)
    told = [held_said(record["closed"]["words"])] if from_file else [_proof(record), *_too_soon(record)]
    if not from_file and record["closed"]["state"] not in ("proven", "not_proven"):
        told.append(Said(f"Closed: {CLOSE_WORDS[record['closed']['state']]}"))
    closed_at = noted_at(record["closed"]["by"], None).noted
    if not came_back and closed_at is not None and now > closed_at:
        told.append(_since(now - closed_at, may_hold=_may_hold(record)))
    return told


def _proof(record: Record) -> Said:
    if not record["proofs"]:
        return Said("Nothing was repaired") if _is_untouched(record) else Said("No hot run recorded", "not_checked")
    last = record["proofs"][-1]
    run = f"hot run of {number_words(last['minutes'])} min"
    return Said(f"Held in the {run}", "good") if last["passed"] else Said(f"Did not hold in the {run}", "bad")


def _too_soon(record: Record) -> list[Said]:
    """What the clocks say against the last run's minutes."""
    last = record["proofs"][-1] if record["proofs"] else None
    soon = last["too_soon"] if last else None
    if not last or not soon:
        return []
    told = [Said(too_soon_words(soon, last["minutes"]), "doubtful")]
    closed = record["closed"]
    if closed is None or closed["state"] != "proven":
        return told
    why = why_it_counts(closed["words"])
    return [*told, Said(f"Why it still counts: {why}") if why else Said("Nobody said why it still counts", "doubtful")]


def _is_untouched(record: Record) -> bool:
    """It was closed with nothing done that could hold."""
    closed = record["closed"]
    worked = record["repairs"] or record["parts"]
    return closed is not None and closed["state"] in NOTHING_TO_HOLD and not worked


def _may_hold(record: Record) -> bool:
    """Something was done, and nothing on the day says that it failed."""
    failed = bool(record["proofs"]) and not record["proofs"][-1]["passed"]
    state = record["closed"]["state"] if record["closed"] else ""
    return bool(record["repairs"] or record["parts"]) and not failed and state not in NOTHING_TO_HOLD


def _since(span: timedelta, *, may_hold: bool) -> Said:
    """Nobody was called back: for how long, and whether that says something yet."""
    if not may_hold:
        return Said(f"No visit since then, {span_words(span)}")
    told = f"Held so far: {span_words(span)} without another visit"
    still_open = next((days for days in WINDOWS_DAYS if span.days < days), None)
    if still_open is None:
        return Said(f"{told}, longer than the {WINDOWS_DAYS[-1]} days that count")
    return Said(f"{told}; its {still_open} days are not over")
