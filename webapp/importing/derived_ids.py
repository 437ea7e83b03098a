"""Ids made from what they stand for: the same line of the same file has the same id, whoever brings it in and when.

In form they are UUIDv7 (RFC 9562, section 5.7), as the sync demands of events: 48 bits of time, and where fresh ids
have 74 random bits, 74 bits of a SHA-256 (docs/adr/0090).
"""

from __future__ import annotations

import hashlib
import uuid
from datetime import UTC, datetime, time
from typing import TYPE_CHECKING

from webapp.sites.clock import at_local

if TYPE_CHECKING:
    from datetime import date

NAMESPACE = "undercroft import 1"
"""Never changed: with another one every file would come in a second time."""
NO_DAY = datetime.fromtimestamp(0, UTC)
"""For what the file gives no day: an address from a file then stands behind those that were booked."""
NOON = 12


def noon_of(day: date) -> datetime:
    """The moment that stands for a day in an id, wherever and whenever the file is brought in."""
    return datetime(day.year, day.month, day.day, NOON, tzinfo=UTC)


def noon_here(day: date) -> datetime:
    """The moment that is shown for a day: noon on the office's own clock, so that no zone makes it another day."""
    return at_local(day, time(NOON))


def derived_id(moment: datetime, *parts: str) -> str:
    """The id of what these parts describe. Each part goes in with its length: no two lists of parts run together."""
    told = "".join(f"{len(part)}:{part}" for part in (NAMESPACE, *parts))
    bits = int.from_bytes(hashlib.sha256(told.encode()).digest()[:10])
    milliseconds = round(moment.timestamp() * 1000)
    number = milliseconds << 80 | 0x7 << 76 | (bits >> 68) << 64 | 0b10 << 62 | bits & (1 << 62) - 1
    return str(uuid.UUID(int=number))
