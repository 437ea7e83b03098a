"""What was left off, and what put it back, by the events that say so: a job may leave off two heaters."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, UtcDateTime, UuidText


class StandingOff(Base):
    """One entry of what a job left off, and no event of that job put back. Another job's may have."""

    __tablename__ = "standing_off"
    __table_args__ = (Index(None, "job_id"), Index(None, "site_id"))

    event_id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    """Of the `left_off`; of the `job_closed` where nothing else says so."""

    site_id: Mapped[str] = mapped_column(UuidText, ForeignKey("site.id"))
    job_id: Mapped[str] = mapped_column(UuidText)

    noted_at: Mapped[datetime] = mapped_column(UtcDateTime)
    """By the server's clock as well as the phone knew it, and never later than it got here."""

    heard_at: Mapped[datetime] = mapped_column(UtcDateTime)
    """When the server had it."""


class PutBackOf(Base):
    """That an event put back in service what another event left off, by name: then no clock has to decide."""

    __tablename__ = "put_back_of"
    __table_args__ = (Index(None, "left_off_id"), Index(None, "job_id"))

    event_id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    left_off_id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    job_id: Mapped[str] = mapped_column(UuidText)
