"""SQL about heaters that were left off: which still are, and who put the others back in service."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import String, and_, cast, exists, func, literal_column, select

from webapp.models import EventRow, Job, Person, Site
from webapp.sites.in_service import ended_by

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import datetime

    from sqlalchemy import ColumnElement, Row
    from sqlalchemy.orm import Session

PUT_BACK: ColumnElement[str] = literal_column("'put_back'")
"""Written out, so that the index over these events alone can be used."""


def still_off(job: type[Job] = Job) -> ColumnElement[bool]:
    """Left off by this job, and put back neither by it nor by another one at the same address since then.

    Jobs overlap: which was booked first says nothing. The put back must have been noted later, by the server's clock
    as well as the phones knew it, and must have got here later too: in doubt a heater stands off, and the office asks.
    Two jobs that each described one heater, and not the same one, say nothing about each other.
    """
    return and_(job.heater_off, ~exists(ended_by(job).correlate(job)))


def get_still_off(session: Session, limit: int) -> Sequence[Row[Job, Site]]:
    """Heaters that stand off, with their address, the longest first."""
    left_at = func.coalesce(Job.left_off_at, Job.last_received_at)
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
    found = select(Job, Site.group_id).join(Site, Site.id == Job.site_id)
    found = found.where(Site.group_id.in_(group_ids), Job.left_off_at <= before)
    return session.execute(found.order_by(Job.left_off_at.desc(), Job.id)).all()


def _stands(job: type[Job], event: type[EventRow]) -> ColumnElement[bool]:
    return cast(job.record, String).contains(event.id)
