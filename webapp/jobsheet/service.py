"""Making a job's sheet. Nothing here writes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.technicians import seen_at
from webapp.jobsheet.telling import tell
from webapp.people.licences import person_then
from webapp.sheets.settings import read_settings
from webapp.sites.told_job import read_told_job

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.jobsheet.sheet import Sheet


def read_sheet(session: Session, job_id: str) -> Sheet:
    """The sheet of one job as its events stand now; raises NotFound where there is no such job."""
    told = read_told_job(session, job_id)
    known = {one: person_then(session, one, moment) for one, moment in seen_at(told.record).items()}
    people = {one: person for one, person in known.items() if person}
    return tell(told, people, read_settings(session))
