"""People of the company: who may sign in, and as what."""

from __future__ import annotations

from enum import StrEnum

from sqlalchemy import Boolean, CheckConstraint, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, UuidText


class Role(StrEnum):
    """What a person may do; the rules themselves are in people/rules.py."""

    TECHNICIAN = "technician"
    DISPATCHER = "dispatcher"
    OWNER = "owner"


class Person(Base):
    """One person. Never deleted: their findings stay under their name."""

    __tablename__ = "person"
    __table_args__ = (
        UniqueConstraint("login"),
        CheckConstraint("role IN ('technician', 'dispatcher', 'owner')", name="role_known"),
    )

    id: Mapped[str] = mapped_column(UuidText, primary_key=True)

    name: Mapped[str] = mapped_column(String(120))
    """As shown beside what they found."""

    login: Mapped[str] = mapped_column(String(80))
    """Lower case; what is typed at the office's sign-in."""

    role: Mapped[str] = mapped_column(String(20))

    password_hash: Mapped[str | None] = mapped_column(String(200))
    """argon2id; none for a technician who only uses a phone."""

    licence_words: Mapped[str | None] = mapped_column(String(120))
    """Kind and number, as it stands on the licence."""

    licence_expires_on: Mapped[str | None] = mapped_column(String(10))
    """A date, `2027-03-31`."""

    active: Mapped[bool] = mapped_column(Boolean, default=True)
    """False closes the office and every phone of theirs, at once."""
