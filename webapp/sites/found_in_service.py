"""A heater that was left off and found in service, over all visits of its address: said on one, shut off on another."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, cast

from webapp.sites import standing_queries
from webapp.sites.clock import noted_at
from webapp.sites.off_here import FoundRunning, off_here
from webapp.trade.found_running import found_running
from webapp.trade.off_before import is_another

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import datetime

    from sqlalchemy.orm import Session

    from webapp.models import Job
    from webapp.sites.off_here import OffHere
    from webapp.trade.record_types import PutBackNote, Record


def standing_here(session: Session, site_ids: Collection[str]) -> list[OffHere]:
    """What stands off at an address, each with the last visit that found it in service, where one did."""
    standing = off_here(session, None, site_ids)
    found = _found_since(session, site_ids, standing) if standing else {}
    return [replace(one, found=found.get(one.event_id)) for one in standing]


def running_notes(record: Record, job_id: str, standing: Sequence[OffHere]) -> list[PutBackNote]:
    """The job's notes that nothing has answered: what they name stands off, and no other visit left it off again since.

    `standing`: all that stands off at the address.
    """
    return [note for note, _meant in _running(record, job_id, standing)]


def record_of(job: Job) -> Record:
    """Of a row that could not be made all is empty."""
    empty: dict[str, Any] = {"left_off": [], "put_back": [], "appliances": []}
    return cast("Record", empty | (job.record or {}))


def _found_since(session: Session, site_ids: Collection[str], standing: Sequence[OffHere]) -> dict[str, FoundRunning]:
    said = [
        (job.id, note, meant)
        for job in standing_queries.get_found_in_service_at(session, site_ids)
        for note, meant in _running(record_of(job), job.id, standing)
    ]
    heard = standing_queries.heard_at_of(session, {note["by"]["event_id"] for _job_id, note, _meant in said})
    found = [
        (FoundRunning(job_id, noted_at(note["by"], None).noted, heard[note["by"]["event_id"]]), meant)
        for job_id, note, meant in said
    ]
    found.sort(key=lambda one: one[0].at or one[0].heard_at)
    return {entry.event_id: one for one, meant in found for entry in meant}


def _running(record: Record, job_id: str, standing: Sequence[OffHere]) -> list[tuple[PutBackNote, list[OffHere]]]:
    """Each with what it means of that."""
    found = found_running(record)
    ours = {line["appliance_id"] for line in record["appliances"]} if found else set()
    same = [one for one in standing if not is_another(ours, one.appliance_ids)]
    running = [(note, _meant(note, job_id, same)) for note in found]
    return [(note, meant) for note, meant in running if meant]


def _meant(note: PutBackNote, job_id: str, standing: list[OffHere]) -> list[OffHere]:
    """Nothing, where another visit left a heater off again since."""
    at, named = noted_at(note["by"], None).noted, note["left_off_ids"]
    meant = [one for one in standing if (_is_before(one, at) if named is None else one.event_id in named)]
    again = [one for one in standing if one not in meant and one.job_id != job_id and not _is_before(one, at)]
    return [] if again else meant


def _is_before(entry: OffHere, at: datetime | None) -> bool:
    return at is None or entry.at < at
