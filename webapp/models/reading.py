"""One live number that was measured."""

from __future__ import annotations

from sqlalchemy import Float, ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, UuidText


class Reading(Base):
    """Made from reading_taken events; the unit is the tail of `quantity`."""

    __tablename__ = "reading"
    __table_args__ = (Index(None, "job_id"), Index(None, "site_id"), Index(None, "quantity"))

    event_id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    site_id: Mapped[str] = mapped_column(UuidText, ForeignKey("site.id"))
    job_id: Mapped[str] = mapped_column(UuidText)
    person_id: Mapped[str] = mapped_column(UuidText)
    at_wall: Mapped[str] = mapped_column(String(40))
    check_id: Mapped[str | None] = mapped_column(String(80))
    quantity: Mapped[str] = mapped_column(String(80))
    value: Mapped[float] = mapped_column(Float)
    place: Mapped[str | None] = mapped_column(String(80))
    state: Mapped[str | None] = mapped_column(String(20))
