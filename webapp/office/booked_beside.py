"""What else stands booked at an address: two people sent to one door know nothing of each other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.office import queries
from webapp.office.urgency_queries import WAITING
from webapp.sites.clock import wall_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.orm import Session

    from webapp.models import Job


@dataclass(frozen=True)
class AlsoBooked:
    """Another job there."""

    job_id: str
    words: str
    """`also booked here: today 17:00, Teo Marsh`."""


def also_booked(session: Session, jobs: Sequence[tuple[Job, str]]) -> dict[str, list[AlsoBooked]]:
    """The other jobs at the address of each of these, by job; `jobs` with the group of their address.

    Only for jobs that wait themselves: what is over is in nobody's way.
    """
    waiting = queries.get_waiting_jobs(session, {group for job, group in jobs if job.state in WAITING})
    return {
        job.id: [AlsoBooked(other.id, _words(other, name)) for other, name in waiting[group] if other.id != job.id]
        for job, group in jobs
        if job.state in WAITING and group in waiting
    }


def _words(job: Job, name: str | None) -> str:
    who = name or "nobody is going yet"
    if job.state == "open":
        return f"somebody is on another job here: {who}"
    return f"also booked here: {wall_words(job.due_wall) or 'no time promised'}, {who}"
