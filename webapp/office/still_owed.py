"""Jobs closed for a part, or handed over, where nobody goes next: they wait for the office, not for a phone."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from webapp.office import urgency_queries
from webapp.sites.settled import settled_why

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session

LOOKED_BACK = timedelta(days=90)
"""What was closed longer ago and never booked is history: the list is for what can still be done."""
OWED_WORDS = {
    "waiting_part": "waiting for a part, nothing booked",
    "handed_over": "handed over: who goes next?",
}


def still_owed(session: Session, now: datetime, job_id: str | None = None) -> dict[str, str]:
    """By job, in words, until something is booked there or the office says that nobody has to go.

    `job_id`: of that one alone.
    """
    jobs = urgency_queries.get_left_to_do(session, now - LOOKED_BACK, job_id)
    return {job.id: OWED_WORDS[str(job.close_state)] for job in jobs if not settled_why(job.record or {})}
