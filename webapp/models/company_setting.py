"""What the company chose once for everybody: rule sets, the number to ring."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import String
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, JsonText, UtcDateTime, UuidText


class CompanySetting(Base):
    """One setting under its name; its meaning and default stand beside its reader."""

    __tablename__ = "company_setting"

    name: Mapped[str] = mapped_column(String(80), primary_key=True)
    value: Mapped[Any] = mapped_column(JsonText)
    changed_at: Mapped[datetime] = mapped_column(UtcDateTime)
    person_id: Mapped[str] = mapped_column(UuidText)
