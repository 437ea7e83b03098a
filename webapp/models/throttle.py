"""Failed tries, counted in the database so that all workers count together."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, UtcDateTime


class Throttle(Base):
    """How often one key (a login, an address) failed within its window."""

    __tablename__ = "throttle"

    key: Mapped[str] = mapped_column(String(200), primary_key=True)
    window_began_at: Mapped[datetime] = mapped_column(UtcDateTime)
    failures: Mapped[int] = mapped_column(Integer)
