"""What other visits to an address left off: what nobody has put back concerns whoever reads of any visit there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from webapp.sites import standing_queries
from webapp.sites.left_off_told import left_off_note

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy.orm import Session

    from webapp.models import Job, StandingOff


@dataclass(frozen=True)
class FoundRunning:
    """A visit that found a heater in service which had been left off, and nobody has answered that since."""

    job_id: str
    at: datetime | None
    heard_at: datetime
    """When the server had it."""


@dataclass(frozen=True)
class OffHere:
    """A heater that another visit left off."""

    job_id: str
    """The visit that left it off."""
    what_words: str
    why_words: str
    at: datetime
    heard_at: datetime
    """When the server had it."""
    event_id: str
    appliance_ids: list[str]
    """The heaters that its visit described."""
    found: FoundRunning | None = None
    """It may be running: see `found_in_service.standing_here`."""


def off_here(session: Session, job_id: str | None, site_ids: Collection[str]) -> list[OffHere]:
    """What stands off by the jobs of one address, the longest first; all but `job_id`, where one is read."""
    return [_told(*row) for row in standing_queries.standing_elsewhere(session, job_id, site_ids)]


def off_here_by_group(session: Session, group_ids: Collection[str]) -> dict[str, list[OffHere]]:
    """The same at many addresses at once, by the group of each."""
    found: dict[str, list[OffHere]] = {}
    for group_id, entry, job in standing_queries.standing_at(session, group_ids) if group_ids else ():
        found.setdefault(group_id, []).append(_told(entry, job))
    return found


def put_back_here(session: Session, job_id: str, site_ids: Collection[str]) -> list[OffHere]:
    """What this job put back in service that another one had left off."""
    return [_told(*row) for row in standing_queries.ended_by_job(session, job_id, site_ids)]


def _told(entry: StandingOff, by: Job) -> OffHere:
    record: dict[str, Any] = by.record or {}
    note = left_off_note(record.get("left_off", []), entry.event_id)
    what, why = (note["what_words"], note["why_words"]) if note else ("", "")
    heaters = sorted({line["appliance_id"] for line in record.get("appliances", [])})
    return OffHere(by.id, what, why, entry.noted_at, entry.heard_at, entry.event_id, heaters)
