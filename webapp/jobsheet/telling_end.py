"""From a job's record: how the visit ended, in whose words, and what that leaves open for the household."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.plain_words import (
    CANCELLED_UNDER_WAY,
    ENDED,
    IN_DOUBT,
    LEAVES_OPEN,
    LEFT_IN_USE,
    LOOKS_MISSING,
    NO_FIRE,
    NOT_ENDED,
    NOT_RUN,
    WAS_RUN,
    sentence,
)
from webapp.jobsheet.sheet import Text
from webapp.sites.brought_in import held_said, is_brought_in
from webapp.trade.not_looked import not_looked_at
from webapp.trade.run_time import why_it_counts

if TYPE_CHECKING:
    from webapp.trade.procedure_types import Procedure
    from webapp.trade.record_types import Record

QUOTED = ("waiting_part", "handed_over", "declined", "not_proven", "not_seen_today", "replaced")
"""The phone asks for words with these, and says that the customer reads them."""


def end_lines(record: Record, procedure: Procedure | None, *, is_newest: bool = True) -> list[Text]:
    """How it ended; then what was said of it, and what is open. `is_newest`: nothing says more of it now."""
    told = [Text(_ended(record), "strong")]
    closed = record["closed"]
    if record["state"] != "closed" or closed is None or is_brought_in(record):
        return told
    if closed["state"] in QUOTED and closed["words"]:
        told.append(Text(f"In our technician's words: “{closed['words']}”"))
    if closed["state"] == "proven" and record["proofs"] and record["proofs"][-1]["too_soon"]:
        why = why_it_counts(closed["words"])
        told.append(Text(IN_DOUBT + (f" Why it counts, in our technician's words: “{why}”" if why else ""), "strong"))
    left_open = _open(record, procedure, closed["state"])
    return told + [Text(words) for words in left_open if words and (is_newest or words != LEFT_IN_USE)]


def _ended(record: Record) -> str:
    if record["state"] == "closed" and record["closed"] and is_brought_in(record):
        return f"This visit stands in our old files only. {sentence(held_said(record['closed']['words']).words)}"
    if record["state"] == "closed" and record["closed"]:
        return ENDED[record["closed"]["state"]]
    under_way = record["state"] == "cancelled" and (record["arrived"] or record["opened"])
    return CANCELLED_UNDER_WAY if under_way else NOT_ENDED[record["state"]]


def _open(record: Record, procedure: Procedure | None, state: str) -> list[str]:
    if state == "not_proven":
        return [_may_be_used(record, procedure), LEAVES_OPEN[state]] if not record["heater_off"] else []
    if state == "not_seen_today" and procedure is not None:
        return [WAS_RUN if _burner_was_run(record, procedure) else NOT_RUN]
    return [LEAVES_OPEN.get(state, "")]


def _may_be_used(record: Record, procedure: Procedure | None) -> str:
    """It ends so only with nothing unsafe; what was left off stands first on the sheet, with what it means."""
    if procedure is None:
        return ""
    return LOOKS_MISSING if not_looked_at(procedure, record) else LEFT_IN_USE


def _burner_was_run(record: Record, procedure: Procedure) -> bool:
    """By a test run, or by an answer to a check that fires it, and that does not say that it never lit."""
    fires = {check["id"] for check in procedure["checks"] if check.get("fires", False)}
    answered = ((one["check"], entry["outcome"]) for one in record["checks"] for entry in one["entries"])
    lit = any(outcome and outcome not in NO_FIRE.get(check, ()) for check, outcome in answered if check in fires)
    return bool(record["proofs"]) or lit
