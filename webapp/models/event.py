"""Everything that happened. Rows are added and never changed: triggers in the database refuse anything else."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import BigInteger, ForeignKey, Index, Integer, String, UniqueConstraint, text
from sqlalchemy.orm import Mapped, mapped_column

from webapp.models.base import SHA256_HEX_LENGTH, Base, JsonText, UtcDateTime, UuidText

PUT_BACK = text("kind = 'put_back'")
"""The few events that end a heater's being left off, found without reading any other."""

SAME_ADDRESS = text("kind IN ('same_address', 'not_same_address')")
"""What somebody said about two entries being one address."""

MODEL_FACTS = text("kind IN ('appliance_described', 'sheet_number', 'sheet_confirmed')")
"""What was typed on site of models and of their makers' figures."""


class EventRow(Base):
    """One event of one site's stream; the envelope is explained in docs/sync.md."""

    __tablename__ = "event"
    __table_args__ = (
        UniqueConstraint("site_id", "seq"),
        Index(None, "job_id"),
        Index(None, "device_id", "dev_seq"),
        Index("ix_event_put_back", "received_at", sqlite_where=PUT_BACK, postgresql_where=PUT_BACK),
        Index("ix_event_same_address", "received_at", sqlite_where=SAME_ADDRESS, postgresql_where=SAME_ADDRESS),
        Index(
            "ix_event_model_facts",
            "kind",
            "received_at",
            "id",
            sqlite_where=MODEL_FACTS,
            postgresql_where=MODEL_FACTS,
        ),
    )

    id: Mapped[str] = mapped_column(UuidText, primary_key=True)

    site_id: Mapped[str] = mapped_column(UuidText, ForeignKey("site.id"))

    seq: Mapped[int] = mapped_column(Integer)
    """1, 2, 3 … within the site, without a hole: the phone's cursor."""

    chain: Mapped[str] = mapped_column(String(SHA256_HEX_LENGTH))

    digest: Mapped[str] = mapped_column(String(SHA256_HEX_LENGTH))
    """SHA-256 of the canonical event: tells a repeated push from an id used for something else."""

    received_at: Mapped[datetime] = mapped_column(UtcDateTime)

    job_id: Mapped[str | None] = mapped_column(UuidText)
    person_id: Mapped[str] = mapped_column(UuidText)
    device_id: Mapped[str] = mapped_column(UuidText)
    dev_seq: Mapped[int] = mapped_column(BigInteger)
    lamport: Mapped[int] = mapped_column(BigInteger)

    at_wall: Mapped[str] = mapped_column(String(40))
    """As the device wrote it; for display only."""

    clock_offset: Mapped[int | None] = mapped_column(BigInteger)
    kind: Mapped[str] = mapped_column(String(40))

    schema: Mapped[int] = mapped_column("schema_number", Integer)

    replaces: Mapped[list[str]] = mapped_column(JsonText)
    body: Mapped[dict[str, Any]] = mapped_column(JsonText)
