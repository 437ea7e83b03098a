"""Rows made from events: job, finding, reading, photo, and what an address is called. All can be made again."""

from __future__ import annotations

import logging
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any, NamedTuple

from sqlalchemy.orm import Session

from webapp.models import Finding, Job, JobOutcome, Photo, PhotoUse, PutBackOf, Reading, StandingOff
from webapp.sync import queries
from webapp.sync.bodies import PHOTO_SCHEMAS
from webapp.sync.canonical import event_of
from webapp.sync.left_unsafe import is_left_unsafe
from webapp.sync.rows import (
    finding_rows,
    job_row,
    outcome_row,
    photo_rows,
    put_back_rows,
    reading_rows,
    site_values,
    standing_rows,
)
from webapp.trade.record import FOLD_VERSION, fold_job

if TYPE_CHECKING:
    from webapp.models.base import Base
    from webapp.trade.record_types import Record

log = logging.getLogger(__name__)

JobKey = tuple[str, str]
"""(site_id, job_id)"""


class FoldedJob(NamedTuple):
    """A job's record, and when the server had each of its events."""

    record: Record
    site_id: str
    job_id: str
    received: Mapping[str, datetime]


def project(session: Session, new: Sequence[Mapping[str, Any]], now: datetime) -> None:
    """Make the rows that these new events change. Whatever fails here, the events stay."""
    if not new:
        return
    by_job: dict[JobKey, list[Mapping[str, Any]]] = defaultdict(list)
    for event in new:
        if event["job_id"] is not None:
            by_job[event["site_id"], event["job_id"]].append(event)
    sites = {event["site_id"] for event in new if event["job_id"] is None}
    photos = [event for event in new if event["kind"] == "photo_taken" and event["schema"] in PHOTO_SCHEMAS]
    if photos:
        _safely(session, lambda: name_photos(session, photos), "photos of a batch")
    if by_job and not _safely(session, lambda: _project_jobs(session, by_job, now), "jobs of a batch"):
        for key in by_job:
            project_job_or_mark(session, key, now)
    for site_id in sorted(sites):
        project_site_or_mark(session, site_id)


def project_job_or_mark(session: Session, key: JobKey, now: datetime) -> bool:
    """One job by itself; where it fails the job is marked for a rebuild."""
    if _safely(session, lambda: _project_jobs(session, {key: []}, now), f"job {key[1]}"):
        return True
    queries.mark_job(session, key[1], key[0], now)
    return False


def project_site_or_mark(session: Session, site_id: str) -> bool:
    """What the address is called, from its own events; where it fails the site is marked."""
    if _safely(session, lambda: _project_site(session, site_id), f"site {site_id}"):
        return True
    queries.mark_site(session, site_id)
    return False


def name_photos(session: Session, events: Iterable[Mapping[str, Any]]) -> None:
    """From now on the bytes of these photos may come in."""
    photos, uses = photo_rows(events)
    queries.insert_if_absent(session, Photo, photos)
    queries.insert_if_absent(session, PhotoUse, uses)


def _project_jobs(session: Session, by_job: Mapping[JobKey, Sequence[Mapping[str, Any]]], now: datetime) -> None:
    """`by_job` may hold the new events of a job that was not there before: they are then all of its events."""
    known = queries.sites_of_jobs(session, [job_id for _, job_id in by_job])
    folded: list[FoldedJob] = []
    for (site_id, job_id), new in by_job.items():
        if known.get(job_id, site_id) != site_id:
            log.warning("job %s belongs to another site than %s: not projected", job_id, site_id)
            continue
        first = new and job_id not in known
        whole, received = _all_new(new, now) if first else _events_of(session, site_id, job_id)
        folded.append(FoldedJob(fold_job(whole), site_id, job_id, received))
    queries.delete_job_rows(session, [job.job_id for job in folded if job.job_id in known])
    insert_job_rows(session, folded)


def insert_job_rows(session: Session, folded: Iterable[FoldedJob]) -> None:
    """All rows of jobs that have none."""
    rows: dict[type[Base], list[dict[str, Any]]] = defaultdict(list)
    for record, site_id, job_id, received in folded:
        rows[Job].append(job_row(record, site_id=site_id, job_id=job_id, received=received))
        outcome = outcome_row(record, site_id=site_id, job_id=job_id)
        rows[JobOutcome].append(outcome | {"left_unsafe": is_left_unsafe(session, record)})
        rows[Finding].extend(finding_rows(record, site_id, job_id))
        rows[Reading].extend(reading_rows(record, site_id, job_id))
        rows[StandingOff].extend(standing_rows(record, site_id=site_id, job_id=job_id, received=received))
        rows[PutBackOf].extend(put_back_rows(record, job_id))
    for table, of_table in rows.items():
        queries.insert_rows(session, table, of_table)


def _project_site(session: Session, site_id: str) -> None:
    events = [event_of(row) for row in queries.events_of_site_itself(session, site_id)]
    queries.set_site_values(session, site_id, site_values(events))


def _all_new(new: Sequence[Mapping[str, Any]], now: datetime) -> tuple[list[Mapping[str, Any]], dict[str, datetime]]:
    return list(new), {event["id"]: now for event in new}


def _events_of(session: Session, site_id: str, job_id: str) -> tuple[list[Mapping[str, Any]], dict[str, datetime]]:
    """All events of the job, and when the server had each of them."""
    rows = queries.events_of_job(session, site_id, job_id)
    return [event_of(row) for row in rows], {row.id: row.received_at for row in rows}


def _safely(session: Session, work: Callable[[], None], what: str) -> bool:
    """Do the work in a savepoint; what it wrote is gone where it fails."""
    try:
        with session.begin_nested():
            work()
    except Exception:
        # Whatever it is: the events are the truth, and losing them over a row made from them would be the worse fault.
        log.exception("could not make the rows of %s (fold version %d)", what, FOLD_VERSION)
        return False
    return True
