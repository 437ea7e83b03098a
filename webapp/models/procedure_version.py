"""Every compiled procedure ever served: a job keeps the version it was walked with."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Boolean, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, JsonText, UtcDateTime


class ProcedureVersion(Base):
    """One version, under the hash of its canonical JSON."""

    __tablename__ = "procedure_version"
    __table_args__ = (Index(None, "name"),)

    hash: Mapped[str] = mapped_column(String(SHA256_HEX_LENGTH), primary_key=True)
    name: Mapped[str] = mapped_column(String(80))
    body: Mapped[dict[str, Any]] = mapped_column(JsonText)
    stored_at: Mapped[datetime] = mapped_column(UtcDateTime)

    is_current: Mapped[bool] = mapped_column(Boolean, default=True)
    """The version that new jobs are walked with."""
