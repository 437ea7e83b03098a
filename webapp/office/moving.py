"""After a booking: another technician goes, something was heard wrong, more was heard, or nobody goes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from webapp.errors import Conflict, NotFound
from webapp.office import queries
from webapp.office.left_unsafe import left_unsafe
from webapp.office.still_owed import still_owed
from webapp.office.urgency import nobody_goes
from webapp.people.service import Draft, record_office_events

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Job, Person
    from webapp.trade.record_types import CallNote

CORRECTED = ("complaint", "complaint_words", "procedure_name", "phone", "due_wall", "due_cleared")


@dataclass(frozen=True)
class Sending:
    """Who goes, and why."""

    technician_id: str
    why: str = ""
    if_nobody_goes: bool = False
    """Only if nobody goes yet: the page that says so may be old."""


def move_job(session: Session, person: Person, job_id: str, how: Sending) -> None:
    """Record that another technician goes. What was noted so far stays with the job; a cancelled job is on again."""
    job = _standing(session, job_id)
    if how.if_nobody_goes and not nobody_goes(job):
        raise Conflict(
            "Meanwhile somebody was sent, or it was cancelled. Open the job: there you can still send another."
        )
    site = queries.get_site(session, job.site_id)
    if site is not None and not site.street and job.opened_at is None:
        raise Conflict("No street is known yet: there is nowhere to send anybody. Type the address first.")
    body: dict[str, Any] = {"technician_id": how.technician_id}
    if how.why:
        body["why"] = how.why
    _say(session, person, job, "job_moved", body)


def correct_job(session: Session, person: Person, job_id: str, *, changed: dict[str, Any], why: str) -> None:
    """Record what was heard or typed wrong; the first words stay in the events."""
    if set(changed) - set(CORRECTED):
        raise ValueError("not a part of a booking")
    job = _standing(session, job_id)
    if job.state == "cancelled":
        raise Conflict("This job is cancelled. Send somebody after all, then correct it.")
    _say(session, person, job, "job_moved", {**changed, "why": why}, schema=3 if "due_cleared" in changed else 2)


def correct_call(session: Session, person: Person, job_id: str, body: dict[str, Any], why_words: str = "") -> bool:
    """Record what the caller said, heard better, and why as a note. It replaces this person's own words alone.

    True where somebody else's stand beside it: what one of two heard as an alarm stays one.
    """
    job = _standing(session, job_id)
    calls = calls_of(job)
    own = [call["by"]["event_id"] for call in calls if call["by"]["person_id"] == person.id]
    _say(session, person, job, "call_taken", body, replaces=own)
    if why_words:
        _say(session, person, job, "note", {"words": why_words})
    return len(calls) > len(own)


def hear_from(session: Session, person: Person, job_id: str, *, who_id: str, words: str) -> None:
    """Record that somebody who is below was rung and heard: nobody waits for them any more."""
    job = queries.get_job(session, job_id)
    below = (job.record or {}).get("below_now", []) if job else []
    if job is None or who_id not in [line["by"]["person_id"] for line in below]:
        raise Conflict("Nobody is waited for here any more: they are out.")
    body = {"person_id": who_id} | ({"words": words} if words else {})
    _say(session, person, job, "came_out", body, schema=2)


def note(session: Session, person: Person, job_id: str, words: str) -> None:
    """Record what the office heard or did about a job, in whatever state it is."""
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    _say(session, person, job, "note", {"words": words})


def calls_of(job: Job) -> list[CallNote]:
    """What was said on the phone, by whoever took the call."""
    found: list[CallNote] = (job.record or {}).get("calls", [])
    return found


def cancel_job(session: Session, person: Person, job_id: str, *, why: str) -> None:
    """Record that nobody goes. What a phone notes meanwhile still comes in and is shown."""
    _say(session, person, _standing(session, job_id), "job_cancelled", {"why": why})


def settle_job(session: Session, person: Person, job_id: str, *, why: str) -> None:
    """Record that nobody has to go again for what a job left to do, or left unsafe."""
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    if not (still_owed(session, datetime.now(UTC), job_id) or left_unsafe(session, job_id)):
        raise Conflict("Nothing is owed here any more: it was settled meanwhile, or something is booked.")
    _say(session, person, job, "job_cancelled", {"why": why})


def _standing(session: Session, job_id: str) -> Job:
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    if job.state == "closed":
        raise Conflict("This job is closed: book a new one.")
    return job


def _say(
    session: Session,
    person: Person,
    job: Job,
    kind: str,
    body: dict[str, Any],
    *,
    schema: int = 1,
    replaces: list[str] | None = None,
) -> None:
    draft: Draft = {"site_id": job.site_id, "job_id": job.id, "kind": kind, "schema": schema, "body": body}
    record_office_events(session, person, [{**draft, "replaces": replaces or []}])
