"""Where events are made: a phone, or one sign-in at the office."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, UtcDateTime, UuidText


class Device(Base):
    """One local database of a phone, or one office session."""

    __tablename__ = "device"
    __table_args__ = (
        UniqueConstraint("token_hash"),
        CheckConstraint("kind IN ('phone', 'office')", name="kind_known"),
        Index(None, "person_id"),
    )

    id: Mapped[str] = mapped_column(UuidText, primary_key=True)

    person_id: Mapped[str] = mapped_column(UuidText, ForeignKey("person.id"))
    """Who is signed in there now; another person's queued events are held."""

    kind: Mapped[str] = mapped_column(String(10))

    words: Mapped[str] = mapped_column(String(200), default="")
    """What its holder calls it."""

    token_hash: Mapped[str | None] = mapped_column(String(SHA256_HEX_LENGTH))
    """SHA-256 of the bearer token; an office session has none."""

    token_expires_at: Mapped[datetime | None] = mapped_column(UtcDateTime)

    enrolled_at: Mapped[datetime] = mapped_column(UtcDateTime)

    revoked_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    """From then on nothing is pulled, and what arrives is held."""

    last_dev_seq: Mapped[int] = mapped_column(BigInteger, default=0)
    """The highest dev_seq stored: beside the count of rows it shows a hole."""

    last_seen_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
