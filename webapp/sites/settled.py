"""A job that was closed so that somebody had to go again, and of which the office said afterwards that nobody has to.

It is told by `job_cancelled` after the close: nobody goes, what was recorded stays, and the job stays closed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping


def settled_why(record: Mapping[str, Any]) -> str:
    """Why nobody goes again; empty where nothing was said after the close."""
    closed, cancelled = record.get("closed"), record.get("cancelled")
    if not closed or not cancelled or cancelled["by"]["lamport"] <= closed["by"]["lamport"]:
        return ""
    return str(cancelled["why"])
