"""All SQL of the owner's pages. Figures read one narrow row a job; records are read for the few jobs that are shown."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select
from sqlalchemy.orm import defer

from webapp.audit.cases import Case
from webapp.models import Job, JobOutcome, Site

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from sqlalchemy.orm import Session


_COLUMNS = (
    JobOutcome.job_id,
    JobOutcome.site_id,
    JobOutcome.state,
    JobOutcome.brought_in,
    JobOutcome.appliance_id,
    JobOutcome.procedure_name,
    JobOutcome.procedure_hash,
    JobOutcome.complaint,
    JobOutcome.rung_at_s,
    JobOutcome.closed_at_s,
    JobOutcome.close_state,
    JobOutcome.cause,
    JobOutcome.repairs,
    JobOutcome.changed_unread,
    JobOutcome.hot_run,
)
"""In the order of the fields of `Case`."""


def get_cases(session: Session) -> list[Case]:
    """Every job, as narrow as the figures need it."""
    joined = session.execute(select(Site.id, Site.group_id).where(Site.group_id != Site.id))
    group_of = {row.id: row.group_id for row in joined}
    rows: Iterable[Any] = session.execute(select(*_COLUMNS))
    cases = [Case(*row) for row in rows]
    for case in cases if group_of else ():
        case.group_id = group_of.get(case.group_id, case.group_id)
    return cases


def count_jobs(session: Session) -> int:
    """All jobs there are: those that have no narrow row yet are missing from the figures."""
    return session.scalar(select(func.count(Job.id))) or 0


def get_jobs(session: Session, job_ids: Collection[str], *, with_record: bool) -> dict[str, tuple[Job, Site]]:
    """These jobs with their addresses."""
    wanted = select(Job, Site).join(Site, Site.id == Job.site_id).where(Job.id.in_(job_ids))
    if not with_record:
        wanted = wanted.options(defer(Job.record, raiseload=True))
    return {job.id: (job, site) for job, site in session.execute(wanted)}
