"""What was changed about people and their phones, and by whom. Rows are added and never changed, as events are."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, UtcDateTime, UuidText


class PersonChange(Base):
    """One change. Passwords are named as changed, and never kept."""

    __tablename__ = "person_change"
    __table_args__ = (Index(None, "person_id"),)

    id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    """UUIDv7: in the order in which they were made."""

    person_id: Mapped[str] = mapped_column(UuidText, ForeignKey("person.id"))
    """Whose."""

    by_person_id: Mapped[str | None] = mapped_column(UuidText)
    """None: by a command on the server itself."""

    at: Mapped[datetime] = mapped_column(UtcDateTime)

    what: Mapped[str] = mapped_column(String(20))
    """added, role, licence, password, phone_let_in, phone_closed, left or back."""

    was: Mapped[str | None] = mapped_column(String(200))
    became: Mapped[str | None] = mapped_column(String(200))
    """Of a licence: words and last day, as `licence_text` joins them; of a phone: what its holder calls it."""

    device_id: Mapped[str | None] = mapped_column(UuidText)
