"""Reading an address and its history, or one job. One use case, one function; nothing here writes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from webapp.errors import NotFound
from webapp.sites import queries
from webapp.sites.about_address import AddressFacts
from webapp.sites.at_once import AtOnce, DidNotHold, at_once
from webapp.sites.clock import day_or_moment, job_moment
from webapp.sites.event_reading import arrived_of
from webapp.sites.found_in_service import standing_here
from webapp.sites.heater_logs import HeaterLog, heater_logs
from webapp.sites.off_here import OffHere
from webapp.sites.procedure_words import ProcedureWords
from webapp.sites.queries import VisitCount
from webapp.sites.reading_visits import facts_of, read_visits
from webapp.sites.timeline import timeline
from webapp.sites.visit import JobPlace

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy.orm import Session

    from webapp.models import Job, Site
    from webapp.sites.visit import Line, Visit

VISITS_A_PAGE = 10
LATER_LOOKED_AT = 10
"""Visits after a page among which the next one at the same heater is looked for."""


@dataclass(frozen=True)
class History:
    """An address with a page of its logbook."""

    site: Site
    others: list[Site]
    """Other site ids that were said to be the same address."""
    facts: AddressFacts
    count: VisitCount
    visits: list[Visit]
    at_once: AtOnce
    logs: list[HeaterLog]
    """The same visits by heater."""
    lines: list[Line]
    """What was said about the address itself."""
    before: JobPlace | None

    def named(self, visit: Visit | DidNotHold) -> str:
        """What a visit is called on the page: the day on which it was made, and its hour where another one was too."""
        return day_or_moment(visit.made, [one.made for one in self.visits])


@dataclass(frozen=True)
class JobPage:
    """One job, whole, with the address it is at."""

    job: Job
    site: Site
    facts: AddressFacts
    visit: Visit
    visits_before: int
    off_here: list[OffHere]
    """What other visits to this address left off, and nobody has put back."""


def read_address(session: Session, site_id: str, before: JobPlace | None) -> History:
    """An address with a page of its logbook, newest first."""
    sites = queries.get_sites_of_group(session, site_id)
    site = next((one for one in sites if one.id == site_id), None)
    if site is None:
        raise NotFound("There is no such address here.")
    ids, now = [one.id for one in sites], datetime.now(UTC)
    found = session.scalars(queries.select_jobs_of_sites(ids, before).limit(VISITS_A_PAGE + 1)).all()
    jobs = found[:VISITS_A_PAGE]
    newer = queries.get_next_jobs(session, ids, before, LATER_LOOKED_AT) if before else []
    facts = facts_of(session, ids)
    visits = read_visits(session, ids, jobs, newer, now, facts)
    arrived = arrived_of(queries.get_events_of_address(session, ids))
    names = queries.get_names(session, {one.event["person_id"] for one in arrived})
    return History(
        site=site,
        others=[one for one in sites if one.id != site_id],
        facts=facts,
        count=queries.get_visit_counts(session, [site.group_id]).get(site.group_id, VisitCount(0, None)),
        visits=visits,
        at_once=at_once(visits),
        logs=heater_logs(visits, facts),
        lines=timeline(arrived, ProcedureWords(None), names),
        before=JobPlace(job_moment(jobs[-1]), jobs[-1].id) if len(found) > len(jobs) else None,
    )


def get_names(session: Session, person_ids: Collection[str]) -> dict[str, str]:
    """Names by person id; who is not known here is absent."""
    return queries.get_names(session, person_ids)


def read_job(session: Session, job_id: str) -> JobPage:
    """One job with all its events."""
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    sites = queries.get_sites_of_group(session, job.site_id)
    ids = [one.id for one in sites]
    place = JobPlace(job_moment(job), job.id)
    newer, facts = queries.get_next_jobs(session, ids, place, LATER_LOOKED_AT), facts_of(session, ids)
    visit = read_visits(session, ids, [job], newer, datetime.now(UTC), facts)[0]
    return JobPage(
        job=job,
        site=next(one for one in sites if one.id == job.site_id),
        facts=facts,
        visit=visit,
        visits_before=queries.count_jobs_before(session, ids, place),
        off_here=[one for one in standing_here(session, ids) if one.job_id != job.id],
    )
