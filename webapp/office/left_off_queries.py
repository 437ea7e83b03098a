"""SQL about heaters that were left off: which still are, and who put the others back in service."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import String, and_, cast, exists, func, literal_column, or_, select
from sqlalchemy.orm import aliased

from webapp.models import EventRow, Job, Person, Site

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import datetime

    from sqlalchemy import ColumnElement, Row
    from sqlalchemy.orm import Session

PUT_BACK: ColumnElement[str] = literal_column("'put_back'")
"""Written out, so that the index over these events alone can be used."""


def still_off(job: type[Job] = Job) -> ColumnElement[bool]:
    """Left off by this job, and put back neither by it nor by a later one at the same address.

    A put_back that was withdrawn is in no record any more, and does not count.
    """
    back, by, at, here = aliased(EventRow), aliased(Job), aliased(Site), aliased(Site)
    later = func.coalesce(by.booked_at, by.opened_at) > func.coalesce(job.booked_at, job.opened_at)
    put_back = (
        select(back.id)
        .join(at, at.id == back.site_id)
        .join(here, here.group_id == at.group_id)
        .join(by, by.id == back.job_id)
        .where(here.id == job.site_id, back.kind == PUT_BACK, by.id != job.id, later, _stands(by, back))
    )
    return and_(job.heater_off, ~exists(put_back.correlate(job)))


def get_still_off(session: Session, limit: int) -> Sequence[Row[Job, Site]]:
    """Heaters that stand off, with their address, the longest first."""
    left_at = func.coalesce(Job.closed_at, Job.opened_at, Job.booked_at, Job.last_received_at)
    found = select(Job, Site).join(Site, Site.id == Job.site_id).where(still_off())
    return session.execute(found.order_by(left_at, Job.id).limit(limit)).all()


def count_still_off(session: Session) -> int:
    """How many stand off."""
    return session.scalar(select(func.count(Job.id)).where(still_off())) or 0


def is_still_off(session: Session, job_id: str) -> bool:
    """Whether the heater of this job stands off."""
    return session.scalar(select(Job.id).where(Job.id == job_id, still_off())) is not None


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


def get_jobs_left_off(session: Session, group_ids: Collection[str], before: datetime) -> Sequence[Row[Job, str]]:
    """Jobs of these addresses that left a heater off before that moment, with their group, the newest first."""
    stood = or_(Job.heater_off, Job.close_state == "left_off", cast(Job.record, String).contains('"left_off":[{'))
    booked = func.coalesce(Job.booked_at, Job.opened_at, Job.last_received_at)
    found = select(Job, Site.group_id).join(Site, Site.id == Job.site_id)
    found = found.where(Site.group_id.in_(group_ids), stood, booked <= before)
    return session.execute(found.order_by(booked.desc(), Job.id)).all()


def _stands(job: type[Job], event: type[EventRow]) -> ColumnElement[bool]:
    return cast(job.record, String).contains(event.id)
