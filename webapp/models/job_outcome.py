"""What the owner's figures need of a job, in a row narrow enough to read a hundred thousand of them at once."""

from __future__ import annotations

from sqlalchemy import BigInteger, Boolean, ForeignKey, Index, String, Text, false
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, UuidText


class JobOutcome(Base):
    """Made from a job's record, beside `Job`, whose rows carry the whole record. No person stands in it."""

    __tablename__ = "job_outcome"
    __table_args__ = (Index(None, "site_id"), Index(None, "left_unsafe"))

    job_id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    site_id: Mapped[str] = mapped_column(UuidText, ForeignKey("site.id"))

    state: Mapped[str] = mapped_column(String(10))
    """booked, open, closed or cancelled."""

    brought_in: Mapped[bool] = mapped_column(Boolean)
    """From a file: nobody here walked it, and no technician stands in it."""

    appliance_id: Mapped[str | None] = mapped_column(String(80))
    """The heater, where this job described exactly one."""

    procedure_name: Mapped[str] = mapped_column(String(80))
    """The kind of heater: of the one that it described, else what the desk booked it under."""

    procedure_hash: Mapped[str | None] = mapped_column(String(SHA256_HEX_LENGTH))
    complaint: Mapped[str] = mapped_column(String(80))

    rung_at_s: Mapped[int | None] = mapped_column(BigInteger)
    """Seconds since 1970, UTC: when it was booked, else opened. Numbers, because they are read by the thousand."""

    closed_at_s: Mapped[int | None] = mapped_column(BigInteger)
    close_state: Mapped[str | None] = mapped_column(String(30))
    cause: Mapped[str | None] = mapped_column(String(80))

    repairs: Mapped[str] = mapped_column(Text)
    """What was done: ids, one a line, each once."""

    changed_unread: Mapped[str] = mapped_column(Text)
    """Parts changed without a convicting reading (trade/conviction.py): `id why`, one a line."""

    hot_run: Mapped[str] = mapped_column(String(10))
    """none, held, too_soon or failed: the last one recorded; too_soon held, and its minutes cannot have passed."""

    left_unsafe: Mapped[bool] = mapped_column(Boolean, default=False, server_default=false())
    """Closed so that a heater runs on, with a danger that somebody only looked at again."""
