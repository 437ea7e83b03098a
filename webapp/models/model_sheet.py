"""What the company keeps about one model of heater: limits, make point, codes. Typed from the maker's own paper."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Boolean, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import Base, JsonText, UtcDateTime, UuidText


class ModelSheetVersion(Base):
    """One state of one sheet. Never changed: who typed which figure, and when, stays to be read."""

    __tablename__ = "model_sheet_version"
    __table_args__ = (Index(None, "model_sheet_id", "saved_at"), Index(None, "is_current", "model_key"))

    id: Mapped[str] = mapped_column(UuidText, primary_key=True)
    model_sheet_id: Mapped[str] = mapped_column(UuidText)
    procedure_name: Mapped[str] = mapped_column(String(80))
    maker_words: Mapped[str] = mapped_column(String(200))
    model_words: Mapped[str] = mapped_column(String(200))

    model_key: Mapped[str] = mapped_column(String(400))
    """Maker and model without case, spaces and marks: what is looked for."""

    body: Mapped[dict[str, Any]] = mapped_column(JsonText)
    """Limits with their units in their names, the code table, and where each stands on the paper."""

    saved_at: Mapped[datetime] = mapped_column(UtcDateTime)
    person_id: Mapped[str] = mapped_column(UuidText)
    is_current: Mapped[bool] = mapped_column(Boolean, default=True)
    withdrawn: Mapped[bool] = mapped_column(Boolean, default=False)
