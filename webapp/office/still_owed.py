"""Jobs closed for a part, or handed over, where nobody goes next: they wait for the office, not for a phone."""

from __future__ import annotations

from datetime import timedelta
from textwrap import shorten
from typing import TYPE_CHECKING

from webapp.office import urgency_queries
from webapp.sites.phrases import quoted
from webapp.sites.settled import settled_why

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session

    from webapp.models import Job

LOOKED_BACK = timedelta(days=90)
"""What was closed longer ago and never booked is history: the list is for what can still be done."""
LONGEST = 140
OWED_WORDS = {
    "waiting_part": "waiting for a part, nothing booked",
    "handed_over": "handed over: who goes next?",
}


def still_owed(session: Session, now: datetime, job_id: str | None = None) -> dict[str, str]:
    """By job, in words, until something is booked there or the office says that nobody has to go.

    `job_id`: of that one alone.
    """
    jobs = urgency_queries.get_left_to_do(session, now - LOOKED_BACK, job_id)
    return {job.id: _words(job) for job in jobs if not settled_why(job.record or {})}


def _words(job: Job) -> str:
    """With what the technician said at the close: which part, and when it comes."""
    said = shorten(((job.record or {}).get("closed") or {}).get("words") or "", LONGEST, placeholder=" …")
    words = OWED_WORDS[str(job.close_state)]
    return f"{words}{'' if words.endswith('?') else ':'} {quoted(said)}" if said else words
