"""Writes events as phones and desks write them: each device counts its own, each job has its own clock of before and
after.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from webapp.invent.chance import uuid7
from webapp.invent.company import Member

if TYPE_CHECKING:
    from webapp.trade.events import Event


@dataclass(slots=True)
class Batch:
    """What one device sent in one go, and when the server had it."""

    member: Member
    received_at: datetime
    events: list[Event] = field(default_factory=list)


def wall(moment: datetime) -> str:
    """RFC 3339, UTC, milliseconds, `Z`."""
    return moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{moment.microsecond // 1000:03d}Z"


class Scribe:
    """The events of one visit: `write` returns each event and keeps it in its device's batch."""

    def __init__(self, rng: random.Random, site_id: str, job_id: str) -> None:
        self._rng = rng
        self._site_id = site_id
        self._job_id = job_id
        self._job_lamport = 0
        self._site_lamport = 0
        self.batches: list[Batch] = []

    def begin(self, member: Member, received_at: datetime, site_lamport: int = 0) -> None:
        """From here on `member` writes, on their own device. `site_lamport`: the highest that they know of the
        address.
        """
        self._site_lamport = max(self._site_lamport, site_lamport)
        self.batches.append(Batch(member, received_at))

    def write(
        self,
        at: datetime,
        kind: str,
        body: dict[str, Any],
        *,
        schema: int = 1,
        replaces: Iterable[str] = (),
        of_job: bool = True,
    ) -> Event:
        """One event of the batch that is open."""
        batch = self.batches[-1]
        member = batch.member
        if of_job:
            self._job_lamport = lamport = self._job_lamport + 1
        else:
            self._site_lamport = lamport = self._site_lamport + 1
        event: Event = {
            "id": uuid7(self._rng, at),
            "site_id": self._site_id,
            "job_id": self._job_id if of_job else None,
            "person_id": member.person_id,
            "device_id": member.device_id,
            "dev_seq": member.next_seq(),
            "lamport": lamport,
            "at_wall": wall(at + timedelta(milliseconds=member.clock_error_ms)),
            "clock_offset": -member.clock_error_ms,
            "kind": kind,
            "schema": schema,
            "replaces": list(replaces),
            "body": body,
        }
        batch.events.append(event)
        return event
