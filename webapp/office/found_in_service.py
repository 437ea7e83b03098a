"""A heater that was left off and found in service, over all visits of its address: said on one, shut off on another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from webapp.office import left_off_queries
from webapp.sites.clock import noted_at
from webapp.trade.found_running import found_running
from webapp.trade.off_before import is_another

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable
    from datetime import datetime

    from sqlalchemy.orm import Session

    from webapp.models import Job, StandingOff
    from webapp.trade.record_types import PutBackNote, Record

    Entry = tuple[StandingOff, str | None]


def jobs_that_found_one(session: Session) -> list[str]:
    """Ids of the jobs, also closed ones, by whose word a heater may be running that nobody has shown to be safe."""
    said = left_off_queries.get_found_in_service(session)
    standing = left_off_queries.get_standing_at(session, {group_id for group_id, _job in said})
    return [job.id for group_id, job in said if running_notes(job, standing.get(group_id, []))]


def notes_that_stand(session: Session, jobs: Iterable[tuple[str, Job]], groups: Collection[str]) -> set[str]:
    """Ids of the notes of these jobs, each with the group of its address, that nothing has answered."""
    standing = left_off_queries.get_standing_at(session, groups)
    notes = [note for group_id, job in jobs for note in running_notes(job, standing.get(group_id, []))]
    return {note["by"]["event_id"] for note in notes}


def running_notes(job: Job, standing: list[Entry]) -> list[PutBackNote]:
    """The job's notes that nothing has answered: what they name stands off, and no other visit left it off again since.

    `standing`: what stands off at the address, each with the heater that its job described, where it was one.
    """
    empty: dict[str, Any] = {"left_off": [], "put_back": [], "appliances": []}
    record = cast("Record", empty | (job.record or {}))  # of a row that could not be made all is empty
    ours = {line["appliance_id"] for line in record["appliances"]}
    same = [entry for entry, heater in standing if not is_another(ours, [heater])]
    return [note for note in found_running(record) if _stands(note, job, same)]


def _stands(note: PutBackNote, job: Job, standing: list[StandingOff]) -> bool:
    at, named = noted_at(note["by"], None).noted, note["left_off_ids"]
    meant = [one for one in standing if (_is_before(one, at) if named is None else one.event_id in named)]
    again = [one for one in standing if one not in meant and one.job_id != job.id and not _is_before(one, at)]
    return bool(meant) and not again


def _is_before(entry: StandingOff, at: datetime | None) -> bool:
    return at is None or entry.noted_at < at
