"""Which events come in and which are held: the promise that nobody writes where they may not read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy.orm import Session

from webapp.models import Device
from webapp.sync import queries

VISIBLE_DAYS = 30
DEVICE_REVOKED = "device_revoked"
ANOTHER_PERSON = "another_person"
NOT_THIS_ADDRESS = "not_this_address"


class Admission:
    """Decides for one pushing device. Made once a batch: it reads what the device may see.

    Who was sent there in the last 30 days may still hand in what they noted, even if the job was moved away meanwhile.
    """

    def __init__(self, session: Session, device: Device, events: Iterable[Mapping[str, Any]], now: datetime) -> None:
        self._device = device
        self._office = device.kind == "office"
        self._closed = device.revoked_at is not None or not queries.is_active(session, device.person_id)
        self._closed_to: set[str] = set()
        self._written_at: set[str] = set()
        if not self._office and not self._closed:
            named = {site_id for event in events for site_id in _sites_named(event)}
            known = queries.groups_of_sites(session, named)
            visible = visible_groups(session, device.person_id, now)
            unseen = {site_id for site_id, group_id in known.items() if group_id not in visible}
            self._closed_to = unseen
            self._written_at = queries.sites_worked_at(session, device.person_id, unseen, since=_since(now))

    def why_held(self, event: Mapping[str, Any]) -> str | None:
        """The reason, or None where the event may come in. An address that is new here is the sender's own."""
        if self._closed:
            return DEVICE_REVOKED
        if event["person_id"] != self._device.person_id:
            return ANOTHER_PERSON
        joins_unseen = not self._closed_to.isdisjoint(_sites_named(event)[1:])
        writes_unseen = event["site_id"] in self._closed_to - self._written_at
        return NOT_THIS_ADDRESS if joins_unseen or writes_unseen else None


def visible_groups(session: Session, person_id: str, now: datetime) -> set[str]:
    """Address groups of a technician's booked and open jobs, and of the last 30 days; no more."""
    return queries.groups_worked_at(session, person_id, since=_since(now))


def _since(now: datetime) -> datetime:
    return now - timedelta(days=VISIBLE_DAYS)


def _sites_named(event: Mapping[str, Any]) -> tuple[str, ...]:
    """The stream itself, and an address that it is said to be the same as: joining would open it to the sender."""
    other = event["body"].get("other_site_id")
    return (event["site_id"], other) if isinstance(other, str) else (event["site_id"],)
