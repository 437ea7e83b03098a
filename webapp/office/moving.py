"""Giving a job to another technician."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from webapp.errors import Conflict, NotFound
from webapp.office import queries
from webapp.people.service import record_office_events

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Person


def move_job(session: Session, person: Person, job_id: str, *, technician_id: str, why: str) -> None:
    """Record that another technician goes. What was noted so far stays with the job."""
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    if job.state == "closed":
        raise Conflict("This job is closed: book a new one.")
    body: dict[str, Any] = {"technician_id": technician_id}
    if why:
        body["why"] = why
    record_office_events(
        session, person, [{"site_id": job.site_id, "job_id": job.id, "kind": "job_moved", "body": body}]
    )
