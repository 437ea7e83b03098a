"""An address: the stream that its events belong to, and what was last said about it."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Boolean, Index, Integer, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, UtcDateTime, UuidText


class Site(Base):
    """One site id. Two ids for one front door are joined by `group_id`, never moved."""

    __tablename__ = "site"
    __table_args__ = (
        Index(None, "group_id"),
        Index(None, "created_by_person_id", "created_at"),
        Index(None, "street_key"),
        Index(None, "phone_key"),
    )

    id: Mapped[str] = mapped_column(UuidText, primary_key=True)

    head: Mapped[int] = mapped_column(Integer, default=0)
    """seq of the stream's last event; its UPDATE is the stream's lock."""

    chain: Mapped[str] = mapped_column(String(SHA256_HEX_LENGTH), default="")
    """Hash chain up to `head` (docs/sync.md)."""

    group_id: Mapped[str] = mapped_column(UuidText)
    """The lowest site id among those that are one address; its own id where it stands alone."""

    created_by_person_id: Mapped[str] = mapped_column(UuidText)
    """Who named this site first: they go on seeing it for 30 days."""

    created_at: Mapped[datetime] = mapped_column(UtcDateTime)

    street: Mapped[str] = mapped_column(String(200), default="")
    town: Mapped[str] = mapped_column(String(120), default="")
    postcode: Mapped[str] = mapped_column(String(20), default="")
    customer_name: Mapped[str] = mapped_column(String(120), default="")
    phone: Mapped[str] = mapped_column(String(40), default="")
    access_words: Mapped[str] = mapped_column(Text, default="")

    street_key: Mapped[str] = mapped_column(String(200), default="")
    phone_key: Mapped[str] = mapped_column(String(20), default="")
    """Keys of sites/address_key.py: found again however it was typed."""

    search_text: Mapped[str] = mapped_column(Text, default="")
    """Street, town, postcode and name as plain words, and the phone's key: what a search looks through."""

    needs_rebuild: Mapped[bool] = mapped_column(Boolean, default=False)
    """Its events are stored, but the columns above could not be made from them."""
