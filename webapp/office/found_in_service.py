"""The jobs by whose word a heater that was left off may be running, for the lists of the office."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.office import left_off_queries
from webapp.sites.found_in_service import record_of, running_notes
from webapp.sites.off_here import off_here_by_group

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy.orm import Session

    from webapp.models import Job
    from webapp.trade.record_types import PutBackNote


def jobs_that_found_one(session: Session) -> list[str]:
    """Their ids, also of closed ones."""
    said = left_off_queries.get_found_in_service(session)
    return [job_id for job_id, notes in _running(session, said) if notes]


def notes_that_stand(session: Session, jobs: Iterable[tuple[str, Job]]) -> set[str]:
    """Ids of the notes of these jobs, each with the group of its address, that nothing has answered."""
    return {note["by"]["event_id"] for _job_id, notes in _running(session, jobs) for note in notes}


def _running(session: Session, jobs: Iterable[tuple[str, Job]]) -> list[tuple[str, list[PutBackNote]]]:
    by_id = {job.id: (group_id, job) for group_id, job in jobs}
    standing = off_here_by_group(session, {group_id for group_id, _job in by_id.values()})
    return [
        (job_id, running_notes(record_of(job), job_id, standing.get(group_id, [])))
        for job_id, (group_id, job) in by_id.items()
    ]
