"""The list of jobs: what waits longest on top, what is done newest first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.office import queries
from webapp.office.queries import JobEdge
from webapp.sites.clock import wall_words
from webapp.sites.event_reading import words_of_jobs
from webapp.sites.logbook import job_moment

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlalchemy import Select
    from sqlalchemy.orm import Session

    from webapp.models import Job, Site

    Row = tuple[Job, Site, str | None]

JOBS_A_PAGE = 25


@dataclass(frozen=True)
class Filter:
    """One way to see the list."""

    name: str
    words: str
    states: tuple[str, ...]
    newest_first: bool


FILTERS = (
    Filter("to_do", "To do", ("booked", "open"), newest_first=False),
    Filter("booked", "Booked", ("booked",), newest_first=False),
    Filter("open", "On the job", ("open",), newest_first=False),
    Filter("closed", "Closed", ("closed",), newest_first=True),
    Filter("all", "All", ("booked", "open", "closed"), newest_first=True),
)
EMPTY_WORDS = {
    "to_do": "Nothing to do: no job is booked, nobody is on one.",
    "booked": "No job waits to be begun.",
    "open": "Nobody is on a job that this office has heard of.",
    "closed": "No job is closed yet.",
    "all": "No job yet. The first call makes it.",
}
ORDER_WORDS = {False: "Waiting longest first", True: "Newest first"}


@dataclass(frozen=True)
class JobLine:
    """One job in the list."""

    job: Job
    site: Site
    technician: str
    complaint: str
    visits_before: int
    hints: list[str]


@dataclass(frozen=True)
class JobList:
    """A page of the list, with the counts that the filters show."""

    chosen: Filter
    counts: dict[str, int]
    lines: list[JobLine]
    edge: JobEdge | None
    first_page: bool
    kept_apart: int
    """Entries of phones that wait for the office's word."""


def filter_named(name: str | None) -> Filter:
    """The filter of this name; the first where there is none."""
    return next((one for one in FILTERS if one.name == name), FILTERS[0])


def list_jobs(session: Session, chosen: Filter, edge: JobEdge | None) -> JobList:
    """One page of jobs."""
    rows = _in_order(session, chosen, edge)
    shown = rows[:JOBS_A_PAGE]
    more = len(rows) > len(shown)
    if edge is None:
        shown = _rows(session, queries.select_jobs_without_booking(chosen.states).limit(JOBS_A_PAGE)) + shown
    states = queries.count_by_state(session, ("booked", "open"))
    counts = {"to_do": sum(states.values()), "booked": states.get("booked", 0), "open": states.get("open", 0)}
    last = shown[-1][0] if shown else None
    next_edge = JobEdge(last.booked_at, last.id) if more and last and last.booked_at else None
    return JobList(
        chosen=chosen,
        counts=counts,
        lines=_lines(session, shown),
        edge=next_edge,
        first_page=edge is None,
        kept_apart=queries.count_kept_apart(session),
    )


def _in_order(session: Session, chosen: Filter, edge: JobEdge | None) -> list[Row]:
    """The first rows of each state, merged: one more than a page shows."""
    found: list[Row] = []
    for state in chosen.states:
        jobs = queries.select_jobs_in_state(state, edge, newest_first=chosen.newest_first)
        found += _rows(session, jobs.limit(JOBS_A_PAGE + 1))
    found.sort(key=lambda row: (job_moment(row[0]), row[0].id), reverse=chosen.newest_first)
    return found[: JOBS_A_PAGE + 1]


def _rows(session: Session, found: Select[Job, Site, str]) -> list[Row]:
    return [(job, site, name) for job, site, name in session.execute(found)]


def _lines(session: Session, rows: Sequence[Row]) -> list[JobLine]:
    jobs = [job for job, _site, _name in rows]
    words = words_of_jobs(session, jobs)
    earlier = queries.get_earlier_visits(session, {site.group_id for _job, site, _name in rows})
    seen = queries.get_phones_last_seen(session, {job.technician_id for job in jobs if job.technician_id})
    waiting = queries.count_photos_on_phones(session, [job.id for job in jobs])
    return [
        JobLine(
            job=job,
            site=site,
            technician=name or "nobody yet",
            complaint=words[job.id].complaint(job.complaint) if job.complaint else "",
            visits_before=_before(job, earlier.get(site.group_id, [])),
            hints=_hints(job, seen, waiting.get(job.id, 0)),
        )
        for job, site, name in rows
    ]


def _before(job: Job, visits: list[tuple[datetime | None, str]]) -> int:
    return sum(
        booked_at is not None and (job.booked_at is None or (booked_at, job_id) < (job.booked_at, job.id))
        for booked_at, job_id in visits
        if job_id != job.id
    )


def _hints(job: Job, seen: dict[str, datetime | None], photos_waiting: int) -> list[str]:
    """What the office cannot know yet, in words."""
    hints = []
    if job.due_wall and job.state == "booked":
        hints.append(f"appointment {wall_words(job.due_wall)}")
    if job.booked_at is None:
        hints.append("its booking has not arrived")
    if job.state == "booked" and job.technician_id:
        last = seen.get(job.technician_id)
        if job.technician_id not in seen:
            hints.append("technician has no phone signed in")
        elif last is None or (job.booked_at and last < job.booked_at):
            hints.append("not on the phone yet")
    if photos_waiting:
        hints.append(f"{photos_waiting} {'photo' if photos_waiting == 1 else 'photos'} still on the phone")
    if job.needs_rebuild:
        hints.append("list line may be old: open the job")
    return hints
