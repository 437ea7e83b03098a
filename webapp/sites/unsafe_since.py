"""What other visits to an address found unsafe after one: whoever has the earlier visit's sheet must not miss it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, cast

from webapp.sites import queries
from webapp.sites.event_reading import words_of_jobs
from webapp.sites.stands_unsafe import entry_of, stands_unsafe
from webapp.trade.elsewhere import for_this_heater, still_found
from webapp.trade.moments import moment_ms
from webapp.trade.record import FOLD_VERSION
from webapp.trade.standing import findings_of

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy.orm import Session

    from webapp.models import Job
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.trade.record_types import Record

MOST_LOOKED_AT = 20
"""Other visits, those heard of last: what is older was answered or left off long since."""


@dataclass(frozen=True)
class UnsafeSince:
    """An unsafe answer of another visit that no later visit has answered."""

    check: str
    outcome: str
    record: Record
    words: ProcedureWords
    at: datetime
    heard_at: datetime
    """When the server last heard of that visit."""


def unsafe_since(session: Session, job: Job, record: Record, site_ids: Collection[str]) -> list[UnsafeSince]:
    """The earliest first; of another heater only what is of the room. What was left off is told by itself."""
    ended_ms = _ended_ms(record)
    if ended_ms is None:
        return []
    others = [one for one in queries.get_begun_jobs(session, site_ids, job.id, MOST_LOOKED_AT) if _is_read(one)]
    words = words_of_jobs(session, [job, *others])
    found = [
        one for other in others for one in _found(other, words[other.id]) if round(one.at.timestamp() * 1000) > ended_ms
    ]
    here = [(words[job.id], record), *((words[one.id], _record(one)) for one in others)]
    return sorted((one for one in found if _stands(one, here)), key=lambda one: one.at)


def _ended_ms(record: Record) -> int | None:
    """When this visit was over; while it goes on, when it began."""
    last = record["closed"] or record["arrived"] or record["opened"]
    return moment_ms(last["by"]) if last else None


def _found(job: Job, words: ProcedureWords) -> list[UnsafeSince]:
    record = _record(job)
    found = []
    for check, outcome in stands_unsafe(words.procedure, record):
        at_ms = moment_ms(entry_of(words.procedure, record, check, outcome)["by"])  # type: ignore[arg-type]  # it stands
        if at_ms is not None:
            at = datetime.fromtimestamp(at_ms / 1000, UTC)
            found.append(UnsafeSince(check, outcome, record, words, at, job.last_received_at))
    return found


def _stands(one: UnsafeSince, here: list[tuple[ProcedureWords, Record]]) -> bool:
    """No visit but its own has looked at it since; and it may be of this heater."""
    line: Any = {
        "check": one.check,
        "at_ms": round(one.at.timestamp() * 1000),
        "appliance_ids": [line["appliance_id"] for line in one.record["appliances"]],
    }
    left = [
        still_found(words.procedure, record, _raw(words, record), [line])
        for words, record in here
        if record is not one.record
    ]
    return bool(for_this_heater(left[0])) and all(left)


def _raw(words: ProcedureWords, record: Record) -> Any:
    return findings_of(words.procedure, record) if words.procedure else {one["check"]: one for one in record["checks"]}


def _is_read(job: Job) -> bool:
    """One that an older fold made waits for its rebuild."""
    record: Any = job.record
    return bool(record) and record.get("fold_version") == FOLD_VERSION


def _record(job: Job) -> Record:
    return cast("Record", job.record)
