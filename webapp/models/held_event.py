"""Events that arrived but were not let in: kept apart, never thrown away."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, JsonText, UtcDateTime, UuidText


class HeldEvent(Base):
    """One event in quarantine, until someone at the office lets it in."""

    __tablename__ = "held_event"
    __table_args__ = (UniqueConstraint("event_id", "digest"), Index(None, "released_at"))

    id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    event_id: Mapped[str] = mapped_column(UuidText)
    digest: Mapped[str] = mapped_column(String(SHA256_HEX_LENGTH))

    device_id: Mapped[str] = mapped_column(UuidText)
    """The phone that pushed it, which need not be the one that made it."""

    person_id: Mapped[str] = mapped_column(UuidText)
    """Who was signed in on that phone."""

    reason: Mapped[str] = mapped_column(String(40))
    """device_revoked, another_person or not_this_address."""

    event: Mapped[dict[str, Any]] = mapped_column(JsonText)
    held_at: Mapped[datetime] = mapped_column(UtcDateTime)
    released_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
