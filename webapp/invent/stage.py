"""What all visits share, and what a visit becomes."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Any

from webapp.invent.chance import pick, stream, uuid7
from webapp.invent.company import Company
from webapp.invent.makers import Model
from webapp.invent.plan import Visit
from webapp.invent.scribe import Batch
from webapp.invent.walking import Line, Order

LastWords = Callable[[dict[str, Any], list[Line]], str | None]
"""(procedure, lines of the walk) → the cause that the ranking puts first."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo's bytes and the hash that events name it by."""

    data: bytes
    sha256: str
    subject: str
    width_px: int = 320
    height_px: int = 240


def make_picture(data: bytes, subject: str) -> Picture:
    """A picture with its hash."""
    return Picture(data, hashlib.sha256(data).hexdigest(), subject)


@dataclass(frozen=True, slots=True)
class Stage:
    """What all visits share: the company, the first midnight, the end, the walk's order, pictures, the town's clock."""

    company: Company
    founded: datetime
    until: datetime
    order: Order
    first_of_ranking: LastWords
    pictures: list[Picture]
    zone: tzinfo = UTC

    def at(self, day: float) -> datetime:
        """So many days after the first midnight, by the clocks of the town: eight o'clock stays that in summer too."""
        wall = self.founded.astimezone(self.zone).replace(tzinfo=None) + timedelta(seconds=round(day * 86400))
        return wall.replace(tzinfo=self.zone).astimezone(UTC)


@dataclass(slots=True)
class Written:
    """The events of one visit, by batch, and the ids that they are about."""

    site_id: str
    job_id: str
    state: str  # booked, open or closed
    batches: list[Batch]


def site_id_of(company: Company, number: int, first_called: datetime) -> str:
    """The site id of the town's address `number`, made when it was called from for the first time."""
    return uuid7(stream(company.seed, "site", number), first_called)


def job_id_of(stage: Stage, visit: Visit) -> str:
    """The job id of a visit."""
    return uuid7(stream(stage.company.seed, "job", visit.number), stage.at(visit.booked_day))


def model_at(company: Company, visit: Visit) -> Model:
    """The heater that stands at the visit's address."""
    return pick(stream(company.seed, "heater", visit.address), company.models[visit.procedure])
