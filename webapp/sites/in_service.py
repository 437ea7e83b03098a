"""By which other job of the address a heater that was left off is in service again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import and_, exists, func, select
from sqlalchemy.orm import aliased

from webapp.models import Job, JobOutcome, Site
from webapp.sites import queries
from webapp.sites.clock import noted_at

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Select
    from sqlalchemy.orm import Session

    from webapp.trade.record_types import PutBackNote


@dataclass(frozen=True)
class BackInService:
    """What another job noted of it, later."""

    job_id: str
    words: str
    by: str
    at: datetime | None
    heard_at: datetime
    """When the server had it."""


def back_in_service(session: Session, job: Job) -> BackInService | None:
    """The first put back by another job that ends what this one left off; None while it stands off, or never did."""
    if not job.heater_off:
        return None
    ours = aliased(Job)
    other_id = session.scalars(ended_by(ours).where(ours.id == job.id).limit(1)).first()
    wanted = select(Job.id, Job.record, func.coalesce(Job.put_back_heard_at, Job.last_received_at).label("heard_at"))
    other = session.execute(wanted.where(Job.id == other_id)).first() if other_id else None
    if other is None or not other.record:
        return None
    last: PutBackNote = other.record["put_back"][-1]
    names = queries.get_names(session, {last["by"]["person_id"]})
    by = names.get(last["by"]["person_id"], "somebody unknown here")
    return BackInService(other.id, last["words"], by, noted_at(last["by"], None).noted, other.heard_at)


def ended_by(job: type[Job]) -> Select[str]:
    """The other jobs at that address by which its heater is in service again."""
    by, at, here = aliased(Job), aliased(Site), aliased(Site)
    ours, theirs = aliased(JobOutcome), aliased(JobOutcome)
    another_heater = and_(ours.job_id == job.id, theirs.job_id == by.id, ours.appliance_id != theirs.appliance_id)
    return (
        select(by.id)
        .join(at, at.id == by.site_id)
        .join(here, here.group_id == at.group_id)
        .where(
            here.id == job.site_id,
            by.id != job.id,
            by.put_back_at > job.left_off_at,
            by.put_back_heard_at >= job.left_off_heard_at,
            ~exists(select(ours.job_id).join(theirs, another_heater).correlate(job, by)),
        )
        .order_by(by.put_back_at, by.id)
    )
