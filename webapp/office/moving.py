"""After a booking: another technician goes, something was heard wrong, or nobody goes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from webapp.errors import Conflict, NotFound
from webapp.office import queries
from webapp.people.service import record_office_events

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Job, Person

CORRECTED = ("complaint", "complaint_words", "procedure_name", "phone", "due_wall")


def move_job(session: Session, person: Person, job_id: str, *, technician_id: str, why: str) -> None:
    """Record that another technician goes. What was noted so far stays with the job; a cancelled job is on again."""
    body: dict[str, Any] = {"technician_id": technician_id}
    if why:
        body["why"] = why
    _say(session, person, _standing(session, job_id), "job_moved", body)


def correct_job(session: Session, person: Person, job_id: str, *, changed: dict[str, str], why: str) -> None:
    """Record what was heard or typed wrong; the first words stay in the events."""
    if set(changed) - set(CORRECTED):
        raise ValueError("not a part of a booking")
    job = _standing(session, job_id)
    if job.state == "cancelled":
        raise Conflict("This job is cancelled. Send somebody after all, then correct it.")
    _say(session, person, job, "job_moved", {**changed, "why": why}, schema=2)


def cancel_job(session: Session, person: Person, job_id: str, *, why: str) -> None:
    """Record that nobody goes. What a phone notes meanwhile still comes in and is shown."""
    _say(session, person, _standing(session, job_id), "job_cancelled", {"why": why})


def _standing(session: Session, job_id: str) -> Job:
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    if job.state == "closed":
        raise Conflict("This job is closed: book a new one.")
    return job


def _say(session: Session, person: Person, job: Job, kind: str, body: dict[str, Any], *, schema: int = 1) -> None:
    draft = {"site_id": job.site_id, "job_id": job.id, "kind": kind, "schema": schema, "body": body}
    record_office_events(session, person, [draft])  # type: ignore[list-item]  # a dict literal of known keys
