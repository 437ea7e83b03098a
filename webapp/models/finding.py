"""One live answer to one check."""

from __future__ import annotations

from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, UuidText


class Finding(Base):
    """Made from check_answered events; two people's answers stand side by side."""

    __tablename__ = "finding"
    __table_args__ = (Index(None, "job_id"), Index(None, "site_id"), Index(None, "check_id", "outcome"))

    event_id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    site_id: Mapped[str] = mapped_column(UuidText, ForeignKey("site.id"))
    job_id: Mapped[str] = mapped_column(UuidText)
    person_id: Mapped[str] = mapped_column(UuidText)
    at_wall: Mapped[str] = mapped_column(String(40))
    check_id: Mapped[str] = mapped_column(String(80))

    outcome: Mapped[str | None] = mapped_column(String(80))

    could_not: Mapped[str | None] = mapped_column(String(40))
    """Why it could not be checked, where there is no outcome."""

    words: Mapped[str] = mapped_column(Text, default="")
