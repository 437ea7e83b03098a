"""Jobs closed for a part, or handed over, where nobody goes next: they wait for the office, not for a phone."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

from webapp.office import urgency_queries
from webapp.people.service import get_person

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


def still_owed(session: Session, now: datetime) -> dict[str, str]:
    """By job, in words. A note of the office after the close settles it: nobody has to go."""
    jobs = urgency_queries.get_left_to_do(session, now - LOOKED_BACK)
    return {job.id: OWED_WORDS[str(job.close_state)] for job in jobs if not _is_settled(session, job)}


def _is_settled(session: Session, job: Job) -> bool:
    record: Any = job.record or {}
    closed = record.get("closed")
    after = [
        note["by"] for note in record.get("notes", ()) if closed and note["by"]["lamport"] > closed["by"]["lamport"]
    ]
    people = (get_person(session, person_id) for person_id in {by["person_id"] for by in after})
    return any(person is not None and person.role != "technician" for person in people)
