"""From the store to the visits of a logbook: events, names, photos, and which visit came next."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from webapp.sites import queries
from webapp.sites.about_address import AddressFacts, address_facts
from webapp.sites.event_reading import arrived_of, words_of_jobs
from webapp.sites.found_in_service import standing_here
from webapp.sites.in_service import put_back_elsewhere
from webapp.sites.logbook import read_visit
from webapp.sites.off_here import put_back_here
from webapp.sites.timeline import Arrived

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.orm import Session

    from webapp.models import Job
    from webapp.sites.visit import Visit


def facts_of(session: Session, site_ids: Sequence[str]) -> AddressFacts:
    """What stands said about an address itself."""
    return address_facts([one.event for one in arrived_of(queries.get_facts_of_address(session, site_ids))])


def read_visits(
    session: Session,
    site_ids: Sequence[str],
    jobs: Sequence[Job],
    newer: Sequence[Job],
    now: datetime,
    facts: AddressFacts,
) -> list[Visit]:
    """The visits of these jobs, which are neighbours and newest first; `newer` are those that came after them."""
    if not jobs:
        return []
    by_job: dict[str, list[Arrived]] = {job.id: [] for job in jobs}
    for one in arrived_of(queries.get_events_of_jobs(session, list(by_job))):
        by_job[one.event["job_id"] or ""].append(one)
    words = words_of_jobs(session, jobs)
    people = {one.event["person_id"] for events in by_job.values() for one in events}
    booked_for = {one.event["body"].get("technician_id") for events in by_job.values() for one in events}
    wanted = people | {person for person in booked_for if isinstance(person, str)}
    names = queries.get_names(session, wanted)
    photos = {one.event["body"].get("sha256") for events in by_job.values() for one in events}
    stored = queries.get_stored_photos(session, {sha for sha in photos if isinstance(sha, str)})
    next_jobs = _came_next(jobs, newer, facts)
    back = any(_puts_back(events) for events in by_job.values())
    standing = standing_here(session, site_ids) if back or any(job.heater_off for job in jobs) else []
    return [
        read_visit(
            job,
            by_job[job.id],
            words=words[job.id],
            names=names,
            stored_photos=stored,
            next_job=next_job,
            now=now,
            elsewhere=put_back_elsewhere(session, job),
            put_back_here=put_back_here(session, job.id, site_ids) if _puts_back(by_job[job.id]) else [],
            standing=standing,
        )
        for job, next_job in zip(jobs, next_jobs, strict=True)
    ]


def _puts_back(arrived: Sequence[Arrived]) -> bool:
    return any(one.event["kind"] == "put_back" for one in arrived)


def _came_next(jobs: Sequence[Job], newer: Sequence[Job], facts: AddressFacts) -> list[Job | None]:
    """For each job the one that was gone to next at its heater; a cancelled booking is passed over.

    Where one of the two did not say which heater, it may have been the same one, and counts as that.
    """
    after = list(newer)  # the next one first
    found = []
    for job in jobs:
        heater = facts.heater_at(job.id)
        found.append(next((one for one in after if facts.heater_at(one.id) in (heater, None) or heater is None), None))
        if job.state != "cancelled" or job.opened_at is not None:
            after.insert(0, job)
    return found
