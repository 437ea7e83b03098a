"""Events in quarantine: seen by the office, and let in by it where they are right."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from sqlalchemy.orm import Session

from webapp.models import Device, HeldEvent
from webapp.sync import upkeep_queries
from webapp.sync.service import Outcome, store_events


def list_held(session: Session) -> list[HeldEvent]:
    """What waits, the oldest first."""
    return upkeep_queries.get_waiting_held(session)


def let_in(session: Session, device: Device, held_ids: Sequence[str], now: datetime | None = None) -> Outcome:
    """Store held events on the office's word, as they were sent. `device` is the office session that says so."""
    now = now or datetime.now(UTC)
    held = [one for one in upkeep_queries.get_waiting_held(session) if one.id in set(held_ids)]
    outcome = store_events(session, [one.event for one in held], device, now=now, trusted=True)
    in_store = {result["id"] for result in outcome["results"] if result["status"] in {"stored", "duplicate"}}
    upkeep_queries.mark_released(session, [one.id for one in held if one.event_id in in_store], now)
    session.commit()
    return outcome
