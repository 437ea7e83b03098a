"""Short codes that let one phone in."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, UtcDateTime, UuidText


class EnrolCode(Base):
    """Made by the office, typed on the phone within minutes."""

    __tablename__ = "enrol_code"

    code_hash: Mapped[str] = mapped_column(String(SHA256_HEX_LENGTH), primary_key=True)

    person_id: Mapped[str] = mapped_column(UuidText, ForeignKey("person.id"))

    expires_at: Mapped[datetime] = mapped_column(UtcDateTime)

    used_at: Mapped[datetime | None] = mapped_column(UtcDateTime)

    used_by_device_id: Mapped[str | None] = mapped_column(UuidText)
    """The phone it let in: that one may use it again while it lives, since its answer may have been lost."""
