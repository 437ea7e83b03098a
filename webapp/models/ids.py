"""Ids made on the server: UUIDv7 (RFC 9562), so that rows made together lie together."""

from __future__ import annotations

import uuid6


def new_id() -> str:
    """A fresh UUIDv7, lower case."""
    return str(uuid6.uuid7())
