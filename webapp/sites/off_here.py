"""What other visits to an address left off, and nobody has put back: it concerns whoever reads of any visit there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.sites import standing_queries

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import datetime

    from sqlalchemy.orm import Session


@dataclass(frozen=True)
class OffHere:
    """A heater that another visit left off, and that stands off still."""

    job_id: str
    """The visit that left it off."""
    what_words: str
    why_words: str
    at: datetime
    heard_at: datetime
    """When the server had it."""


def off_here(session: Session, job_id: str | None, site_ids: Collection[str]) -> list[OffHere]:
    """By the jobs of these entries of one address, the longest first; all but `job_id`, where one is read."""
    told = []
    for entry, other in standing_queries.standing_elsewhere(session, job_id, site_ids):
        notes = (other.record or {}).get("left_off", [])
        note = next((one for one in notes if one["by"]["event_id"] == entry.event_id), None)
        what, why = (note["what_words"], note["why_words"]) if note else ("", "")
        told.append(OffHere(other.id, what, why, entry.noted_at, entry.heard_at))
    return told
