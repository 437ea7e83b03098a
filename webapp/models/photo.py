"""Photos, by the hash of their bytes."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, UtcDateTime, UuidText


class Photo(Base):
    """A picture that a stored event names. Its bytes lie in the data folder once `stored_at` is set."""

    __tablename__ = "photo"

    sha256: Mapped[str] = mapped_column(String(SHA256_HEX_LENGTH), primary_key=True)
    length_bytes: Mapped[int] = mapped_column(Integer)
    media_type: Mapped[str] = mapped_column(String(40))

    stored_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    """None: the photo is still on the phone."""


class PhotoUse(Base):
    """Which event names which photo: who may see it follows from the site."""

    __tablename__ = "photo_use"
    __table_args__ = (Index(None, "sha256"), Index(None, "site_id"), Index(None, "job_id"))

    event_id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    sha256: Mapped[str] = mapped_column(String(SHA256_HEX_LENGTH), ForeignKey("photo.sha256"))
    site_id: Mapped[str] = mapped_column(UuidText, ForeignKey("site.id"))
    job_id: Mapped[str | None] = mapped_column(UuidText)
