"""Jobs closed for a part, or handed over, where nobody goes next: they wait for the office, not for a phone."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

from webapp.office import urgency_queries

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session

    from webapp.models import Job

LOOKED_BACK = timedelta(days=90)
"""What was closed longer ago and never booked is history: the list is for what can still be done."""
OWED_WORDS = {
    "waiting_part": "waiting for a part, nothing booked",
    "handed_over": "handed over: who goes next?",
}


def still_owed(session: Session, now: datetime, job_id: str | None = None) -> dict[str, str]:
    """By job, in words; `job_id`: of that one alone. A note of the office after the close settles it: nobody goes."""
    jobs = urgency_queries.get_left_to_do(session, now - LOOKED_BACK, job_id)
    noted = {job.id: _noted_after_the_close(job) for job in jobs}
    office = urgency_queries.get_who_are_of_the_office(session, set().union(*noted.values()))
    return {job.id: OWED_WORDS[str(job.close_state)] for job in jobs if not noted[job.id] & office}


def _noted_after_the_close(job: Job) -> set[str]:
    """The people who noted something on it since."""
    record: Any = job.record or {}
    closed = record.get("closed")
    notes = [note["by"] for note in record.get("notes", ()) if closed]
    return {by["person_id"] for by in notes if by["lamport"] > closed["by"]["lamport"]}
