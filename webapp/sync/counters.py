"""Counters that ran away: a lamport far above all others would leave no number for the next event of its job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy.orm import Session

from webapp.sync import queries

LARGEST_LEAP = 1_000_000
"""Ten thousand times the events of a long job; and 2^53 / 1,000,000 such leaps in a row are 9 thousand million."""

LEAP_WORDS = f"lamport: must be at most {LARGEST_LEAP:,} above the highest known at this address"


def leaps(session: Session, events: Sequence[Mapping[str, Any]]) -> set[str]:
    """The ids of events whose counter cannot have counted (docs/adr/0024). Asks nothing where none is that high."""
    high = [event for event in events if event["lamport"] > LARGEST_LEAP]
    if not high:
        return set()
    known = queries.highest_lamports(session, {event["site_id"] for event in high})
    return {event["id"] for event in high if event["lamport"] > known.get(event["site_id"], 0) + LARGEST_LEAP}
