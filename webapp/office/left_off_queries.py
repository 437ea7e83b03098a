"""SQL about heaters that were left off: which still are, and who put the others back in service."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import String, and_, cast, exists, func, literal_column, select
from sqlalchemy.orm import aliased, defer

from webapp.models import EventRow, Job, Person, Site, StandingOff
from webapp.sites.standing_queries import stands
from webapp.trade.found_running import FOUND_IN_SERVICE

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import datetime

    from sqlalchemy import ColumnElement, Row
    from sqlalchemy.orm import Session

PUT_BACK: ColumnElement[str] = literal_column("'put_back'")
"""Written out, so that the index over these events alone can be used."""


def still_off(job: type[Job] = Job) -> ColumnElement[bool]:
    """Something that this job left off stands off: neither it nor another job at the address has put it back."""
    entry = aliased(StandingOff)
    return and_(job.heater_off, exists().where(entry.job_id == job.id, stands(entry)).correlate(job))


def get_still_off(session: Session, limit: int) -> Sequence[Row[StandingOff, Job, Site]]:
    """What stands off, entry by entry, with job and address, the longest first."""
    found = select(StandingOff, Job, Site).join(Job, Job.id == StandingOff.job_id)
    found = found.join(Site, Site.id == StandingOff.site_id).where(stands(StandingOff))
    return session.execute(found.order_by(StandingOff.noted_at, StandingOff.event_id).limit(limit)).all()


def count_still_off(session: Session) -> int:
    """How many entries stand off."""
    return session.scalar(select(func.count(StandingOff.event_id)).where(stands(StandingOff))) or 0


def standing_of(session: Session, job_id: str) -> list[str]:
    """Ids of what this job left off and nobody has put back, in the order in which it was noted."""
    found = select(StandingOff.event_id).where(StandingOff.job_id == job_id, stands(StandingOff))
    return list(session.scalars(found.order_by(StandingOff.noted_at, StandingOff.event_id)))


def get_standing(session: Session, event_ids: Collection[str]) -> Sequence[StandingOff]:
    """These entries, with when they were noted and when they got here."""
    return session.scalars(select(StandingOff).where(StandingOff.event_id.in_(event_ids))).all()


def get_jobs_standing_off(session: Session, group_ids: Collection[str]) -> dict[str, set[str]]:
    """By address: the jobs there that left a heater off which stands off still."""
    found = select(Site.group_id, StandingOff.job_id).join(StandingOff, StandingOff.site_id == Site.id)
    by_group: dict[str, set[str]] = {}
    for group_id, job_id in session.execute(found.where(Site.group_id.in_(group_ids), stands(StandingOff))):
        by_group.setdefault(group_id, set()).add(job_id)
    return by_group


def get_next_jobs(session: Session, group_ids: Collection[str]) -> dict[str, tuple[Job, str | None]]:
    """By address: the job there that waits or goes on, the one booked first, and who goes."""
    found = select(Site.group_id, Job, Person.name).join(Job, Job.site_id == Site.id)
    found = found.outerjoin(Person, Person.id == Job.technician_id).options(defer(Job.record, raiseload=True))
    found = found.where(Site.group_id.in_(group_ids), Job.state.in_(("booked", "open")))
    by_group: dict[str, tuple[Job, str | None]] = {}
    for group_id, job, name in session.execute(found.order_by(Job.booked_at, Job.id)):
        by_group.setdefault(group_id, (job, name))
    return by_group


def get_put_back(session: Session, limit: int) -> Sequence[Row[EventRow, Job, Site, str]]:
    """The events that put a heater back and stand: with job, address and who noted it, the newest first."""
    found = (
        select(EventRow, Job, Site, Person.name)
        .join(Job, Job.id == EventRow.job_id)
        .join(Site, Site.id == EventRow.site_id)
        .outerjoin(Person, Person.id == EventRow.person_id)
        .where(EventRow.kind == PUT_BACK, _stands(Job, EventRow))
    )
    return session.execute(found.order_by(EventRow.received_at.desc(), EventRow.id.desc()).limit(limit)).all()


def get_put_back_at(session: Session, group_ids: Collection[str]) -> Sequence[Row[EventRow, Job, str, str]]:
    """The same events at these addresses: with job, group of the address and who noted it, in their order."""
    found = (
        select(EventRow, Job, Site.group_id, Person.name)
        .join(Job, Job.id == EventRow.job_id)
        .join(Site, Site.id == EventRow.site_id)
        .outerjoin(Person, Person.id == EventRow.person_id)
        .where(EventRow.kind == PUT_BACK, Site.group_id.in_(group_ids), _stands(Job, EventRow))
    )
    return session.execute(found.order_by(EventRow.received_at, EventRow.id)).all()


def get_found_in_service(session: Session) -> list[tuple[str, Job]]:
    """Jobs that say a heater was found in service, each with its address's group, where anything stands off."""
    entry, there = aliased(StandingOff), aliased(Site)
    off = exists().where(entry.site_id == there.id, there.group_id == Site.group_id, stands(entry)).correlate(Site)
    said = select(EventRow.job_id).join(Site, Site.id == EventRow.site_id)
    said = said.where(EventRow.kind == PUT_BACK, cast(EventRow.body, String).contains(FOUND_IN_SERVICE), off)
    found = select(Site.group_id, Job).join(Job, Job.site_id == Site.id).where(Job.id.in_(said))
    return [(group_id, job) for group_id, job in session.execute(found)]


def get_left_off(session: Session, event_ids: Collection[str]) -> dict[str, EventRow]:
    """The events by which something was left off, by id."""
    return {row.id: row for row in session.scalars(select(EventRow).where(EventRow.id.in_(event_ids)))}


def get_jobs_left_off(session: Session, group_ids: Collection[str], before: datetime) -> Sequence[Row[Job, str]]:
    """Jobs of these addresses that left a heater off before that moment, with their group, the newest first."""
    found = select(Job, Site.group_id).join(Site, Site.id == Job.site_id)
    found = found.where(Site.group_id.in_(group_ids), Job.left_off_at <= before)
    return session.execute(found.order_by(Job.left_off_at.desc(), Job.id)).all()


def _stands(job: type[Job], event: type[EventRow]) -> ColumnElement[bool]:
    return cast(job.record, String).contains(event.id)
