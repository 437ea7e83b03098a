"""The one row about this store itself."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, Integer
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, UtcDateTime, UuidText

THE_ONE_ROW = 1


class Meta(Base):
    """Row number one, and no other."""

    __tablename__ = "meta"
    __table_args__ = (CheckConstraint("id = 1", name="one_row"),)

    id: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)

    epoch: Mapped[str] = mapped_column(UuidText)
    """New after a restore: phones then pull anew and offer again what they hold."""

    epoch_began_at: Mapped[datetime] = mapped_column(UtcDateTime)
