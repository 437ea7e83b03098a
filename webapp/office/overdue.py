"""Who should be out of a basement by now: told on every page of the office, whatever else is being done there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, cast

from webapp.office import urgency_queries
from webapp.office.urgency import Ringing, due_out_words
from webapp.sheets.settings import read_settings
from webapp.sites.ringing import rang_in_vain, whose_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.orm import Session

    from webapp.models import Job
    from webapp.trade.record_types import Record

MOST_TOLD = 5
SOMEBODY = "somebody unknown here"


@dataclass(frozen=True)
class Overdue:
    """One job with somebody below for too long."""

    job_id: str
    street: str
    who: str
    words: str
    """When they were due, how long ago that was."""
    ring: str
    """The number to ring; empty where none was given."""
    ringing: Ringing


@dataclass(frozen=True)
class OverdueNow:
    """All of them, the first due on top; no more than a screen can show."""

    lines: list[Overdue]
    count: int
    as_of: datetime


def read_overdue(session: Session, now: datetime | None = None) -> OverdueNow:
    """Who is overdue now."""
    now = now or datetime.now(UTC)
    found = [(job, street) for job, street in session.execute(urgency_queries.select_overdue(now).limit(MOST_TOLD))]
    below = {job.id: _who_is_below(job) for job, _street in found}
    ringing = ringing_of(session, [job.id for job, _street in found])
    names = urgency_queries.get_names(session, {one for ids in below.values() for one in ids}) if below else {}
    lines = [
        Overdue(
            job_id=job.id,
            street=street or "Address not given yet",
            who=", ".join(names.get(one, SOMEBODY) for one in below[job.id]) or SOMEBODY,
            words=due_out_words(job, now).partition(", ring ")[0].partition(", no number")[0],
            ring=job.ring_phone or "",
            ringing=ringing.get(job.id, Ringing()),
        )
        for job, street in found
    ]
    count = len(lines) if len(lines) < MOST_TOLD else urgency_queries.count_overdue(session, now)
    return OverdueNow(lines, count, now)


def ringing_of(session: Session, job_ids: Sequence[str]) -> dict[str, Ringing]:
    """By job: whose number was given, and who rang about it since they went below."""
    found = urgency_queries.get_ringing(session, job_ids) if job_ids else []
    if not found:
        return {}
    offices = read_settings(session).office_phone
    noted_by = {note["by"]["person_id"] for _id, record, *_ in found for note in record["notes"]}
    names = urgency_queries.get_names(session, noted_by) if noted_by else {}
    told = {}
    for job_id, record, ring, phone in found:
        customers = [phone, (record["booked"] or {}).get("phone") or ""]
        rang = rang_in_vain(cast("Record", record), names)
        told[job_id] = Ringing(whose_number(ring, customers, offices), (rang,) if rang else ())
    return told


def _who_is_below(job: Job) -> list[str]:
    """Everybody who went down and was not heard from: not always whoever the job is booked for."""
    below = job.record.get("below_now", []) if job.record else []
    return list(dict.fromkeys(one["by"]["person_id"] for one in below)) or (
        [job.technician_id] if job.technician_id else []
    )
