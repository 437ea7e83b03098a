"""The one text of an event, its digest, and the chain over a stream (docs/sync.md)."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Row

from webapp.models import EventRow, canonical_json

ENVELOPE_KEYS = (
    "id", "site_id", "job_id", "person_id", "device_id", "dev_seq", "lamport",
    "at_wall", "clock_offset", "kind", "schema", "replaces", "body",
)  # fmt: skip


def digest_of(event: Mapping[str, Any]) -> tuple[str, int]:
    """SHA-256 of the canonical event JSON, hex, and that JSON's length in bytes."""
    text = canonical_json(event).encode()
    return hashlib.sha256(text).hexdigest(), len(text)


def next_chain(chain: str, event_id: str, digest: str) -> str:
    """chain_n = sha256(chain_{n-1} + id + digest), hex."""
    return hashlib.sha256((chain + event_id + digest).encode()).hexdigest()


def event_of(row: EventRow | Row[Any]) -> dict[str, Any]:
    """The envelope again, as it travelled."""
    return {key: getattr(row, key) for key in ENVELOPE_KEYS}
