"""A job as its events tell it. Made from them, and made again whenever needed."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Boolean, ForeignKey, Index, Integer, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, JsonText, UtcDateTime, UuidText


class Job(Base):
    """One visit."""

    __tablename__ = "job"
    __table_args__ = (
        Index(None, "site_id"),
        Index(None, "technician_id", "state"),
        Index(None, "technician_id", "last_received_at"),
        Index(None, "state", "booked_at"),
        Index(None, "closed_at"),
        Index(None, "close_state", "closed_at"),
        Index(None, "heater_off"),
        Index(None, "due_out_wall"),
        Index(None, "put_back_at"),
        Index(None, "needs_rebuild"),
        Index(None, "fold_version"),
    )

    id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    site_id: Mapped[str] = mapped_column(UuidText, ForeignKey("site.id"))

    state: Mapped[str] = mapped_column(String(10), default="booked")
    """booked, open, closed or cancelled."""

    technician_id: Mapped[str | None] = mapped_column(UuidText)
    complaint: Mapped[str] = mapped_column(String(80), default="")
    complaint_words: Mapped[str] = mapped_column(Text, default="")
    procedure_name: Mapped[str] = mapped_column(String(80), default="")

    procedure_hash: Mapped[str | None] = mapped_column(String(SHA256_HEX_LENGTH))
    """The version that it is walked with, for good."""

    due_wall: Mapped[str | None] = mapped_column(String(40))

    due_out_wall: Mapped[str | None] = mapped_column(String(40))
    """Agreed before going below, and not heard from since."""

    ring_phone: Mapped[str | None] = mapped_column(String(40))
    """Whom to ring when that time has passed."""

    caller_alarm: Mapped[bool] = mapped_column(Boolean, default=False)
    """The caller spoke of gas, of a CO alarm or of somebody unwell."""

    no_hot_water_since: Mapped[str | None] = mapped_column(String(10))
    """A date, as the caller said it."""

    heater_off: Mapped[bool] = mapped_column(Boolean, default=False)
    """Left off and tagged, and not put back by this job."""

    office_not_told: Mapped[bool] = mapped_column(Boolean, default=False)
    """Left off, and no voice call to the office stands recorded."""

    left_off_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    """When a heater was left off last, by the server's clock as well as the phone knew it."""

    left_off_heard_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    """When the server had that."""

    put_back_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    """When a heater was put back in service last, whichever job had left it off."""

    put_back_heard_at: Mapped[datetime | None] = mapped_column(UtcDateTime)

    booked_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    """From the event's wall time: for display and rough sorting, never for order of events."""

    opened_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    closed_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    close_state: Mapped[str | None] = mapped_column(String(30))
    cause: Mapped[str | None] = mapped_column(String(80))

    last_received_at: Mapped[datetime] = mapped_column(UtcDateTime)
    """The server's clock at its last event: decides what a phone may still see."""

    event_count: Mapped[int] = mapped_column(Integer, default=0)

    record: Mapped[dict[str, Any] | None] = mapped_column(JsonText)
    """The fold of its events (webapp/trade/record.py)."""

    fold_version: Mapped[int] = mapped_column(Integer, default=0)

    needs_rebuild: Mapped[bool] = mapped_column(Boolean, default=False)
    """Its events are stored, but this row could not be made from them."""
