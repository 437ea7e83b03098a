"""All SQL about addresses and their histories. A history is read by site and by job: no query grows with the store."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import and_, case, func, or_, select
from sqlalchemy.orm import defer

from webapp.models import EventRow, Job, Person, Photo, ProcedureVersion, Site
from webapp.sites.visit import JobPlace

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from sqlalchemy import ColumnElement, Select
    from sqlalchemy.orm import Session

job_stands_at = func.coalesce(Job.booked_at, Job.opened_at, Job.last_received_at)
"""Where a job stands in the logbook: when it was booked, by the office's clock; else by a phone's."""

somebody_went = or_(Job.state != "cancelled", Job.opened_at.is_not(None))
"""A booking that was cancelled before anybody began is no visit, and nobody came back by it."""

was_made = or_(Job.state.in_(("open", "closed")), Job.opened_at.is_not(None))
"""Somebody has begun: what is only booked is no visit yet."""

FACT_KINDS = ("appliance_described", "sheet_number", "sheet_confirmed", "withdrawn")


@dataclass(frozen=True)
class VisitCount:
    """How often an address was visited, and when last; what is only booked is none."""

    visits: int
    last: datetime | None
    jobs: int = 0
    """Its bookings too."""


def _contains(words: str) -> ColumnElement[bool]:
    return Site.search_text.contains(words, autoescape=True)


def select_sites_with_phone(key: str) -> Select[Site]:
    """Sites whose phone has this key, latest first."""
    return select(Site).where(Site.phone_key == key).order_by(Site.id.desc())


def select_sites_with_street(key: str) -> Select[Site]:
    """Sites whose street begins like this one, in the order of their keys: the same door comes first."""
    return select(Site).where(Site.street_key.startswith(key, autoescape=True)).order_by(Site.street_key, Site.id)


def select_address_heads(words: Sequence[str], before_id: str | None) -> Select[Site]:
    """One site for each address that has all the words in any of its sites, latest first."""
    found = select(Site).where(Site.id == Site.group_id).order_by(Site.id.desc())
    if words:
        found = select(Site).where(Site.id.in_(select(Site.group_id).where(*[_contains(word) for word in words])))
        found = found.order_by(Site.id.desc())
    return found.where(Site.id < before_id) if before_id else found


def get_sites(session: Session, site_ids: Collection[str]) -> dict[str, Site]:
    """These sites, by id."""
    return {site.id: site for site in session.scalars(select(Site).where(Site.id.in_(site_ids)))}


def get_sites_of_group(session: Session, site_id: str) -> list[Site]:
    """All site ids that are the same address as this one; empty where there is no such site."""
    group = select(Site.group_id).where(Site.id == site_id).scalar_subquery()
    return list(session.scalars(select(Site).where(Site.group_id == group).order_by(Site.id)))


def get_groups_of_sites(session: Session, group_ids: Collection[str]) -> dict[str, str]:
    """The group of every site of these addresses, by site."""
    rows = session.execute(select(Site.id, Site.group_id).where(Site.group_id.in_(group_ids)))
    return {row.id: row.group_id for row in rows}


def get_visit_counts(session: Session, group_ids: Collection[str]) -> dict[str, VisitCount]:
    """Visits by address; addresses without any job are absent."""
    last = func.max(case((was_made, func.coalesce(Job.opened_at, job_stands_at))))
    rows = session.execute(
        select(Site.group_id, func.count(case((was_made, Job.id))), last, func.count(Job.id))
        .join(Job, Job.site_id == Site.id)
        .where(Site.group_id.in_(group_ids), somebody_went)
        .group_by(Site.group_id)
    )
    return {group_id: VisitCount(visits, last, jobs) for group_id, visits, last, jobs in rows}


def select_jobs_of_sites(site_ids: Collection[str], before: JobPlace | None) -> Select[Job]:
    """The jobs of one address, newest first, from behind a place on."""
    # The record is not read here: a history is folded from the events, with all that was struck.
    jobs = select(Job).options(defer(Job.record, raiseload=True)).where(Job.site_id.in_(site_ids))
    jobs = jobs.order_by(job_stands_at.desc(), Job.id.desc())
    return jobs.where(_behind(before)) if before else jobs


def get_next_jobs(session: Session, site_ids: Collection[str], place: JobPlace, most: int) -> list[Job]:
    """The jobs of this address that came next after a place, the first one first."""
    later = or_(job_stands_at > place.moment, and_(job_stands_at == place.moment, Job.id > place.job_id))
    jobs = select(Job).where(Job.site_id.in_(site_ids), later, somebody_went).options(defer(Job.record, raiseload=True))
    return list(session.scalars(jobs.order_by(job_stands_at, Job.id).limit(most)))


def get_begun_jobs(session: Session, site_ids: Collection[str], but: str, most: int) -> list[Job]:
    """The other jobs of this address that somebody has begun, with their records; the one heard of last first."""
    jobs = select(Job).where(Job.site_id.in_(site_ids), Job.id != but, was_made)
    return list(session.scalars(jobs.order_by(Job.last_received_at.desc(), Job.id).limit(most)))


def _behind(place: JobPlace) -> ColumnElement[bool]:
    return or_(job_stands_at < place.moment, and_(job_stands_at == place.moment, Job.id < place.job_id))


def get_job(session: Session, job_id: str) -> Job | None:
    """One job."""
    return session.get(Job, job_id)


def get_events_of_jobs(session: Session, job_ids: Collection[str]) -> list[EventRow]:
    """All events of these jobs, in the order they arrived."""
    return list(
        session.scalars(
            select(EventRow)
            .where(EventRow.job_id.in_(job_ids))
            .order_by(EventRow.received_at, EventRow.site_id, EventRow.seq)
        )
    )


def get_events_of_address(session: Session, site_ids: Collection[str]) -> list[EventRow]:
    """What was said about the address itself, outside any job."""
    return list(
        session.scalars(
            select(EventRow)
            .where(EventRow.site_id.in_(site_ids), EventRow.job_id.is_(None))
            .order_by(EventRow.received_at, EventRow.site_id, EventRow.seq)
        )
    )


def get_facts_of_address(session: Session, site_ids: Collection[str]) -> list[EventRow]:
    """What was noted about the heaters there, in a job or outside one."""
    found = select(EventRow).where(EventRow.site_id.in_(site_ids), EventRow.kind.in_(FACT_KINDS))
    return list(session.scalars(found.order_by(EventRow.received_at, EventRow.site_id, EventRow.seq)))


def get_names(session: Session, person_ids: Collection[str]) -> dict[str, str]:
    """Names by person id."""
    rows = session.execute(select(Person.id, Person.name).where(Person.id.in_(person_ids)))
    return {row.id: row.name for row in rows}


def get_stored_photos(session: Session, hashes: Collection[str]) -> set[str]:
    """Those of these photos whose bytes have arrived."""
    found = select(Photo.sha256).where(Photo.sha256.in_(hashes), Photo.stored_at.is_not(None))
    return set(session.scalars(found))


def get_procedures(session: Session, hashes: Collection[str]) -> list[ProcedureVersion]:
    """These versions of procedures, as far as they are here."""
    return list(session.scalars(select(ProcedureVersion).where(ProcedureVersion.hash.in_(hashes))))


def get_current_procedure_hash(session: Session, name: str) -> str | None:
    """The version that a job booked now would be walked with."""
    return session.scalars(
        select(ProcedureVersion.hash)
        .where(ProcedureVersion.name == name, ProcedureVersion.is_current.is_(True))
        .order_by(ProcedureVersion.stored_at.desc())
    ).first()


def count_jobs_before(session: Session, site_ids: Collection[str], place: JobPlace) -> int:
    """How many visits to this address came before a place."""
    return session.scalar(select(func.count(Job.id)).where(Job.site_id.in_(site_ids), was_made, _behind(place))) or 0
